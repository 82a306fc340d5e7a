package calendar_test

import (
	"encoding/json"
	"fmt"
	"testing"
	"time"

	"culm/agronomy/calendar"

	"pgregory.net/rapid"
)

func ExampleDay_Spoken() {
	d, err := calendar.Parse("2027-02-10")
	fmt.Println(d.Spoken(), err)
	fmt.Println(d.Add(19).Short())
	// Output:
	// Wednesday 10 February <nil>
	// Mon 1 Mar
}

func TestParseRefusesOtherWritings(t *testing.T) {
	for _, s := range []string{"", "10.02.2027", "02/10/2027", "2027-2-10", "2027-02-30", "20270210"} {
		if d, err := calendar.Parse(s); err == nil {
			t.Errorf("Parse(%q) = %v, want an error", s, d)
		}
	}
}

func TestUnknownDay(t *testing.T) {
	var d calendar.Day
	if !d.IsZero() || d.String() != "unknown" {
		t.Errorf("zero Day: IsZero %v, String %q", d.IsZero(), d)
	}
	text, err := json.Marshal(d)
	if err != nil || string(text) != `""` {
		t.Errorf("zero Day in JSON: %s, %v", text, err)
	}
}

func TestFromTimeKeepsTheLocalDate(t *testing.T) {
	plains := time.FixedZone("six hours west", -6*3600)
	late := time.Date(2027, 2, 10, 23, 30, 0, 0, plains)
	if got := calendar.FromTime(late).String(); got != "2027-02-10" {
		t.Errorf("half past eleven at night is %s, want the date in the field", got)
	}
}

func TestDaysCount(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		start := calendar.Date(rapid.IntRange(1900, 2100).Draw(t, "year"), time.January, 1)
		n := rapid.IntRange(-40000, 40000).Draw(t, "days")
		later := start.Add(n)
		if later.Sub(start) != n {
			t.Fatalf("%v + %d - itself = %d", start, n, later.Sub(start))
		}
		back, err := calendar.Parse(later.String())
		if err != nil || back != later {
			t.Fatalf("%v reads back as %v, %v", later, back, err)
		}
	})
}
