package desk_test

import (
	"fmt"
	"testing"

	"culm/demo"
	"culm/season"
	"culm/server/desk"
)

// Fields on one station share its outlook, those on another have another, and however many stations there are, the
// latest is at hand.
func TestSkies(t *testing.T) {
	s := season.Assemble(demo.Season(demo.Cast, 1))
	of := func(field string) season.FieldSeason {
		fs, _ := s.Of(field, demo.Today())
		return fs
	}
	var skies desk.Skies
	mill, slope, gate := skies.Of(of("mill-quarter")), skies.Of(of("north-slope")), skies.Of(of("red-gate-eighty"))
	if mill != slope {
		t.Error("two fields on Sallow Head have an outlook each")
	}
	if mill == gate {
		t.Error("Sallow Head and South Ford share an outlook")
	}
	for i := range 300 {
		fs := of("mill-quarter")
		fs.Weather = fs.Weather[:20] // quick
		fs.Field.Station = fmt.Sprint("station ", i)
		if one := skies.Of(fs); one != skies.Of(fs) {
			t.Fatalf("station %d has two outlooks", i)
		}
	}
}
