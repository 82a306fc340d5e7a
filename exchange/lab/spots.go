package lab

import (
	"fmt"
	"slices"
	"strings"

	"culm/agronomy/calendar"
	"culm/season"
)

// FieldsFromSpots gives samples without a field the field of the spot that was marked under their id. Ids are
// compared as soil.Match does, without regard to capitals and to spaces around them, and a spot marked after a sample
// was drawn is not its. A sample without a field that no spot, or spots of several fields, are marked for is a problem.
func FieldsFromSpots(samples []Sample, spots []*season.Spot) (problems []season.Problem) {
	marked := map[string][]*season.Spot{}
	for _, s := range spots {
		if key := sampleID(s.Sample); key != "" {
			marked[key] = append(marked[key], s)
		}
	}
	for i := range samples {
		s := &samples[i].Soil
		if s.Field != "" {
			continue
		}
		found, later := fieldsOf(marked[sampleID(s.Sample)], s.Day)
		if len(found) == 1 {
			s.Field = found[0]
			continue
		}
		message := fmt.Sprintf("sample %s has no field, and no spot is marked for it", s.Sample)
		switch {
		case len(found) == 0 && later != nil:
			message = fmt.Sprintf("sample %s has no field: it was drawn on %s, and spot %s was marked for it only on %s", s.Sample, s.Day, later.ID, later.Day)
		case len(found) > 1:
			message = fmt.Sprintf("sample %s has no field, and spots of several fields are marked for it", s.Sample)
		}
		problems = append(problems, season.Problem{
			Severity: season.Fatal, File: samples[i].Where.File, Line: samples[i].Where.Line, Field: "field",
			Message: message, Found: strings.Join(found, ", "), Expected: "field: {column: a heading} or field: {is: the field's id} in the mapping, or --field",
		})
	}
	return problems
}

// fieldsOf names the fields of the spots that were marked by a day, and gives one that was marked later.
func fieldsOf(spots []*season.Spot, day calendar.Day) (fields []string, later *season.Spot) {
	for _, s := range spots {
		switch {
		case s.Day.After(day):
			later = s
		case !slices.Contains(fields, s.Field):
			fields = append(fields, s.Field)
		}
	}
	return fields, later
}

func sampleID(text string) string { return strings.ToLower(strings.TrimSpace(text)) }
