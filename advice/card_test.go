package advice_test

import (
	"strings"
	"testing"

	"culm/advice"
	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/demo"
	"culm/season"
)

func boom() *season.Rig {
	return &season.Rig{
		ID: "boom", Name: "90 ft boom", Machine: season.Sprayer, Width: 90 * unit.Foot, Nozzles: 54, Spacing: 20 * unit.Inch,
		Tank: 1000 * unit.Gallon, Speed: 8 * unit.MilePerHour, Monitor: season.GallonsAnAcre,
		Tips: []season.Tip{
			{Name: "fan", Flow: 0.4 * unit.GallonPerMinute, At: 40 * unit.PoundPerSquareInch, Low: 15 * unit.PoundPerSquareInch, High: 60 * unit.PoundPerSquareInch},
			{Name: "three-hole", Flow: 0.5 * unit.GallonPerMinute, At: 40 * unit.PoundPerSquareInch, Low: 15 * unit.PoundPerSquareInch, High: 40 * unit.PoundPerSquareInch, Streams: true},
		},
	}
}

func discs() *season.Rig {
	return &season.Rig{ID: "discs", Machine: season.Spreader, Width: 60 * unit.Foot, Hopper: 4 * unit.ShortTon, Speed: 10 * unit.MilePerHour, Monitor: season.PoundsAnAcre}
}

// planFor is a plan to spread a product, with nothing in it but what a card reads. 80 ac at 75 lb N.
func planFor(product, placed string) *advice.Plan {
	p := &advice.Plan{
		Field: season.Field{ID: "f", Name: "North 80", Crop: season.WheatGrain, Note: "Strip A along the fence."}, Producer: season.Producer{Name: "H. Sorrel"},
		Today: calendar.Date(2027, 2, 10), Units: unit.US,
		Decision: advice.Decision{Action: advice.Spread, Rate: 75 * unit.PoundPerAcre, Product: product, Placement: placed},
		Cautions: []advice.Caution{{Key: "water", Text: "Keep 30 ft from the creek."}},
	}
	p.Figures.Add(working.Figure{ID: "area", Label: "Area", Amount: working.Of(80 * unit.Acre)})
	return p
}

func value(t *testing.T, lines []advice.CardLine, label string) string {
	t.Helper()
	for _, l := range lines {
		if l.Label == label {
			return strings.ReplaceAll(l.Value, "\u202f", " ")
		}
	}
	t.Errorf("no line %q in %v", label, lines)
	return ""
}

// University of Nebraska-Lincoln 2016: 75 lb N from UAN 28 are 25.151 gal/ac. Over 80 ac 2,012 gal: two loads of 1,000
// and one of 12.
func TestACardInGallons(t *testing.T) {
	rig := boom()
	rig.Speed = 6 * unit.MilePerHour
	c := advice.CardOf(planFor("uan-28", "stream"), rig, unit.US)
	if got := strings.ReplaceAll(c.Head, "\u202f", " "); got != "25.2 gal/ac of UAN solution 28-0-0" {
		t.Errorf("head %q", got)
	}
	for label, want := range map[string]string{"Rate on the monitor": "25.2 gal/ac", "Placed": "streams", "Boom": "90 ft"} {
		if got := value(t, c.Set, label); got != want {
			t.Errorf("%s: %q, want %q", label, got, want)
		}
	}
	if got := value(t, c.Loads, "Loads"); got != "2 full and one of 12 gal" {
		t.Errorf("loads %q", got)
	}
	// 25.151 × 6 × 20 ÷ 5940 = 0.508 GPM of UAN takes the three-hole tip of 0.5 in water, × 1.13, to 52.7 psi: above its 40.
	if len(c.Doubts) == 0 || !strings.Contains(strings.Join(c.Doubts, " "), "No tip fits at 6.0") {
		t.Errorf("doubts %q", c.Doubts)
	}
}

func TestACardChoosesATip(t *testing.T) {
	p := planFor("uan-28", "stream")
	p.Decision.Rate = 45 * unit.PoundPerAcre
	c := advice.CardOf(p, boom(), unit.US)
	// 15.09 × 8 × 20 ÷ 5940 = 0.4065 GPM; × 1.13 is 0.4593 in water: 40 × (0.4593 ÷ 0.5)² = 33.8 psi; half a minute of
	// 0.4065 gal is 26.0 oz.
	for label, want := range map[string]string{"Nozzle": "three-hole", "Pressure": "34 psi", "Check: one nozzle in 30 s": "26.0 fl oz"} {
		if got := value(t, c.Set, label); got != want {
			t.Errorf("%s: %q, want %q", label, got, want)
		}
	}
	for _, lines := range [][]advice.CardLine{c.Set, c.Loads} {
		for _, l := range lines {
			if f, ok := c.Figures.Get(l.Figure); l.Figure != "" && (!ok || f.Expression == "" && f.Origin.Kind == "") {
				t.Errorf("%s opens to nothing: %s", l.Label, l.Figure)
			}
		}
	}
}

// University of Nebraska-Lincoln prints no urea; by the analysis 75 ÷ 0.46 = 163 lb/ac, 6.52 tons on 80 ac.
func TestACardInPoundsOfDryProduct(t *testing.T) {
	c := advice.CardOf(planFor("urea", "broadcast"), discs(), unit.US)
	if got := value(t, c.Set, "Rate on the monitor"); got != "163 lb/ac" {
		t.Errorf("rate %q", got)
	}
	if got := value(t, c.Loads, "For the field"); got != "6.52 tons" {
		t.Errorf("total %q", got)
	}
	if got := value(t, c.Loads, "Loads"); got != "1 full and one of 2.52 tons" {
		t.Errorf("loads %q", got)
	}
	if len(c.Doubts) != 0 {
		t.Errorf("doubts %q", c.Doubts)
	}
}

