package paper_test

import (
	"bytes"
	"strings"
	"testing"

	"culm/advice"
	"culm/agronomy/unit"
	"culm/paper"
	"culm/season"
)

// rigs are a boom and a spreader of which everything is known.
func rigs() []*season.Rig {
	return []*season.Rig{
		{
			ID: "boom", Name: "90 ft boom", Machine: season.Sprayer, Width: 90 * unit.Foot, Spacing: 20 * unit.Inch, Tank: 1000 * unit.Gallon, Speed: 8 * unit.MilePerHour,
			Monitor: season.GallonsAnAcre, Tips: []season.Tip{{Name: "three-hole", Flow: 1.9, At: 276, Streams: true}, {Name: "fan", Flow: 1.5, At: 276}},
		},
		{ID: "discs", Machine: season.Spreader, Width: 60 * unit.Foot, Hopper: 4 * unit.ShortTon, Monitor: season.PoundsAnAcre},
		nil,
	}
}

// Every card of the district is one page, whatever it says, and says what the card says.
func TestACardIsOnePage(t *testing.T) {
	for _, units := range []unit.System{unit.US, unit.Metric} {
		plans, _ := district(t, 24, units)
		for i := range plans {
			for _, rig := range rigs() {
				c := advice.CardOf(&plans[i], rig, units)
				pdf, err := paper.Card(&c)
				if err != nil {
					t.Fatal(err)
				}
				if rig != nil && i%6 > 0 {
					continue // reading a PDF back takes a while
				}
				got := text(t, pdf)
				if pages := strings.Count(got, "\f"); pages != 1 {
					t.Errorf("%s: %d pages, want one", c.Field, pages)
				}
				got = words(got)
				for _, want := range []string{c.Field, c.Head, "What was really spread", "licensed person decide", "Anhydrous ammonia"} {
					if !strings.Contains(strings.ToLower(got), strings.ToLower(words(want))) {
						t.Errorf("%s: the card does not say %q", c.Field, want)
					}
				}
			}
		}
	}
}

func TestTheSameCardGivesTheSameBytes(t *testing.T) {
	plans, _ := district(t, 6, unit.US)
	for i := range plans {
		c := advice.CardOf(&plans[i], rigs()[0], unit.US)
		first, err1 := paper.Card(&c)
		second, err2 := paper.Card(&c)
		if err1 != nil || err2 != nil || !bytes.Equal(first, second) {
			t.Errorf("%s: errors %v and %v", c.Field, err1, err2)
		}
	}
}
