package advice_test

import (
	"encoding/json"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"culm/advice"
	"culm/agronomy/calendar"
	"culm/agronomy/need"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/demo"
	"culm/season"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

func advisor(tb testing.TB) *advice.Advisor {
	tb.Helper()
	a, err := advice.NewAdvisor()
	if err != nil {
		tb.Fatal(err)
	}
	return a
}

// district is the demonstration's winter, field by field.
func district(fields int) []season.FieldSeason {
	s := season.Assemble(demo.Season(fields, 1))
	var all []season.FieldSeason
	for _, f := range s.Fields {
		fs, _ := s.Of(f.ID, demo.Today())
		all = append(all, fs)
	}
	return all
}

// named finds a field of the demonstration by its name.
func named(t *testing.T, name string) season.FieldSeason {
	t.Helper()
	for _, fs := range district(28) {
		if fs.Field.Name == name {
			return fs
		}
	}
	t.Fatalf("the demonstration has no field %q", name)
	return season.FieldSeason{}
}

// The demonstration's cast, each with the action its story calls for.
func TestStories(t *testing.T) {
	tests := []struct {
		field  string
		story  string
		action advice.Action
		says   string
	}{
		{"Mill Quarter", "the strip clearly shows", advice.Spread, "urea"},
		{"Stubble Quarter", "no-till under residue: streams, no rain in sight", advice.Spread, "streams"},
		{"Schoolhouse Quarter", "the strip does not show", advice.Hold, "no response is seen; look again by"},
		{"Windmill Eighty", "the strip leaves it open", advice.Hold, "leaves it open; read it again by"},
		{"Cemetery Quarter", "the crop beside the strip reads better than the strip", advice.Hold, "no response is seen"},
		{"Cottonwood Forty", "a thinning stand of canola", advice.Hold, "of a full stand"},
		{"Granddad's Eighty", "past jointing", advice.Leave, "first node"},
		{"East of the Barn", "nothing is known of it", advice.Ask, "Cannot say yet"},
		{"Elevator Eighty", "a ramp whose 80 lb strip is the last to gain", advice.Spread, "40"},
		{"Depot Quarter", "canola with a soil test", advice.Spread, "nets about"},
		{"Long Pasture", "wheat grazed out", advice.Spread, "nets about"},
		{"Thin Ridge", "a stand so thin that hardly any nitrogen is called for", advice.Leave, "can be spread evenly"},
	}
	a := advisor(t)
	for _, tt := range tests {
		t.Run(tt.field, func(t *testing.T) {
			p := a.Advise(named(t, tt.field))
			sentence := p.Sentence.Read(&p.Figures, unit.US)
			if p.Decision.Action != tt.action || !strings.Contains(sentence, tt.says) {
				t.Errorf("%s: %s\n%q\nwant %s, with %q", tt.story, p.Decision.Action, sentence, tt.action, tt.says)
			}
		})
	}
}

// Every number and claim in every sentence opens, and so does everything behind it.
func TestEveryNumberOpens(t *testing.T) {
	a := advisor(t)
	for _, fs := range district(28) {
		p := a.Advise(fs)
		sentences := append([]working.Sentence{p.Sentence, p.Need.Sentence, p.Spread.Explained, p.Spots.Sentence}, p.Reasons...)
		for _, g := range p.Ground {
			sentences = append(sentences, g.Sentence)
		}
		for _, s := range sentences {
			for _, part := range s {
				if part.Figure == "" {
					continue
				}
				f, ok := p.Figures.Get(part.Figure)
				if !ok {
					t.Errorf("%s: %q opens to %s, which is not in the ledger", fs.Field.Name, part.Text, part.Figure)
					continue
				}
				if f.Expression == "" && f.Origin.Kind == "" {
					t.Errorf("%s: figure %s shows neither how it was computed nor who saw it", fs.Field.Name, f.ID)
				}
			}
		}
		for _, f := range p.Figures.All() {
			checkFigure(t, fs.Field.Name, &p, f)
		}
	}
}

func checkFigure(t *testing.T, field string, p *advice.Plan, f working.Figure) {
	t.Helper()
	if math.IsNaN(f.Amount.Base) || math.IsInf(f.Amount.Base, 0) {
		t.Errorf("%s: figure %s is %v", field, f.ID, f.Amount.Base)
	}
	if f.Interval != nil && !(f.Interval.Low <= f.Interval.High) {
		t.Errorf("%s: figure %s lies between %v and %v", field, f.ID, f.Interval.Low, f.Interval.High)
	}
	if f.Text == "" && f.Amount.Kind == "" {
		t.Errorf("%s: figure %s has neither words nor a number with a unit", field, f.ID)
	}
	if _, ok := p.Source(f.Source); f.Source != "" && !ok {
		t.Errorf("%s: figure %s cites %q, which is not in the catalogue", field, f.ID, f.Source)
	}
	for _, in := range f.Inputs {
		if _, ok := p.Figures.Get(in.Figure); in.Figure != "" && !ok {
			t.Errorf("%s: figure %s rests on %s, which is not in the ledger", field, f.ID, in.Figure)
		}
		if in.Figure == "" && in.Origin.Kind == "" {
			t.Errorf("%s: figure %s: input %q does not say where it comes from", field, f.ID, in.Label)
		}
	}
}

func TestPlanSurvivesJSON(t *testing.T) {
	a := advisor(t)
	for _, fs := range district(28) {
		p := a.Advise(fs)
		text, err := json.Marshal(&p)
		if err != nil {
			t.Fatal(err)
		}
		var back advice.Plan
		if err := json.Unmarshal(text, &back); err != nil {
			t.Fatalf("%s: %v", fs.Field.Name, err)
		}
		again, err := json.Marshal(&back)
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(string(text), string(again)); diff != "" {
			t.Errorf("%s: the plan changed on the way through JSON:\n%s", fs.Field.Name, diff)
		}
	}
}

func TestReplayIsIdentical(t *testing.T) {
	a := advisor(t)
	for _, fs := range district(24) {
		frozen, err := a.Freeze(fs, "test", time.Date(2027, 2, 10, 12, 0, 0, 0, time.UTC), "an advisor")
		if err != nil {
			t.Fatal(err)
		}
		text, err := json.MarshalIndent(frozen, "", "\t") // white space is no change
		if err != nil {
			t.Fatal(err)
		}
		var back advice.Frozen
		if err := json.Unmarshal(text, &back); err != nil {
			t.Fatal(err)
		}
		r, err := a.Replay(back)
		if err != nil || !r.Identical || r.Compared < 50 {
			t.Errorf("%s: identical %v, %d compared, %v, %v", fs.Field.Name, r.Identical, r.Compared, r.Differences, err)
		}
	}
}

func TestReplayFindsWhatChanged(t *testing.T) {
	a := advisor(t)
	frozen, err := a.Freeze(named(t, "Mill Quarter"), "test", time.Time{}, "")
	if err != nil {
		t.Fatal(err)
	}
	forged := frozen
	forged.Plan = json.RawMessage(strings.Replace(string(frozen.Plan), `"action":"spread"`, `"action":"leave"`, 1))
	if _, err := a.Replay(forged); err != advice.ErrDamaged {
		t.Errorf("a forged plan replays with error %v, want ErrDamaged", err)
	}
	// An older program that came to another number would have frozen it with a hash that fits.
	var fs season.FieldSeason
	if err := json.Unmarshal(frozen.Input, &fs); err != nil {
		t.Fatal(err)
	}
	fs.Field.Name = "another name"
	other, err := a.Freeze(fs, "test", time.Time{}, "")
	if err != nil {
		t.Fatal(err)
	}
	mixed := advice.Frozen{Format: frozen.Format, ID: frozen.ID, Input: other.Input, Plan: frozen.Plan}
	mixed.Hash = advice.HashOf(mixed.Input, mixed.Plan)
	r, err := a.Replay(mixed)
	want := []advice.Difference{{Path: "field.name", Then: `"Mill Quarter"`, Now: `"another name"`}}
	if diff := cmp.Diff(want, r.Differences); err != nil || r.Identical || diff != "" {
		t.Errorf("identical %v, error %v, differences (-want +got):\n%s", r.Identical, err, diff)
	}
}

// All nitrogen spread is accounted for.
func TestMassCloses(t *testing.T) {
	a := advisor(t)
	for _, fs := range district(200) {
		p := a.Advise(fs)
		if p.Decision.Action != advice.Spread {
			continue
		}
		get := func(id working.ID) float64 {
			f, ok := p.Figures.Get(id)
			if !ok {
				t.Fatalf("%s: no figure %s", fs.Field.Name, id)
			}
			return f.Amount.Base
		}
		spread := get("advised.rate")
		accounted := get("advised.reaching") + spread*get("advised.loss") + get("advised.tied-up")
		if math.Abs(accounted-spread) > 1e-9*spread {
			t.Errorf("%s: of %v kg/ha spread, %v is accounted for", fs.Field.Name, spread, accounted)
		}
	}
}

// A crop that reads better than the reference strip gets no nitrogen.
func TestBetterThanTheStripGetsNone(t *testing.T) {
	a := advisor(t)
	fs := named(t, "Mill Quarter")
	rapid.Check(t, func(t *rapid.T) {
		better := rapid.Float64Range(1.001, 1.5).Draw(t, "crop beside over strip")
		changed := fs
		changed.Readings = nil
		for _, r := range fs.Readings {
			swapped := *r
			swapped.Readings = slices.Clone(r.Readings)
			for i := range swapped.Readings {
				base := 0.4 + 0.05*math.Sin(float64(i))
				if swapped.Readings[i].Place == season.Beside {
					base *= better
				}
				swapped.Readings[i].Value = base
			}
			changed.Readings = append(changed.Readings, &swapped)
		}
		p := a.Advise(changed)
		if p.Decision.Action == advice.Spread || p.Decision.Rate != 0 {
			t.Fatalf("the crop reads %.3f times the strip; the plan says %s %v", better, p.Decision.Action, p.Decision.Rate)
		}
		for _, r := range p.Rates {
			if r.Family == "in-season" && r.Answered && r.Rate != 0 {
				t.Fatalf("%s gives %v", r.Name, r.Rate)
			}
		}
	})
}

// More nitrate in the soil never raises a rate, by any way.
func TestMoreSoilNitrateNeverRaisesARate(t *testing.T) {
	a := advisor(t)
	fields := []season.FieldSeason{named(t, "Mill Quarter"), named(t, "Depot Quarter"), named(t, "Elevator Eighty")}
	rapid.Check(t, func(t *rapid.T) {
		fs := rapid.SampledFrom(fields).Draw(t, "field")
		less := rapid.Float64Range(0, 40).Draw(t, "ppm")
		more := less + rapid.Float64Range(0, 40).Draw(t, "more")
		low, high := a.Advise(withNitrate(fs, less)), a.Advise(withNitrate(fs, more))
		for i := range low.Rates {
			if high.Rates[i].Answered && low.Rates[i].Answered && high.Rates[i].Rate > low.Rates[i].Rate+1e-9 {
				t.Fatalf("%s: %s gives %v at %.1f ppm and %v at %.1f ppm", fs.Field.Name, low.Rates[i].Name, low.Rates[i].Rate, less, high.Rates[i].Rate, more)
			}
		}
	})
}

func withNitrate(fs season.FieldSeason, ppm float64) season.FieldSeason {
	soils := make([]*season.Soil, 0, len(fs.Soils))
	for _, s := range fs.Soils {
		changed := *s
		changed.Results = slices.Clone(s.Results)
		for i := range changed.Results {
			if changed.Results[i].Analyte == season.NitrateN {
				changed.Results[i].Value = ppm
			}
		}
		soils = append(soils, &changed)
	}
	fs.Soils = soils
	return fs
}

// The reader's units change how a plan is written, and no number in it.
func TestUnitsChangeNoNumber(t *testing.T) {
	a := advisor(t)
	for _, fs := range district(24) {
		us := a.Advise(fs)
		fs.Settings.Units = unit.Metric
		metric := a.Advise(fs)
		for i, f := range us.Figures.All() {
			g := metric.Figures.All()[i]
			if f.ID != g.ID || f.Amount != g.Amount {
				t.Errorf("%s: %s is %v in US units and %s %v in metric", fs.Field.Name, f.ID, f.Amount, g.ID, g.Amount)
			}
		}
		if us.Decision != metric.Decision {
			t.Errorf("%s: %+v in US units, %+v in metric", fs.Field.Name, us.Decision, metric.Decision)
		}
	}
}

// Frozen or snow-covered ground is a hard stop, whatever the money says.
func TestFrozenGroundStops(t *testing.T) {
	fs := named(t, "Mill Quarter")
	forecast := *fs.Forecast
	forecast.Days = slices.Clone(forecast.Days)
	for i := range forecast.Days {
		forecast.Days[i].Low, forecast.Days[i].High = -18, -9
	}
	fs.Forecast = &forecast
	weather := slices.Clone(fs.Weather)
	for i := max(0, len(weather)-12); i < len(weather); i++ {
		weather[i].Low, weather[i].High = -18, -9
	}
	fs.Weather = weather
	p := advisor(t).Advise(fs)
	if p.Decision.Action != advice.Hold {
		t.Errorf("on ground frozen for three weeks the plan says %s: %s", p.Decision.Action, p.Sentence.Read(&p.Figures, unit.US))
	}
	for _, d := range p.Days {
		if d.Stop == "" {
			t.Errorf("%s is open: %s", d.Day, d.Why)
		}
	}
}

func TestExpiredForecastNamesNoDay(t *testing.T) {
	fs := named(t, "Mill Quarter")
	forecast := *fs.Forecast
	forecast.Issued = forecast.Issued.AddDate(0, 0, -8)
	fs.Forecast = &forecast
	p := advisor(t).Advise(fs)
	if !p.Decision.Day.IsZero() || len(p.Days) > 0 {
		t.Errorf("a forecast eight days old names %s and %d days", p.Decision.Day, len(p.Days))
	}
	if !slices.ContainsFunc(p.Missing, func(m advice.Missing) bool { return strings.Contains(m.What, "forecast") }) {
		t.Errorf("the plan does not say that a forecast is missing: %v", p.Missing)
	}
}

// Without a forecast today's ground still stops the spreader.
func TestFrozenGroundStopsWithoutForecast(t *testing.T) {
	fs := named(t, "Mill Quarter")
	fs.Forecast = nil
	frozen := true
	fs.Visits = append(slices.Clone(fs.Visits), &season.Visit{Field: fs.Field.ID, Day: fs.Today, Observer: "a scout", Frozen: &frozen})
	p := advisor(t).Advise(fs)
	if p.Decision.Action != advice.Hold || p.Decision.Stake <= 0 {
		t.Errorf("on frozen ground the plan says %s, stake %v: %s", p.Decision.Action, p.Decision.Stake, p.Sentence.Read(&p.Figures, unit.US))
	}
}

// "No response seen" holds with a day to look again, whether or not a rate could be found.
func TestNoResponseHoldsWithoutARate(t *testing.T) {
	fs := named(t, "Schoolhouse Quarter")
	fs.Field.YieldGoal, fs.Field.Planted = working.Fact[unit.Yield]{}, calendar.Day{}
	fs.Soils, fs.Trials, fs.Weather = nil, nil, nil
	p := advisor(t).Advise(fs)
	if p.Decision.Action != advice.Hold || p.Decision.LookAgain.IsZero() {
		t.Errorf("%s until %s: %s", p.Decision.Action, p.Decision.LookAgain, p.Sentence.Read(&p.Figures, unit.US))
	}
}

// A usual date that nobody has checked holds and asks for the stage; only a stage that was seen, or a day past
// its margin, ends top-dressing. No day to look again lies in the past.
func TestTheDeadlineIsNotCertainUntilSeen(t *testing.T) {
	a := advisor(t)
	s := season.Assemble(demo.Season(28, 1))
	want := map[advice.Action]bool{}
	for day := demo.Today(); day.Before(demo.Today().Add(80)); day = day.Add(1) {
		fs, _ := s.Of("mill-quarter", day)
		p := a.Advise(fs)
		want[p.Decision.Action] = true
		switch {
		case day.After(p.Deadline.High) && p.Decision.Action != advice.Leave:
			t.Errorf("%s, past the margin: %s", day, p.Decision.Action)
		case day.After(p.Deadline.Day) && !day.After(p.Deadline.High) && p.Decision.Action != advice.Hold:
			t.Errorf("%s, past the usual day that nobody checked: %s", day, p.Decision.Action)
		}
		if look := p.Decision.LookAgain; !look.IsZero() && look.Before(day) {
			t.Errorf("on %s the plan says to look again on %s", day, look)
		}
	}
	if !want[advice.Hold] || !want[advice.Leave] {
		t.Errorf("over 80 days the plan said only %v", want)
	}
}

// A ramp is evidence of need, and scores by eye do not overrule it.
func TestRampOverrulesTheEye(t *testing.T) {
	fs := named(t, "Elevator Eighty")
	eye := &season.Readings{Field: fs.Field.ID, Strip: "A", Day: fs.Today.Add(-1), Observer: "a scout", Reference: season.StripReference, Means: season.Eye}
	for pair := 1; pair <= 8; pair++ {
		reference := 4.0
		if pair > 3 {
			reference = 2
		}
		eye.Readings = append(eye.Readings,
			season.Reading{Pair: pair, Place: season.OnReference, Value: reference}, season.Reading{Pair: pair, Place: season.Beside, Value: 3})
	}
	fs.Readings = append(slices.Clone(fs.Readings), eye)
	p := advisor(t).Advise(fs)
	if p.Need.Verdict != need.ResponseSeen || !slices.ContainsFunc(p.Warnings, func(n advice.Note) bool { return strings.Contains(n.Text, "the ramp decides") }) {
		t.Errorf("verdict %s, warnings %v", p.Need.Verdict, p.Warnings)
	}
}

// A windy day is not chosen while a calm one is open, whether the forecast tells wind by the day or by the hour. Wind
// in a few of its hours does not matter.
func TestWindSteersTheDay(t *testing.T) {
	fs := named(t, "Mill Quarter")
	before := advisor(t).Advise(fs)
	for _, row := range []struct {
		name  string
		windy func(season.Hour) bool // nil for a forecast by the day
		stays bool
	}{
		{"by the day", nil, false},
		{"by the hour", func(season.Hour) bool { return true }, false},
		{"in the afternoon", func(h season.Hour) bool { _, clock := h.Clock(); return clock >= 12 }, true},
	} {
		forecast := *fs.Forecast
		forecast.Days, forecast.Hours = slices.Clone(forecast.Days), slices.Clone(forecast.Hours)
		for i, d := range forecast.Days {
			if d.Day == before.Decision.Day && row.windy == nil {
				forecast.Days[i].Wind, forecast.Days[i].Has, forecast.Hours = 20, d.Has|season.HasWind, nil
			}
		}
		for i, h := range forecast.Hours {
			if day, _ := h.Clock(); day == before.Decision.Day && row.windy(h) {
				forecast.Hours[i].Wind = 20
			}
		}
		windy := fs
		windy.Forecast = &forecast
		after := advisor(t).Advise(windy)
		if after.Decision.Action != advice.Spread || (after.Decision.Day == before.Decision.Day) != row.stays {
			t.Errorf("with 20 m/s of wind on %s %s the plan names %s", before.Decision.Day, row.name, after.Decision.Day)
		}
	}
}

// A storm that would carry product off is no reason to spread before it: another day is named, or none.
func TestNoDayIsNamedBeforeAWashout(t *testing.T) {
	fs := named(t, "Mill Quarter")
	forecast := *fs.Forecast
	forecast.Days, forecast.Hours = slices.Clone(forecast.Days), nil
	storm := fs.Today.Add(2)
	for i := range forecast.Days {
		if d := &forecast.Days[i]; d.Day == storm {
			d.Rain, d.RainChance, d.Has = 2.5*unit.InchOfWater, 0.9, d.Has|season.HasRain
		}
	}
	fs.Forecast = &forecast
	p := advisor(t).Advise(fs)
	if d := p.Decision; d.Action == advice.Spread && storm.Sub(d.Day) >= 0 && storm.Sub(d.Day) <= 2 {
		t.Errorf("%s is named, ahead of 2.5 in on %s: %s", d.Day, storm, p.Sentence.Read(&p.Figures, unit.US))
	}
}

// Wind on every day of the forecast holds the field, whatever the money says.
func TestWindOnEveryDayHolds(t *testing.T) {
	fs := named(t, "Mill Quarter")
	forecast := *fs.Forecast
	forecast.Days, forecast.Hours = slices.Clone(forecast.Days), nil
	for i := range forecast.Days {
		forecast.Days[i].Wind, forecast.Days[i].Has = 13, forecast.Days[i].Has|season.HasWind
	}
	fs.Forecast = &forecast
	p := advisor(t).Advise(fs)
	if said := p.Sentence.Read(&p.Figures, unit.US); p.Decision.Action != advice.Hold || !strings.Contains(said, "wind") {
		t.Errorf("28 mph on every day: %s", said)
	}
}

// With a herbicide due, flat fans share its pass; without a price for their own pass streams are not free.
func TestHerbicidePass(t *testing.T) {
	fs := named(t, "Stubble Quarter")
	net := func(fs season.FieldSeason, placement string) (unit.MoneyPerArea, bool) {
		p := advisor(t).Advise(fs)
		for _, o := range p.Options {
			if o.Product == "uan-28" && o.Placement == placement {
				return o.Net, o.Possible
			}
		}
		return 0, false
	}
	alone, _ := net(fs, "flat fans")
	fs.Field.HerbicideDue = true
	shared, _ := net(fs, "flat fans")
	if shared <= alone {
		t.Errorf("flat fans net %v alone and %v with a herbicide due; sharing the pass should pay", alone, shared)
	}
	fs.Prices = slices.DeleteFunc(slices.Clone(fs.Prices), func(p *season.Price) bool { return p.Item == "pass/stream" })
	if _, possible := net(fs, "streams"); possible {
		t.Error("streams are possible without a price for their pass")
	}
}

// Dearer nitrogen and cheaper grain end in a pass that does not pay, and never turn back.
func TestPricesDecideOneWay(t *testing.T) {
	a := advisor(t)
	paid := true
	for factor := 1.0; factor < 12; factor += 0.5 {
		fs := named(t, "Mill Quarter")
		fs.Prices = nil
		for _, p := range named(t, "Mill Quarter").Prices {
			dear := *p
			if p.Item == "urea" || strings.HasPrefix(p.Item, "uan") || p.Item == "ammonium-sulfate" {
				dear.Price, dear.Low, dear.High = dear.Price*unit.PricePerMass(factor), dear.Low*unit.PricePerMass(factor), dear.High*unit.PricePerMass(factor)
			}
			fs.Prices = append(fs.Prices, &dear)
		}
		p := a.Advise(fs)
		pays := p.Decision.Action == advice.Spread
		if pays && !paid {
			t.Errorf("at %.1f times the price nitrogen pays again", factor)
		}
		paid = pays
		if !pays && !strings.Contains(p.Sentence.Read(&p.Figures, unit.US), "does not pay") {
			t.Errorf("at %.1f times the price: %s", factor, p.Sentence.Read(&p.Figures, unit.US))
		}
	}
	if paid {
		t.Error("nitrogen pays at any price")
	}
}

func TestWithoutPricesThePlanAsks(t *testing.T) {
	fs := named(t, "Mill Quarter")
	fs.Prices = nil
	p := advisor(t).Advise(fs)
	if p.Decision.Action != advice.Ask || len(p.Missing) == 0 {
		t.Errorf("without prices: %s, missing %v", p.Decision.Action, p.Missing)
	}
}

// An empty field is answered, with what is missing.
func TestNothingKnown(t *testing.T) {
	p := advisor(t).Advise(season.FieldSeason{Today: demo.Today(), Field: season.Field{ID: "f", Name: "F", Crop: season.WheatGrain}})
	if p.Decision.Action != advice.Ask || p.Need.Verdict != need.NoReference || len(p.Missing) < 3 {
		t.Errorf("action %s, verdict %s, missing %v", p.Decision.Action, p.Need.Verdict, p.Missing)
	}
}

// The same field gives the same plan whatever was computed before it, and in whatever order.
func TestPlansDoNotDependOnEachOther(t *testing.T) {
	a, fields := advisor(t), district(24)
	first := make([]string, len(fields))
	for i, fs := range fields {
		text, err := json.Marshal(a.Advise(fs))
		if err != nil {
			t.Fatal(err)
		}
		first[i] = string(text)
	}
	for i := len(fields) - 1; i >= 0; i-- {
		text, err := json.Marshal(advisor(t).Advise(fields[i]))
		if err != nil {
			t.Fatal(err)
		}
		if string(text) != first[i] {
			t.Errorf("%s differs when computed in another order", fields[i].Field.Name)
		}
	}
}

func BenchmarkAdvise(b *testing.B) {
	a, fields := advisor(b), district(300)
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		a.Advise(fields[i%len(fields)])
	}
}

