package crop_test

import (
	"encoding/csv"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/cite"
	"culm/agronomy/crop"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/internal/opendata"
	"culm/season"

	"pgregory.net/rapid"
)

var plains = season.Position{Lon: -97.5, Lat: 36.5}

func ExampleDeadlineFor() {
	d := crop.DeadlineFor(crop.Question{
		Crop: season.WheatGrain, HarvestYear: 2027, At: plains, HasAt: true, Rules: crop.ShippedRules(),
	})
	fmt.Println(d.Day, "between", d.Low, "and", d.High)
	fmt.Println(d.Why)
	// Output:
	// 2027-03-17 between 2027-03-03 and 2027-03-31
	// assumed: the usual date for this latitude in the Great Plains of the United States, from memory, give or take 14 days
}

func march(d int) calendar.Day { return calendar.Date(2027, time.March, d) }

func staged(day calendar.Day, scale season.StageScale, stage float64) *season.Visit {
	return &season.Visit{Day: day, Observer: "Ana", Scale: scale, Stage: stage}
}

func split(day calendar.Day, length unit.Length) *season.Visit {
	return &season.Visit{Day: day, HollowStem: working.Fact[unit.Length]{Value: length, Origin: working.Origin{Kind: working.Observed, On: day}}}
}

// Feekes 6 and Zadoks 31 are the first node; canola bolts at BBCH 30.
func TestDeadline(t *testing.T) {
	for _, row := range []struct {
		name           string
		crop           season.Crop
		visits         []*season.Visit
		nowhere        bool
		known, past    bool
		low, day, high calendar.Day
		says           string
	}{
		{"nobody looked", season.WheatGrain, nil, false, true, false, march(3), march(17), march(31), "assumed"},
		{"Feekes 6 seen", season.WheatGrain, []*season.Visit{staged(march(9), season.Feekes, 6)}, false, true, true, march(9), march(9), march(9), "may have come earlier"},
		{"Feekes 6 seen after Feekes 4", season.WheatGrain, []*season.Visit{staged(march(2), season.Feekes, 4), staged(march(9), season.Feekes, 6)}, false, true, true, march(3), march(9), march(9), "Ana walked"},
		{"Feekes 8, later than the first node", season.WheatGrazed, []*season.Visit{staged(march(9), season.Feekes, 8)}, false, true, true, march(9), march(9), march(9), "Feekes 6"},
		{"Zadoks 31 seen", season.WheatGrain, []*season.Visit{staged(march(9), season.Zadoks, 31)}, false, true, true, march(9), march(9), march(9), "stage 31"},
		{"Zadoks 30 is near", season.WheatGrain, []*season.Visit{staged(march(2), season.Zadoks, 30)}, false, true, false, march(3), march(9), march(16), "close to"},
		{"BBCH 29 is not", season.WheatGrain, []*season.Visit{staged(march(2), season.BBCH, 29)}, false, true, false, march(3), march(17), march(31), "assumed"},
		{"not near after the usual date", season.WheatGrain, []*season.Visit{staged(march(20), season.Feekes, 4)}, false, true, false, march(21), march(27), march(41), "put later"},
		{"near, and no rule", season.WheatGrain, []*season.Visit{staged(march(2), season.Feekes, 5)}, true, true, false, march(3), march(9), march(16), "close to"},
		{"no rule and nobody looked", season.WheatGrain, nil, true, false, false, calendar.Day{}, calendar.Day{}, calendar.Day{}, "note the growth stage"},
		{"hollow stem found", season.WheatGrazed, []*season.Visit{split(march(4), 0.016)}, false, true, false, march(5), march(11), march(18), "hollow stem"},
		{"hollow stem, but Feekes 5 later", season.WheatGrazed, []*season.Visit{split(march(4), 0.016), staged(march(12), season.Feekes, 5)}, false, true, false, march(13), march(19), march(26), "close to"},
		{"stem not yet hollow", season.WheatGrazed, []*season.Visit{split(march(4), 0.006)}, false, true, false, march(3), march(17), march(31), "assumed"},
		{"canola bolts", season.Canola, []*season.Visit{staged(march(9), season.BBCH, 30)}, false, true, true, march(9), march(9), march(9), "bolting"},
		{"canola in the rosette", season.Canola, []*season.Visit{staged(march(1), season.BBCH, 19)}, false, true, false, march(2), march(10), march(24), "assumed"},
		{"canola on a wheat scale", season.Canola, []*season.Visit{staged(march(9), season.Feekes, 7)}, false, true, false, calendar.Date(2027, time.February, 24), march(10), march(24), "not one for winter canola"},
		{"grazed out", season.WheatGrazeOut, []*season.Visit{staged(march(9), season.Feekes, 7)}, false, false, false, calendar.Day{}, calendar.Day{}, calendar.Day{}, "no grain"},
	} {
		q := crop.Question{Crop: row.crop, HarvestYear: 2027, Visits: row.visits, At: plains, HasAt: !row.nowhere, Rules: crop.ShippedRules()}
		d := crop.DeadlineFor(q)
		if d.Known != row.known || d.Past != row.past || d.Low != row.low || d.Day != row.day || d.High != row.high || !strings.Contains(d.Why, row.says) {
			t.Errorf("%s: %+v\nwant %v to %v to %v, saying %q", row.name, d, row.low, row.day, row.high, row.says)
		}
		wanted := working.Assumed
		if row.past {
			wanted = working.Observed
		}
		if row.known && (d.Origin != wanted || d.Source == "" || d.Status == "") {
			t.Errorf("%s: origin %q, source %q, status %q", row.name, d.Origin, d.Source, d.Status)
		}
	}
}

