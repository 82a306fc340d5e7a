package timing_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/climate"
	"culm/agronomy/fertilizer"
	"culm/agronomy/ground"
	"culm/agronomy/placement"
	"culm/agronomy/timing"
	"culm/agronomy/unit"
	"culm/agronomy/weather"
	"culm/season"

	"pgregory.net/rapid"
)

func today() calendar.Day { return calendar.Date(2027, time.February, 10) }

// dunes is an invented station: so many years of weather, drawn from a law that is the same all year but for its
// warmth.
func dunes(years int) []season.WeatherDay {
	c := &climate.Climate{WetFrom: climate.WetFrom}
	for m := range c.Months {
		warmth := unit.Temperature(12 - 12*math.Cos(2*math.Pi*float64(m)/12))
		usual := climate.Usual{Mean: warmth, Spread: 4, RootRange: 3.4, RootSpread: 0.5}
		c.Months[m] = climate.Month{
			Month: time.Month(m + 1), Dry: usual, Wet: usual,
			Rain:   climate.Rain{Chain: climate.Chain{AfterDry: 0.2, AfterWet: 0.45}, Amounts: climate.Amounts{Shape: 0.8, Scale: 9, Least: climate.WetFrom}},
			Memory: climate.Memory{Same: [2][2]float64{{1, 0}, {0, 1}}, Lag: [2][2]float64{{0.6, 0}, {0, 0.2}}},
			Days:   climate.Days{Temperature: 1},
		}
	}
	days := make([]season.WeatherDay, 365*years)
	climate.NewSimulator(c, 7).Run(days, today().Add(-len(days)), climate.State{}, 0)
	return days
}

// forecast is of so many days: mild, with a heavy rain on the third.
func forecast(n int) *season.Forecast {
	f := &season.Forecast{Station: "dunes", Issued: today().Time().Add(11 * time.Hour)}
	for i := range n {
		d := season.ForecastDay{Wind: 3, RainChance: 0.05}
		d.Day, d.Low, d.High = today().Add(i), 3, 12
		d.Has = season.HasTemperature | season.HasRain | season.HasWind
		if i == 2 {
			d.Rain, d.RainChance = 20, 0.9
		}
		f.Days = append(f.Days, d)
	}
	return f
}

func sky(years, days int) timing.Sky {
	s := timing.Sky{Today: today(), Record: dunes(years), At: &season.Position{Lat: 38}, Seed: 1}
	if days > 0 {
		s.Forecast = forecast(days)
	}
	return s
}

func field() timing.Field {
	return timing.Field{Site: ground.Site{Latitude: 38, HasLatitude: true, Texture: season.SandyLoam, Crop: season.WheatGrain, Planted: calendar.Date(2026, 10, 1)}}
}

func over(t testing.TB, o *timing.Outlook, f timing.Field) *timing.Table {
	t.Helper()
	table, err := o.Over(f)
	if err != nil {
		t.Fatal(err)
	}
	return table
}

func product(t testing.TB, key fertilizer.Key) *fertilizer.Product {
	t.Helper()
	p, ok := fertilizer.Find(key)
	if !ok {
		t.Fatalf("no product %q", key)
	}
	return &p
}