func TestMonitorsInEveryUnit(t *testing.T) {
	for _, row := range []struct {
		product, placed string
		monitor         season.Monitor
		want            string
		doubted         bool
	}{
		{"uan-28", "stream", season.LitresAHectare, "235 L/ha", false},
		{"uan-28", "stream", season.PoundsAnAcre, "268 lb/ac", false},
		{"uan-28", "stream", season.KilogramsAHectare, "300 kg/ha", false},
		{"urea", "broadcast", season.ThousandSquareFeet, "3.74 lb/1000 ft²", false},
		{"urea", "broadcast", season.GallonsAnAcre, "163 lb/ac", true},
		{"urea", "broadcast", "", "163 lb/ac", true},
	} {
		rig := discs()
		if row.product == "uan-28" {
			rig = boom()
			rig.Speed = 3 * unit.MilePerHour
		}
		rig.Monitor = row.monitor
		c := advice.CardOf(planFor(row.product, row.placed), rig, unit.US)
		if got := value(t, c.Set, "Rate on the monitor"); got != row.want {
			t.Errorf("%s in %s: %q, want %q", row.product, row.monitor, got, row.want)
		}
		if doubted := strings.Contains(strings.Join(c.Doubts, " "), "monitor"); doubted != row.doubted {
			t.Errorf("%s in %s: doubts %q", row.product, row.monitor, c.Doubts)
		}
	}
}

func TestARigThatCannot(t *testing.T) {
	for _, row := range []struct {
		name, product, placed string
		rig                   *season.Rig
		says                  string
	}{
		{"a spreader with liquid", "uan-28", "stream", discs(), "is a spreader and cannot carry"},
		{"a sprayer with urea", "urea", "broadcast", boom(), "is a sprayer and cannot carry"},
		{"no rig", "urea", "broadcast", nil, "No rig was named"},
		{"no tips for streams", "uan-28", "stream", &season.Rig{ID: "r", Machine: season.Sprayer, Speed: 3, Spacing: 0.5, Tank: 1000}, "No stream tips of r"},
		{"nothing known", "uan-28", "flat-fan", &season.Rig{ID: "r", Machine: season.Sprayer}, "speed or nozzle spacing"},
		{"no tips for fans", "uan-28", "flat-fan", &season.Rig{ID: "r", Machine: season.Sprayer, Speed: 3, Spacing: 0.5}, "a standard size is told to look for"},
	} {
		c := advice.CardOf(planFor(row.product, row.placed), row.rig, unit.US)
		if all := strings.Join(c.Doubts, " "); !strings.Contains(strings.ToLower(all), strings.ToLower(row.says)) {
			t.Errorf("%s: doubts %q, expected %q", row.name, all, row.says)
		}
	}
}

func TestACardKeepsPeopleAndWaterInMind(t *testing.T) {
	p := planFor("uan-32", "flat-fan")
	p.Days = []advice.DayOutlook{{Day: p.Today, Forecast: true, Weather: season.ForecastDay{WeatherDay: season.WeatherDay{Low: -5, High: 5, Has: season.HasTemperature}}}}
	c := advice.CardOf(p, boom(), unit.US)
	all := strings.Join(append(append(append([]string{}, c.Stops...), c.Keep...), c.Safety...), "\n")
	for _, want := range []string{"frozen", "rinse at once", "Nurse tank", "30 ft from the creek", "Strip A along the fence", "Anhydrous ammonia never", "drift", "drops crystals below 28 °F"} {
		if !strings.Contains(all, want) {
			t.Errorf("the card does not say %q:\n%s", want, all)
		}
	}
}

// A plan that is not to spread makes a card that says so, and sets nothing.
func TestACardThatSaysNo(t *testing.T) {
	for _, a := range []advice.Action{advice.Hold, advice.Leave, advice.Ask} {
		p := planFor("urea", "broadcast")
		p.Decision.Action = a
		if c := advice.CardOf(p, discs(), unit.US); c.Go || len(c.Set) > 0 || !strings.HasPrefix(c.Head, "Do not spread") {
			t.Errorf("%s: %+v", a, c)
		}
	}
}

// The whole invented district gets its cards, in both systems, and every line opens to something.
func TestCardsOfTheDistrict(t *testing.T) {
	a, err := advice.NewAdvisor()
	if err != nil {
		t.Fatal(err)
	}
	s := season.Assemble(demo.Season(24, 1))
	went, placed := 0, 0
	for _, f := range s.Fields {
		fs, _ := s.Of(f.ID, demo.Today())
		p := a.Advise(fs)
		for _, units := range []unit.System{unit.US, unit.Metric} {
			for _, rig := range []*season.Rig{boom(), discs(), nil} {
				c := advice.CardOf(&p, rig, units)
				if c.Go != (p.Decision.Action == advice.Spread) {
					t.Errorf("%s: go %v, the plan says %s", f.Name, c.Go, p.Decision.Action)
				}
				if c.Go {
					went++
				}
				if c.Placed != "" {
					placed++
				}
				for _, l := range append(c.Set, c.Loads...) {
					if _, ok := c.Figures.Get(l.Figure); l.Figure != "" && !ok || l.Value == "" {
						t.Errorf("%s: %s opens to nothing", f.Name, l.Label)
					}
				}
			}
		}
	}
	if went == 0 {
		t.Error("no field of the district is spread")
	}
	t.Logf("%d cards say how to spread, %d why streams or fans", went, placed)
}