// A response that was seen long ago does not send a spreader out.
func TestAnOldReadingHolds(t *testing.T) {
	s := season.Assemble(demo.Season(28, 1))
	july, _ := s.Of("long-pasture", calendar.Date(2027, 7, 10))
	p := advisor(t).Advise(july)
	sentence := p.Sentence.Read(&p.Figures, unit.US)
	if p.Decision.Action != advice.Hold || !strings.Contains(sentence, "too long ago") {
		t.Errorf("in July on a reading of February: %s, %s", p.Decision.Action, sentence)
	}
}

// A nitrogen budget adds up to the rate it explains, or supplies more than is needed and leaves nothing to spread.
func TestBudgetsAddUp(t *testing.T) {
	a, budgets := advisor(t), 0
	for _, fs := range district(28) {
		p := a.Advise(fs)
		for _, r := range p.Rates {
			if len(r.Budget) == 0 {
				continue
			}
			budgets++
			sum := unit.Rate(0)
			for _, line := range r.Budget {
				sum += line.Amount
			}
			if math.Abs(float64(max(0, sum)-r.Rate)) > 1e-6 {
				t.Errorf("%s, %s: the budget adds up to %.3f kg/ha and the rate is %.3f", fs.Field.Name, r.Method, sum, r.Rate)
			}
		}
	}
	if budgets < 28 {
		t.Errorf("only %d budgets in 28 fields", budgets)
	}
}