// However the crop was seen, the deadline lies within its bounds, after every walk that saw it not reached,
// and is past exactly when one saw it reached.
func TestDeadlineProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var visits []*season.Visit
		day := calendar.Date(2027, time.February, 1)
		past := false
		var before calendar.Day
		for range rapid.IntRange(0, 4).Draw(t, "visits") {
			day = day.Add(rapid.IntRange(0, 20).Draw(t, "later"))
			stage := float64(rapid.IntRange(2, 8).Draw(t, "stage"))
			visits = append(visits, staged(day, season.Feekes, stage))
			if stage >= 6 {
				past = true
			} else if !past {
				before = day
			}
		}
		d := crop.DeadlineFor(crop.Question{Crop: season.WheatGrain, HarvestYear: 2027, Visits: visits, At: plains, HasAt: true, Rules: crop.ShippedRules()})
		if d.Past != past || d.Day.Before(d.Low) && !past || d.Day.After(d.High) {
			t.Fatalf("%+v", d)
		}
		if !past && !before.IsZero() && !d.Low.After(before) {
			t.Fatalf("not reached on %v, yet %+v", before, d)
		}
	})
}

// A spring made three degrees warmer than it was moves the date forward, a colder one back, and neither by
// more than the rule allows. The record is that of Augsburg from 2009; the early spring of 2016 was itself
// warm there.
func TestSpringMovesTheDate(t *testing.T) {
	at := season.Position{Lon: 10.9, Lat: 48.4}
	ask := func(days []season.WeatherDay) crop.Deadline {
		return crop.DeadlineFor(crop.Question{Crop: season.WheatGrain, HarvestYear: 2016, At: at, HasAt: true, Rules: crop.ShippedRules(), Weather: days})
	}
	still := ask(nil)
	var shifts []int
	for _, warmer := range []unit.Temperature{3, 0, -3, -6} {
		days := augsburgUntil(t, calendar.Date(2016, time.March, 10))
		for i := range days {
			if days[i].Day.Time().Year() == 2016 {
				days[i].Low += warmer
				days[i].High += warmer
			}
		}
		moved := ask(days)
		t.Logf("%+g C: %s", warmer, moved.Why)
		shift := moved.Day.Sub(still.Day)
		shifts = append(shifts, shift)
		if shift < -7 || shift > 7 || moved.High.Sub(moved.Low) < still.High.Sub(still.Low) {
			t.Errorf("%+g C: moved by %d days to %v between %v and %v", warmer, shift, moved.Day, moved.Low, moved.High)
		}
	}
	if !slices.IsSorted(shifts) || shifts[0] != -7 || shifts[len(shifts)-1] <= 0 {
		t.Errorf("shifts %v, want earlier for warmer", shifts)
	}
	short := ask(augsburgUntil(t, calendar.Date(2016, time.March, 10))[2300:])
	if short.Day != still.Day || !strings.Contains(short.Why, "too few earlier springs") {
		t.Errorf("a short record: %s", short.Why)
	}
}