func loss(t testing.TB, table *timing.Table, day calendar.Day, key fertilizer.Key) timing.Loss {
	t.Helper()
	l, err := table.Loss(day, product(t, key))
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// The day before a soaking rain, the day after it, and a day that no forecast reaches.
func Example() {
	table, _ := timing.Look(sky(20, 7)).Over(field())
	urea, _ := fertilizer.Find(fertilizer.UreaKey)
	for _, i := range []int{1, 3, 15} {
		d := table.Days[i]
		l, _ := table.Loss(d.Day, &urea)
		fmt.Printf("%s: %s\n", d.Day.Short(), strings.ReplaceAll(l.Why(unit.US), "\u202f", " "))
	}
	before, _ := table.Loss(table.Days[1].Day, &urea)
	after, _ := table.Loss(table.Days[3].Day, &urea)
	fmt.Println("less is lost before the rain than after it:", before.Loss < after.Loss)
	// Output:
	// Thu 11 Feb: 90 % chance of 0.79 in of rain the day after, which would carry it in
	// Sat 13 Feb: no day with 0.16 in of rain is in sight by Tue 16 Feb, and the ground is moist
	// Thu 25 Feb: in 27 of 50 courses that the weather may take, rain carries most of it in
	// less is lost before the rain than after it: true
}

// Without a forecast the chance of a saving rain is that of the closed form for the station's own law, within what
// fifty courses can tell: three standard errors.
func TestWashInAgreesWithTheClosedForm(t *testing.T) {
	s := sky(20, 0)
	table, usual := over(t, timing.Look(s), field()), fitted(t, s.Record)
	last := s.Record[len(s.Record)-1]
	wetBefore := unit.Fraction(0)
	if last.Rain >= climate.WetFrom {
		wetBefore = 1
	}
	exact := usual.WashIns(today(), timing.Days, timing.WithinDays, wetBefore, timing.SavingRain)
	for i, d := range table.Days {
		p := float64(exact[i].Within)
		if off, error := math.Abs(float64(d.WashIn)-p), math.Sqrt(p*(1-p)/timing.Courses); !d.HasWashIn || off > 3*error {
			t.Errorf("%s: %.2f, exactly %.3f, standard error %.3f", d.Day, d.WashIn, p, error)
		}
	}
}

func fitted(t *testing.T, record []season.WeatherDay) *climate.Climate {
	t.Helper()
	c, err := climate.Fit(record, climate.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// The state of the ground on the forecast's days is what the forecast alone gives: the days simulated after it change
// nothing before them.
func TestDaysBeyondChangeNothingBefore(t *testing.T) {
	s := sky(5, 8)
	table := over(t, timing.Look(s), field())
	alone := (weather.Outlook{Record: s.Record, Forecast: s.Forecast, Site: field().Site, Usual: fitted(t, s.Record).SpreadOn(s.Today)}).Ready()
	for _, d := range table.Days[:8] {
		if want := alone.Ground(d.Day); d.Ground.Verdict != want.Verdict || d.Ground.Condition != want.Condition {
			t.Errorf("%s: %+v, by the forecast alone %+v", d.Day, d.Ground.Verdict, want.Verdict)
		}
	}
}

// A table says how far the forecast reaches, and goes as far as something is known.
func TestHowFarATableGoes(t *testing.T) {
	for _, c := range []struct {
		name                    string
		years, forecast         int
		days, foretold, courses int
	}{
		{"a record and a forecast", 3, 7, 21, 7, timing.Courses},
		{"a short forecast", 3, 2, 21, 2, timing.Courses},
		{"a forecast longer than the table", 3, 30, 21, 21, timing.Courses},
		{"a record only", 3, 0, 21, 0, timing.Courses},
		{"a forecast only", 0, 7, 7, 7, 1},
		{"nothing", 0, 0, 0, 0, 1},
	} {
		o := timing.Look(sky(c.years, c.forecast))
		table, foretold := over(t, o, field()), 0
		for _, d := range table.Days {
			if d.Forecast {
				foretold++
			}
		}
		if usual, why := o.Climate(); len(table.Days) != c.days || foretold != c.foretold || o.Courses() != c.courses || (usual == nil) != (why != "") {
			t.Errorf("%s: %d days, %d foretold, %d courses, %q", c.name, len(table.Days), foretold, o.Courses(), why)
		}
		if l := loss(t, table, table.Today(), fertilizer.UreaKey); l.Loss <= 0 || l.Loss >= 1 {
			t.Errorf("%s: a loss of %v today", c.name, l.Loss)
		}
		if _, err := table.Loss(today().Add(60), product(t, fertilizer.UreaKey)); err == nil {
			t.Errorf("%s: the loss of a day two months off", c.name)
		}
	}
}

// A forecast that begins tomorrow makes a table that does.
func TestAForecastThatBeginsTomorrow(t *testing.T) {
	s := sky(3, 7)
	s.Forecast.Days = s.Forecast.Days[1:]
	if table := over(t, timing.Look(s), field()); table.Days[0].Day != today().Add(1) || !table.Days[0].Forecast {
		t.Errorf("begins on %s", table.Days[0].Day)
	}
}

// Only a forecast stops a day. What is usual is told as a caution.
func TestOnlyAForecastStops(t *testing.T) {
	s := sky(3, 6)
	for i := range s.Forecast.Days {
		s.Forecast.Days[i].Low, s.Forecast.Days[i].High = -16, -8
	}
	for i := range s.Record { // a place of deep winters
		s.Record[i].Low, s.Record[i].High = s.Record[i].Low-14, s.Record[i].High-14
	}
	table := over(t, timing.Look(s), field())
	for _, d := range table.Days {
		flags := table.Flags(&d, product(t, fertilizer.UreaKey), placement.Broadcast)
		switch {
		case d.Forecast && d.Stop() == "":
			t.Errorf("%s is open: %s", d.Day, d.Ground.Reason)
		case !d.Forecast && (d.Stop() != "" || len(flags) == 0 || flags[0].Level != ground.Caution || flags[0].Risk != ground.GroundState):
			t.Errorf("%s, beyond the forecast: %q, %+v", d.Day, d.Stop(), flags)
		}
	}
}

// Flags are those of the product and of the way it is placed.
func TestFlagsHangOnProductAndWay(t *testing.T) {
	s := sky(3, 3)
	s.Forecast.Days[0].Low, s.Forecast.Days[0].Wind = -5, 6 // m/s: too much for flat fans, not for the others
	f := field()
	f.Herbicide = true
	table := over(t, timing.Look(s), f)
	d := &table.Days[0]
	for _, c := range []struct {
		product fertilizer.Key
		way     placement.Way
		has     []ground.Risk
		hasNot  []ground.Risk
	}{
		{fertilizer.UreaKey, placement.Broadcast, nil, []ground.Risk{ground.Drift, ground.BurnFrost, ground.BurnWeeds, timing.SaltOut}},
		{fertilizer.UAN32Key, placement.Stream, []ground.Risk{ground.BurnFrost, timing.SaltOut}, []ground.Risk{ground.Drift, ground.BurnWeeds}},
		{fertilizer.UAN32Key, placement.FlatFan, []ground.Risk{ground.BurnFrost, ground.Drift, ground.BurnWeeds, timing.SaltOut}, nil},
	} {
		flags := map[ground.Risk]bool{}
		for _, f := range table.Flags(d, product(t, c.product), c.way) {
			flags[f.Risk] = true
		}
		for _, r := range c.has {
			if !flags[r] {
				t.Errorf("%s by %s: no %s", c.product, c.way, r)
			}
		}
		for _, r := range c.hasNot {
			if flags[r] {
				t.Errorf("%s by %s: %s", c.product, c.way, r)
			}
		}
	}
	if d.Has(ground.Drift, placement.Stream) || !d.Has(ground.Drift, placement.FlatFan) {
		t.Error("wind of 6 m/s speaks against streams or not against flat fans")
	}
}

// Whatever the forecast says, a loss lies within its range and within the urea there is, an inhibitor lowers it, and
// the same outlook gives the same table.
func TestTablesHoldTogether(t *testing.T) {
	record := dunes(2)
	rapid.Check(t, func(t *rapid.T) {
		s := timing.Sky{Today: today(), Record: record, Forecast: forecast(rapid.IntRange(1, 16).Draw(t, "days")), Seed: rapid.Uint64().Draw(t, "seed"), Courses: 10}
		for i := range s.Forecast.Days {
			d := &s.Forecast.Days[i]
			d.High = unit.Temperature(rapid.Float64Range(-10, 30).Draw(t, "high"))
			d.Low = d.High - unit.Temperature(rapid.Float64Range(0, 18).Draw(t, "swing"))
			d.Rain, d.RainChance = unit.Water(rapid.Float64Range(0, 40).Draw(t, "rain")), unit.Fraction(rapid.Float64Range(0, 1).Draw(t, "chance"))
		}
		o := timing.Look(s)
		one, err := o.Over(field())
		if err != nil {
			t.Fatal(err)
		}
		again, _ := timing.Look(s).Over(field())
		for _, d := range one.Days {
			urea, _ := fertilizer.Find(fertilizer.UreaKey)
			guarded, _ := fertilizer.Find(fertilizer.InhibitedUreaKey)
			l, _ := one.Loss(d.Day, &urea)
			g, _ := one.Loss(d.Day, &guarded)
			twice, _ := again.Loss(d.Day, &urea)
			if l.Loss < 0 || l.Loss > 1 || l.Low > l.Loss || l.High < l.Loss || g.Loss > l.Loss || l.Loss != twice.Loss || l.Carried() < 0 || l.Carried() > 1 {
				t.Fatalf("%s: urea %v (%v to %v), with an inhibitor %v, again %v", d.Day, l.Loss, l.Low, l.High, g.Loss, twice.Loss)
			}
		}
	})
}
