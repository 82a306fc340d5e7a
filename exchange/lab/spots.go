package lab

import (
	"fmt"
	"slices"
	"strings"

	"culm/season"
)

// FieldsFromSpots gives samples without a field the field of the spot that was marked under their id. Ids are
// compared as soil.Match does, without regard to capitals and to spaces around them. A sample without a field that
// no spot, or spots of several fields, are marked for is a problem.
func FieldsFromSpots(samples []Sample, spots []*season.Spot) (problems []season.Problem) {
	fields := map[string][]string{}
	for _, s := range spots {
		key := sampleID(s.Sample)
		if key != "" && !slices.Contains(fields[key], s.Field) {
			fields[key] = append(fields[key], s.Field)
		}
	}
	for i := range samples {
		s := &samples[i].Soil
		if s.Field != "" {
			continue
		}
		found := fields[sampleID(s.Sample)]
		if len(found) == 1 {
			s.Field = found[0]
			continue
		}
		message := fmt.Sprintf("sample %s has no field, and no spot is marked for it", s.Sample)
		if len(found) > 1 {
			message = fmt.Sprintf("sample %s has no field, and spots of several fields are marked for it", s.Sample)
		}
		problems = append(problems, season.Problem{
			Severity: season.Fatal, File: samples[i].Where.File, Line: samples[i].Where.Line, Field: "field",
			Message: message, Found: strings.Join(found, ", "), Expected: "field: {column: a heading} or field: {is: the field's id} in the mapping, or --field",
		})
	}
	return problems
}

func sampleID(text string) string { return strings.ToLower(strings.TrimSpace(text)) }
