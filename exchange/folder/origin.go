package folder

import (
	"fmt"
	"slices"
	"strings"

	"culm/agronomy/calendar"
	"culm/agronomy/working"
	"culm/season"
)

// Most facts have the origin that their row tells: observed, by its observer, on its date. What an origin
// has beyond that is written as "with: photo; by: T. Amsel", each part replacing the usual one. A semicolon
// or backslash inside a part has a backslash before it.

const originExample = `parts such as "with: photo; by: T. Amsel; on: 2027-02-03"`

// originPart is one part of an origin under its name in files.
type originPart struct {
	name string
	at   func(*working.Origin) *string
}

func originParts() []originPart {
	return []originPart{
		{"by", func(o *working.Origin) *string { return &o.By }},
		{"with", func(o *working.Origin) *string { return &o.With }},
		{"source", func(o *working.Origin) *string { return (*string)(&o.Source) }},
		{"why", func(o *working.Origin) *string { return &o.Why }},
	}
}

func originKinds() []working.OriginKind {
	return []working.OriginKind{working.Observed, working.Assumed, working.Rulebook, working.Setting, working.Computed}
}

// setOrigin sets one part of an origin.
func setOrigin(o *working.Origin, name, value string) error {
	for _, part := range originParts() {
		if part.name == name {
			*part.at(o) = value
			return nil
		}
	}
	switch name {
	case "kind":
		if !slices.Contains(originKinds(), working.OriginKind(value)) {
			return fmt.Errorf("kind is %q, expected %s", shown(value), oneOf(originKinds()))
		}
		o.Kind = working.OriginKind(value)
	case "on":
		day, ok := parseDay([]byte(value))
		if !ok && value != "" {
			return fmt.Errorf("on is %q, expected %s", shown(value), expectedDate)
		}
		o.On = day
	default:
		return fmt.Errorf("%q is not a part of an origin; expected kind, by, on, with, source or why", shown(name))
	}
	return nil
}

func readOrigin(text string, o *working.Origin) error {
	for _, part := range splitParts(text) {
		name, value, ok := strings.Cut(part, ":")
		if !ok {
			return fmt.Errorf("%q has no colon", shown(part))
		}
		if err := setOrigin(o, strings.TrimSpace(name), strings.TrimPrefix(value, " ")); err != nil {
			return err
		}
	}
	return nil
}

// splitParts cuts at semicolons that have no backslash before them, and takes the backslashes out.
func splitParts(text string) []string {
	var parts []string
	var part strings.Builder
	for i := 0; i < len(text); i++ {
		switch c := text[i]; {
		case c == '\\' && i+1 < len(text):
			i++
			part.WriteByte(text[i])
		case c == ';':
			parts = append(parts, strings.TrimLeft(part.String(), " "))
			part.Reset()
		default:
			part.WriteByte(c)
		}
	}
	return append(parts, strings.TrimLeft(part.String(), " "))
}

// differing lists, as name and value, the parts in which an origin differs from the usual one. Where and
// Entry are left out: they are filled in when the file is read.
func differing(o, usual working.Origin) [][2]string {
	var parts [][2]string
	if o.Kind != usual.Kind {
		parts = append(parts, [2]string{"kind", string(o.Kind)})
	}
	if o.On != usual.On {
		on, _ := o.On.MarshalText()
		parts = append(parts, [2]string{"on", string(on)})
	}
	for _, part := range originParts() {
		if value := *part.at(&o); value != *part.at(&usual) {
			parts = append(parts, [2]string{part.name, value})
		}
	}
	return parts
}

func writeOrigin(o, usual working.Origin) string {
	escape := strings.NewReplacer(`\`, `\\`, `;`, `\;`)
	var parts []string
	for _, part := range differing(o, usual) {
		parts = append(parts, part[0]+": "+escape.Replace(part[1]))
	}
	return strings.Join(parts, "; ")
}

// seenBy is the usual origin of what somebody saw.
func seenBy(observer string, on calendar.Day) working.Origin {
	return working.Origin{Kind: working.Observed, By: observer, On: on}
}

// origins gives the origins of the facts in a body that are known.
func origins(body season.Body) []*working.Origin {
	var all []*working.Origin
	take := func(known bool, o *working.Origin) {
		if known {
			all = append(all, o)
		}
	}
	switch b := body.(type) {
	case *season.Settings:
		take(b.MaximumYield.Known(), &b.MaximumYield.Origin)
		take(b.LimeScore.Known(), &b.LimeScore.Origin)
		take(b.SoftGround.Known(), &b.SoftGround.Origin)
		take(b.SaturatedGround.Known(), &b.SaturatedGround.Origin)
	case *season.Field:
		take(b.YieldGoal.Known(), &b.YieldGoal.Origin)
		take(b.AreaGiven.Known(), &b.AreaGiven.Origin)
		take(b.Heads.Known(), &b.Heads.Origin)
		take(b.HeadMass.Known(), &b.HeadMass.Origin)
		take(b.GrazingDays.Known(), &b.GrazingDays.Origin)
	case *season.Visit:
		take(b.HollowStem.Known(), &b.HollowStem.Origin)
		take(b.Residue.Known(), &b.Residue.Origin)
		take(b.Green.Known(), &b.Green.Origin)
		take(b.Stand.Known(), &b.Stand.Origin)
		take(b.FreshMass.Known(), &b.FreshMass.Origin)
	case *season.Harvest:
		take(b.Protein.Known(), &b.Protein.Origin)
	}
	return all
}

// locate names in each fact of an entry the entry and, unless it names one already, the place in the file.
func locate(e *season.Entry) {
	for _, o := range origins(e.Body) {
		o.Entry = e.ID
		if o.Where == "" {
			o.Where = e.Where.String()
		}
	}
}
