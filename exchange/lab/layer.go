package lab

import (
	"fmt"
	"regexp"
	"strings"
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/unit"
)

// layer is a depth sampled, from top to bottom.
type layer struct{ top, bottom unit.Length }

var layerForm = regexp.MustCompile(`^([0-9]+(?:[.,][0-9]+)?)\s*("|''|in\.?|inch|inches|cm)?\s*(?:-|–|—|to)\s*([0-9]+(?:[.,][0-9]+)?)\s*("|''|in\.?|inch|inches|cm)?$`)

// readLayer reads "0-6 in", "0 to 15 cm", or "0-6" in the unit given. A fault says in words what is wrong.
func readLayer(text, usual string) (layer, string) {
	m := layerForm.FindStringSubmatch(tidy(text))
	if m == nil {
		return layer{}, "the depth cannot be read"
	}
	name := lengthName(m[4])
	if name == "" {
		name = lengthName(m[2])
	} else if first := lengthName(m[2]); first != "" && first != name {
		return layer{}, "the depth is given in two units"
	}
	if name == "" {
		name = usual
	}
	if name == "" {
		return layer{}, "the depth does not say whether it is in inches or centimeters"
	}
	top, okTop := readNumber(strings.Replace(m[1], ",", ".", 1), ".")
	bottom, okBottom := readNumber(strings.Replace(m[3], ",", ".", 1), ".")
	if !okTop || !okBottom {
		return layer{}, "the depth cannot be read"
	}
	return newLayer(top, bottom, name)
}

func lengthName(text string) string {
	switch strings.TrimSuffix(text, ".") {
	case "in", "inch", "inches", `"`, "''":
		return "in"
	case "cm":
		return "cm"
	default:
		return ""
	}
}

func newLayer(top, bottom float64, name string) (layer, string) {
	// A number of inches or centimeters of a few digits times a whole number is exact, so that the division rounds
	// once: 6 in is the 0.1524 m that the soil table makes of it.
	num, den := 254.0, 10000.0
	if name == "cm" {
		num, den = 1, 100
	}
	l := layer{unit.Length(top * num / den), unit.Length(bottom * num / den)}
	if !(l.top >= 0 && l.bottom > l.top && l.bottom <= 3) {
		return layer{}, "no sample has such a depth"
	}
	return l, ""
}

// oddDepth doubts a depth that is a usual one in the other unit: 0 to 15 in, 0 to 6 cm.
func oddDepth(l layer) string {
	inches, centimeters := float64(l.bottom/unit.Inch), float64(l.bottom)*100
	near := func(v float64, usual ...float64) bool {
		for _, u := range usual {
			if v > u-0.01 && v < u+0.01 {
				return true
			}
		}
		return false
	}
	switch {
	case near(inches, 15, 60, 90):
		return fmt.Sprintf("a bottom at %.0f in is unusual; were centimeters meant?", inches)
	case near(centimeters, 6, 7, 8, 12, 24, 36):
		return fmt.Sprintf("a bottom at %.0f cm is unusual; were inches meant?", centimeters)
	default:
		return ""
	}
}

// readDate reads a date in one of DateFormats; a time of day behind it is passed over. Years may have two
// digits where the format is not year-month-day.
func readDate(text, format string) (calendar.Day, bool) {
	text = strings.TrimSpace(text)
	if cut := strings.IndexAny(text, " T"); cut >= 8 {
		text = text[:cut]
	}
	var forms []string
	switch format {
	case "", "year-month-day":
		forms = []string{"2006-01-02"}
	case "month/day/year":
		forms = []string{"1/2/2006", "1/2/06", "1-2-2006"}
	case "day/month/year":
		forms = []string{"2/1/2006", "2/1/06", "2-1-2006"}
	case "day.month.year":
		forms = []string{"2.1.2006", "2.1.06"}
	}
	for _, form := range append(forms, "2006-01-02") {
		if t, err := time.Parse(form, text); err == nil && t.Year() >= 1950 && t.Year() <= 2200 {
			return calendar.Date(t.Year(), t.Month(), t.Day()), true
		}
	}
	return calendar.Day{}, false
}