func augsburgUntil(t *testing.T, last calendar.Day) []season.WeatherDay {
	t.Helper()
	rows, err := csv.NewReader(opendata.Open(t, "wx_augsburg_dwd/dwd_augsburg_daily.csv")).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var days []season.WeatherDay
	for _, row := range rows[1:] {
		day, err := calendar.Parse(row[0])
		high, errHigh := strconv.ParseFloat(row[1], 64)
		low, errLow := strconv.ParseFloat(row[2], 64)
		if err != nil || errHigh != nil || errLow != nil {
			t.Fatal(row)
		}
		if !day.After(last) {
			days = append(days, season.WeatherDay{Day: day, Low: unit.Temperature(low), High: unit.Temperature(high), Has: season.HasTemperature})
		}
	}
	return days
}

func TestShippedRulesSayWhereTheyComeFrom(t *testing.T) {
	for _, r := range crop.ShippedRules() {
		source, known := cite.Find(r.Source)
		if !known || source.Status != r.Status {
			t.Errorf("%s, %s: source %q has status %q, the rule says %q", r.Name, r.Crop, r.Source, source.Status, r.Status)
		}
	}
}

func TestParseRulesRefuses(t *testing.T) {
	good := `{"name":"X","crop":"wheat","west":0,"east":1,"south":0,"north":1,"latitude":0,"usual":"03-17","daysPerDegree":1,"margin":14,"mostShift":7,"source":"stem-elongation-dates","status":"from memory"}`
	if _, err := crop.ParseRules("[" + good + "]"); err != nil {
		t.Fatal(err)
	}
	for name, change := range map[string][2]string{
		"barley":            {`"wheat"`, `"barley"`},
		"east of itself":    {`"west":0`, `"west":2`},
		"no margin":         {`"margin":14`, `"margin":0`},
		"shift over margin": {`"mostShift":7`, `"mostShift":15`},
		"no such day":       {`03-17`, `02-30`},
		"a year a degree":   {`"daysPerDegree":1`, `"daysPerDegree":365`},
		"no status":         {`"from memory"`, `""`},
		"an unknown word":   {`"name"`, `"nom"`},
		"not JSON":          {`{`, ``},
	} {
		if rules, err := crop.ParseRules("[" + strings.Replace(good, change[0], change[1], 1) + "]"); err == nil {
			t.Errorf("%s: %+v", name, rules)
		}
	}
}

func FuzzParseRules(f *testing.F) {
	f.Add(`[]`)
	f.Add(`[{"name":"X","crop":"canola","west":0,"east":1,"south":0,"north":1,"usual":"02-29","margin":14,"source":"x","status":"y"}]`)
	f.Fuzz(func(t *testing.T, text string) {
		rules, err := crop.ParseRules(text)
		if err != nil {
			return
		}
		d := crop.DeadlineFor(crop.Question{Crop: season.WheatGrain, HarvestYear: 2027, At: plains, HasAt: true, Rules: rules})
		if d.Known && (d.Day.Before(d.Low) || d.Day.After(d.High)) {
			t.Errorf("%+v", d)
		}
	})
}
