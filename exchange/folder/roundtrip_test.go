package folder

import (
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/cite"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/demo"
	"culm/season"

	gocmp "github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"
)

// asSaid makes entries comparable: by id, and without the places in files, which are those of the folder they
// were read from. Nothing else is left out, and floats are compared to the last bit.
var asSaid = gocmp.Options{
	cmpopts.SortSlices(func(a, b season.Entry) bool { return a.ID < b.ID }),
	cmpopts.IgnoreFields(season.Entry{}, "Where"),
	cmpopts.IgnoreFields(working.Origin{}, "Where", "Entry"),
	cmpopts.EquateEmpty(),
	gocmp.Comparer(func(a, b calendar.Day) bool { return a == b }),
	gocmp.Comparer(func(a, b time.Time) bool { return a.Format(time.RFC3339Nano) == b.Format(time.RFC3339Nano) }),
}

// there and back again through the disk.
func rewrite(t interface{ Fatalf(string, ...any) }, dir string, entries []season.Entry, units unit.System) Content {
	if err := Write(dir, entries, units); err != nil {
		t.Fatalf("write in %s units: %v", units, err)
	}
	c, problems := Open(dir)
	if len(problems) > 0 {
		t.Fatalf("read back in %s units: %+v", units, problems)
	}
	if diff := gocmp.Diff(entries, c.Entries, asSaid); diff != "" {
		t.Fatalf("in %s units (-written +read):\n%s", units, diff)
	}
	return c
}

func TestTheExampleReadsBackTheSame(t *testing.T) {
	example, problems := Read(os.DirFS("../../examples"), "two-fields")
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	for _, units := range []unit.System{unit.US, unit.Metric} {
		dir := filepath.Join(t.TempDir(), "season")
		c := rewrite(t, dir, example.Entries, units)
		if _, err := os.Stat(filepath.Join(dir, entriesFile)); err == nil {
			t.Errorf("%s: the tables could not hold everything", units)
		}
		// Written again in the first units nothing has gained a digit.
		if units == unit.US {
			continue
		}
		again := filepath.Join(t.TempDir(), "season")
		rewrite(t, again, c.Entries, unit.US)
		for _, name := range []string{"readings.csv", "soil.csv", "prices.csv", "weather/linden.csv", "forecast/linden.csv", "boundaries.geojson"} {
			want := readFile(t, filepath.Join("../../examples/two-fields", name))
			if got := readFile(t, filepath.Join(again, name)); len(got) > len(want)*11/10 {
				t.Errorf("%s grew from %d to %d bytes:\n%s", name, len(want), len(got), got)
			}
		}
	}
}

func readFile(t *testing.T, name string) string {
	t.Helper()
	data, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// The demonstration has every kind of entry, corrections among them.
func TestTheDemonstrationReadsBackTheSame(t *testing.T) {
	entries := demo.Season(demo.Cast, 1)
	for _, units := range []unit.System{unit.US, unit.Metric} {
		rewrite(t, filepath.Join(t.TempDir(), "season"), entries, units)
	}
}

func TestAnyEntriesReadBackTheSame(t *testing.T) {
	parent := t.TempDir()
	rapid.Check(t, func(t *rapid.T) {
		dir, err := os.MkdirTemp(parent, "season")
		if err != nil {
			t.Fatalf("%v", err)
		}
		entries := drawEntries(drawer{t, true})
		units := rapid.SampledFrom([]unit.System{unit.US, unit.Metric}).Draw(t, "units")
		rewrite(t, dir, entries, units)
	})
}

// Entries of the usual kind are all written where people look for them. The file of last resort is for what
// has been corrected and for what nobody would write.
func TestOrdinaryEntriesStandInTheTables(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		all, err := sound(drawEntries(drawer{t, false}))
		if err != nil {
			t.Fatal(err)
		}
		plain, other := partition(all)
		files, err := lay(plain, other, rapid.SampledFrom([]unit.System{unit.US, unit.Metric}).Draw(t, "units"))
		if err != nil {
			t.Fatal(err)
		}
		strays, err := compare(all, plain, files)
		if err != nil {
			t.Fatal(err)
		}
		content, problems := inMemory(files).read()
		for _, e := range plain {
			if strays[e.ID] {
				back := slices.DeleteFunc(content.Entries, func(got season.Entry) bool { return got.ID != e.ID })
				t.Fatalf("the tables could not hold it (-written +read):\n%s\n%+v", gocmp.Diff([]season.Entry{e}, back, asSaid), problems)
			}
		}
	})
}

// The round trip is only worth what is drawn for it: no part of any body may always be empty. A part that is
// added to package season fails here until the folder can hold it.
func TestTheDrawingReachesEveryPart(t *testing.T) {
	reached := map[string]bool{}
	bodies := rapid.Custom(func(t *rapid.T) season.Body { return drawBody(drawer{t, false}) })
	for seed := range 3000 {
		reach(reflect.ValueOf(bodies.Example(seed)), "", reached)
	}
	for _, k := range []season.Body{
		&season.Settings{Calibration: &season.Calibration{}}, &season.Producer{}, &season.Field{}, &season.Boundary{}, &season.Readings{Readings: []season.Reading{{}}}, &season.Ramp{Steps: []season.RampStep{{}}}, &season.Visit{},
		&season.Soil{Results: []season.Result{{}}}, &season.Spot{}, &season.Applied{}, &season.Harvest{}, &season.Station{}, &season.Weather{Days: []season.WeatherDay{{}}},
		&season.Forecast{Days: []season.ForecastDay{{}}}, &season.Price{}, &season.Trial{Plots: []season.Plot{{}}},
	} {
		every := map[string]bool{}
		list(reflect.ValueOf(k), "", every)
		for part := range every {
			filledIn := strings.HasSuffix(part, "Origin.Entry") || strings.HasSuffix(part, "Origin.Where") || strings.HasPrefix(part, "Price.Origin")
			if !reached[part] && !filledIn {
				t.Errorf("%s is never drawn", part)
			}
		}
	}
}

// reach notes the parts of a value that are not empty, list those that there are.
func reach(v reflect.Value, path string, parts map[string]bool) {
	walk(v, path, func(part string, v reflect.Value) {
		if !v.IsZero() {
			parts[part] = true
		}
	})
}

func list(v reflect.Value, path string, parts map[string]bool) {
	walk(v, path, func(part string, _ reflect.Value) { parts[part] = true })
}

func walk(v reflect.Value, path string, see func(string, reflect.Value)) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			walk(v.Elem(), path, see)
		}
	case reflect.Slice:
		see(path, v)
		for i := range v.Len() {
			walk(v.Index(i), path, see)
		}
	case reflect.Struct:
		if path == "" {
			path = v.Type().Name()
		}
		exported := false
		for _, f := range reflect.VisibleFields(v.Type()) {
			if f.IsExported() && !f.Anonymous && len(f.Index) == 1 {
				exported = true
				walk(v.FieldByIndex(f.Index), path+"."+f.Name, see)
			} else if f.Anonymous {
				walk(v.FieldByIndex(f.Index), path, see)
			}
		}
		if !exported {
			see(path, v)
		}
	default:
		see(path, v)
	}
}

// drawer draws entries: names full of quotes and line ends, facts with every part of an origin, amounts with
// all their digits. When it is odd it also draws what a notebook could hold but nobody would write: days and
// lists that are empty, words that are unknown, rings that are open.
type drawer struct {
	*rapid.T
	odd bool
}

func drawEntries(t drawer) []season.Entry {
	var entries []season.Entry
	seen := map[string]bool{}
	for range rapid.IntRange(0, 12).Draw(t.T, "entries") {
		e := drawEntry(t, entries)
		if e.Check() == nil && !seen[e.ID] && hasSubject(e) {
			seen[e.ID] = true
			entries = append(entries, e)
		}
	}
	return entries
}

func hasSubject(e season.Entry) bool {
	if e.Body == nil {
		return true
	}
	_, err := season.WriteBody(e.Body)
	return err == nil
}

func drawEntry(t drawer, before []season.Entry) season.Entry {
	e := season.Entry{Body: drawBody(t)}
	if len(before) > 0 && rapid.IntRange(0, 3).Draw(t.T, "corrects") == 0 {
		old := rapid.SampledFrom(before).Draw(t.T, "corrected")
		e.Supersedes = old.ID
		if rapid.Bool().Draw(t.T, "same body") && old.Body != nil {
			e.Body = old.Body
		}
		e.Withdrawn = rapid.Bool().Draw(t.T, "withdrawn")
		if e.Withdrawn && rapid.Bool().Draw(t.T, "no body") {
			e.Body = nil
		}
	}
	if e.Body != nil && rapid.Bool().Draw(t.T, "plain stamp") {
		usual := habitsOf(&season.Settings{}).usual(e.Body)
		e.Writer, e.Observed, e.Recorded = usual.writer, usual.observed, usual.recorded
		e.ID, _ = ID(e)
		return e
	}
	e.ID = rapid.StringMatching(`[a-z0-9-]{1,8}`).Draw(t.T, "id")
	e.Writer = drawText(t, "writer")
	e.Observed = drawDay(t, "observed")
	e.Recorded = time.Unix(rapid.Int64Range(-1e9, 4e9).Draw(t.T, "recorded"), rapid.Int64Range(0, 1e9-1).Draw(t.T, "nanoseconds")).UTC()
	return e
}

func drawText(t drawer, label string) string {
	return rapid.OneOf(
		rapid.StringMatching(`[A-Za-z][a-z0-9 .-]{0,12}`),
		rapid.StringOf(rapid.SampledFrom([]rune("aé,;:\"'\\ \t\n\r=+-@#&*!|>{}[]%0ü\u2028\ufeff\u0085"))),
		rapid.SampledFrom([]string{"", "yes", "null", "~", "2027", "2027-02-10", "1e3", "- a", "a: b", "<1", "'x", "'=x", "0x1F", "a # b", ".nan"}),
	).Draw(t.T, label)
}

// drawName draws text that says something.
func drawName(t drawer) string {
	name := drawText(t, "name")
	if name == "" && !t.odd {
		return "x"
	}
	return name
}

func drawID(t drawer, label string) string {
	return rapid.OneOf(
		rapid.SampledFrom([]string{"north-80", "creek-40", "linden"}),
		rapid.StringMatching(`[a-z][a-z0-9 ./%-]{0,6}`),
	).Draw(t.T, label)
}

func drawDay(t drawer, label string) calendar.Day {
	if t.odd && rapid.IntRange(0, 20).Draw(t.T, "no "+label) == 0 {
		return calendar.Day{}
	}
	return calendar.Date(2026, time.July, 1).Add(rapid.IntRange(0, 400).Draw(t.T, label))
}

// drawWord draws one of a few words, or an odd one.
func drawWord[W ~string](t drawer, label string, words ...W) W {
	if t.odd {
		words = append(words, "furlongs")
	}
	return rapid.SampledFrom(words).Draw(t.T, label)
}

func drawNumber(t drawer, label string) float64 {
	v := rapid.OneOf(
		rapid.Map(rapid.IntRange(-999, 9999), func(n int) float64 { return float64(n) / 10 }),
		rapid.Float64Range(0, 1),
		rapid.Float64Range(-1e4, 1e6),
	).Draw(t.T, label)
	return v + 0 // no minus zero
}

func drawOrigin(t drawer) working.Origin {
	return working.Origin{
		Kind: rapid.SampledFrom(originKinds()).Draw(t.T, "kind of origin"),
		By:   drawText(t, "by"), On: drawDay(t, "on"), With: drawText(t, "with"),
		Source: cite.Key(drawText(t, "source")), Why: drawText(t, "why"),
	}
}

func drawFact[Q unit.Quantity](t drawer, label string, usual working.Origin) working.Fact[Q] {
	switch rapid.IntRange(0, 2).Draw(t.T, label+" known") {
	case 0:
		return working.Fact[Q]{}
	case 1:
		return working.Fact[Q]{Value: Q(drawNumber(t, label)), Origin: usual}
	default:
		return working.Fact[Q]{Value: Q(drawNumber(t, label)), Origin: drawOrigin(t)}
	}
}

func drawPosition(t drawer) season.Position {
	return season.Position{Lon: rapid.Float64Range(-180, 180).Draw(t.T, "lon") + 0, Lat: rapid.Float64Range(-90, 90).Draw(t.T, "lat") + 0}
}

func drawCrop(t drawer) season.Crop { return rapid.SampledFrom(crops()).Draw(t.T, "crop") }

// least is how many parts an entry has at least.
func (t drawer) least() int {
	if t.odd {
		return 0
	}
	return 1
}

func drawList[T any](t drawer, label string, draw func() T) []T {
	var list []T
	for range rapid.IntRange(t.least(), 4).Draw(t.T, label) {
		list = append(list, draw())
	}
	return list
}

func drawBody(t drawer) season.Body {
	kinds := []func(drawer) season.Body{
		drawSettings, drawField, drawProducerOrStation, drawBoundary, drawReadings, drawRamp, drawVisit, drawSoil, drawSpot,
		drawAppliedOrHarvest, drawWeather, drawForecast, drawPrice, drawTrial, drawRig,
	}
	return rapid.SampledFrom(kinds).Draw(t.T, "kind")(t)
}

func drawSettings(t drawer) season.Body {
	s := &season.Settings{
		Name: drawText(t, "name"), District: drawText(t, "district"), Advisor: drawText(t, "advisor"),
		Invented: rapid.Bool().Draw(t.T, "invented"), HarvestYear: rapid.IntRange(0, 2100).Draw(t.T, "year"),
		Units:      drawWord(t, "units", "", unit.US, unit.Metric),
		LeadWheat:  drawList(t, "leads", func() string { return drawName(t) }),
		LeadCanola: drawList(t, "leads", func() string { return drawName(t) }),
		Books:      drawList(t, "books", func() string { return drawName(t) }),
		LimeScore:  drawFact[unit.Fraction](t, "lime", setByAdvisor()),
		SoftGround: drawFact[unit.Fraction](t, "soft", setByAdvisor()), SaturatedGround: drawFact[unit.Fraction](t, "saturated", setByAdvisor()),
		MaximumYield: drawFact[unit.Yield](t, "maximum", setByAdvisor()), LocalRules: drawText(t, "rules"),
	}
	if rapid.Bool().Draw(t.T, "calibrated") {
		s.Calibration = &season.Calibration{
			Label: drawName(t), A: drawNumber(t, "a"), B: drawNumber(t, "b"), C: drawNumber(t, "c"), D: drawNumber(t, "d"),
			Efficiency: unit.Fraction(drawNumber(t, "efficiency")),
		}
	}
	return s
}

func drawRig(t drawer) season.Body {
	amount := func(label string) float64 { return rapid.Float64Range(0, 1e4).Draw(t.T, label) }
	return &season.Rig{
		ID: drawID(t, "id"), Name: drawText(t, "name"), Machine: drawWord(t, "machine", season.Sprayer, season.Spreader),
		Width: unit.Length(amount("width")), Nozzles: rapid.IntRange(0, 200).Draw(t.T, "nozzles"), Spacing: unit.Length(amount("spacing")),
		Tank: unit.Volume(amount("tank")), Hopper: unit.Mass(amount("hopper")), Speed: unit.Speed(amount("speed")),
		Monitor: drawWord(t, "monitor", "", season.GallonsAnAcre, season.KilogramsAHectare),
		Tips: drawList(t, "tips", func() season.Tip {
			return season.Tip{
				Name: drawName(t), Flow: unit.Flow(amount("flow")), At: unit.Pressure(amount("at")), Low: unit.Pressure(amount("low")),
				High: unit.Pressure(amount("high")), Streams: rapid.Bool().Draw(t.T, "streams"),
			}
		}),
		Note: drawText(t, "note"),
	}
}

func drawField(t drawer) season.Body {
	return &season.Field{
		ID: drawID(t, "id"), Name: drawName(t), Producer: drawName(t), Crop: drawCrop(t), Station: drawText(t, "station"),
		Stations:       drawList(t, "stations", func() string { return drawName(t) }),
		StationsWithin: unit.Length(rapid.Float64Range(0, 1e5).Draw(t.T, "within")),
		Planted:        drawDay(t, "planted"),
		ElongationSeen: drawList(t, "seen", func() calendar.Day { return drawDay(t, "seen") }),
		Tillage:        drawWord(t, "tillage", "", season.NoTill, season.Reduced),
		Texture:        drawWord(t, "texture", "", season.Sand, season.Clay),
		PreviousCrop:   drawText(t, "previous crop"), HerbicideDue: rapid.Bool().Draw(t.T, "herbicide"), Note: drawText(t, "note"),
		YieldGoal: drawFact[unit.Yield](t, "goal", setByAdvisor()), AreaGiven: drawFact[unit.Area](t, "area", toldByProducer()),
		Heads: drawFact[unit.Ratio](t, "heads", toldByProducer()), HeadMass: drawFact[unit.Mass](t, "head mass", toldByProducer()),
		GrazingDays: drawFact[unit.Days](t, "grazing days", toldByProducer()),
	}
}

func drawProducerOrStation(t drawer) season.Body {
	if rapid.Bool().Draw(t.T, "producer") {
		return &season.Producer{ID: drawID(t, "id"), Name: drawName(t)}
	}
	return &season.Station{
		ID: drawID(t, "id"), Name: drawText(t, "name"), At: drawPosition(t), Zone: drawText(t, "zone"),
		MorningReader: rapid.Bool().Draw(t.T, "morning"),
	}
}

func drawBoundary(t drawer) season.Body {
	ring := func() []season.Position {
		places := drawList(t, "places", func() season.Position { return drawPosition(t) })
		if len(places) > 0 && (!t.odd || rapid.Bool().Draw(t.T, "closed")) {
			places = append(places, places[0])
		}
		return places
	}
	return &season.Boundary{
		Field:    drawID(t, "field"),
		Polygons: drawList(t, "polygons", func() [][]season.Position { return drawList(t, "rings", ring) }),
	}
}

func drawReadings(t drawer) season.Body {
	return &season.Readings{
		Field: drawID(t, "field"), Strip: drawText(t, "strip"), Day: drawDay(t, "day"), Observer: drawText(t, "observer"), Instrument: drawText(t, "instrument"),
		Reference: drawWord(t, "reference", season.StripReference, season.UrineReference),
		Means:     drawWord(t, "means", season.Sensor, season.Eye),
		Readings: drawList(t, "readings", func() season.Reading {
			r := season.Reading{Pair: rapid.IntRange(-1, 12).Draw(t.T, "pair"), Place: drawWord(t, "place", season.OnReference, season.Beside), Value: drawNumber(t, "value")}
			if r.HasAlong = rapid.Bool().Draw(t.T, "has along"); r.HasAlong {
				r.Along = unit.Length(drawNumber(t, "along"))
			}
			return r
		}),
	}
}

func drawRamp(t drawer) season.Body {
	return &season.Ramp{
		Field: drawID(t, "field"), Day: drawDay(t, "day"), Observer: drawText(t, "observer"),
		Steps: drawList(t, "steps", func() season.RampStep {
			return season.RampStep{Rate: unit.Rate(drawNumber(t, "rate")), Better: rapid.Bool().Draw(t.T, "better")}
		}),
	}
}

func drawVisit(t drawer) season.Body {
	v := &season.Visit{Field: drawID(t, "field"), Day: drawDay(t, "day"), Observer: drawText(t, "observer"), Note: drawText(t, "note")}
	seen := seenBy(v.Observer, v.Day)
	v.Scale = drawWord(t, "scale", "", season.Feekes, season.BBCH)
	if v.Scale != "" {
		v.Stage = drawNumber(t, "stage")
	}
	v.HollowStem = drawFact[unit.Length](t, "hollow stem", seen)
	v.Residue, v.Green = drawFact[unit.Fraction](t, "residue", seen), drawFact[unit.Fraction](t, "green", seen)
	v.Stand, v.FreshMass = drawFact[unit.Fraction](t, "stand", seen), drawFact[unit.Biomass](t, "fresh", seen)
	yes, no := true, false
	v.Frozen = rapid.SampledFrom([]*bool{nil, &yes, &no}).Draw(t.T, "frozen")
	v.Snow = rapid.SampledFrom([]*bool{nil, &yes, &no}).Draw(t.T, "snow")
	return v
}

func drawSoil(t drawer) season.Body {
	s := &season.Soil{
		Sample: drawID(t, "sample"), Field: drawID(t, "field"), Day: drawDay(t, "day"), Lab: drawText(t, "lab"),
		Top: unit.Length(drawNumber(t, "top")), Bottom: unit.Length(drawNumber(t, "bottom")),
		Zone:     drawText(t, "zone"),
		SoilMass: unit.PoundsPerMillion(drawNumber(t, "mass")),
	}
	for _, a := range analytes() {
		if rapid.Bool().Draw(t.T, "measured") {
			s.Results = append(s.Results, season.Result{
				Analyte: a.analyte, Value: drawNumber(t, "value"), Method: drawText(t, "method"), Below: rapid.Bool().Draw(t.T, "below"),
			})
		}
	}
	return s
}

func drawSpot(t drawer) season.Body {
	return &season.Spot{
		ID: drawID(t, "id"), Field: drawID(t, "field"), Day: drawDay(t, "day"), Observer: drawText(t, "observer"),
		Spot: drawWord(t, "spot", season.PoorSpot, season.GoodSpot),
		Pair: drawText(t, "pair"), Sample: drawText(t, "sample"), At: drawPosition(t), Note: drawText(t, "note"),
	}
}

func drawAppliedOrHarvest(t drawer) season.Body {
	if rapid.Bool().Draw(t.T, "applied") {
		return &season.Applied{
			Field: drawID(t, "field"), Day: drawDay(t, "day"), Product: drawName(t), Rate: unit.Rate(drawNumber(t, "rate")),
			Placement: drawText(t, "placement"), By: drawText(t, "by"), Note: drawText(t, "note"),
		}
	}
	h := &season.Harvest{
		Field: drawID(t, "field"), Day: drawDay(t, "day"), Part: drawText(t, "part"), Yield: unit.Yield(drawNumber(t, "yield")),
		By: drawText(t, "by"), Note: drawText(t, "note"),
	}
	h.Protein = drawFact[unit.Fraction](t, "protein", seenBy(h.By, h.Day))
	return h
}

func drawWeatherDay(t drawer, day calendar.Day) season.WeatherDay {
	d := season.WeatherDay{Day: day, Has: season.Parts(rapid.IntRange(0, 7).Draw(t.T, "has"))}
	if d.Has&season.HasTemperature != 0 {
		d.Low, d.High = unit.Temperature(drawNumber(t, "low")), unit.Temperature(drawNumber(t, "high"))
	}
	if d.Has&season.HasRain != 0 {
		d.Rain = unit.Water(drawNumber(t, "rain"))
	}
	if d.Has&season.HasSnow != 0 {
		d.Snow = unit.Water(drawNumber(t, "snow"))
	}
	return d
}

func drawWeather(t drawer) season.Body {
	month := time.Month(rapid.IntRange(1, 12).Draw(t.T, "month"))
	w := &season.Weather{Station: drawID(t, "station"), Year: 2026, Month: month}
	for i := range rapid.IntRange(t.least(), 5).Draw(t.T, "days") {
		w.Days = append(w.Days, drawWeatherDay(t, calendar.Date(2026, month, 1+i)))
	}
	return w
}

func drawIssue(t drawer) time.Time {
	at := time.Unix(rapid.Int64Range(0, 4e9).Draw(t.T, "issued"), 0).UTC()
	if minutes := rapid.IntRange(-12*60, 12*60).Draw(t.T, "offset"); minutes != 0 {
		at = at.In(time.FixedZone("", minutes*60))
	}
	return at
}

func drawForecast(t drawer) season.Body {
	f := &season.Forecast{Station: drawID(t, "station"), Issued: drawIssue(t), By: drawText(t, "by")}
	first := drawDay(t, "first")
	for i := range rapid.IntRange(t.least(), 5).Draw(t.T, "days") {
		d := season.ForecastDay{WeatherDay: drawWeatherDay(t, first.Add(i)), RainChance: unit.Fraction(drawNumber(t, "chance"))}
		if rapid.Bool().Draw(t.T, "wind") {
			d.Has |= season.HasWind | season.HasHumidity
			d.Wind, d.Humidity = unit.Speed(drawNumber(t, "wind")), unit.Fraction(drawNumber(t, "humidity"))
		}
		f.Days = append(f.Days, d)
	}
	f.Hours = drawHours(t, f.Issued)
	return f
}

// drawHours are hours on some clock, from the issue on. When they are odd they may be of another year, and nothing
// may be known of any of them.
func drawHours(t drawer, issued time.Time) season.Hours {
	var hours season.Hours
	first := issued.UTC().Truncate(time.Hour)
	if t.odd && rapid.IntRange(0, 9).Draw(t.T, "late") == 0 {
		first = first.AddDate(1, 0, 0)
	}
	ahead := rapid.SampledFrom([]int{0, 0, -360, 345}).Draw(t.T, "ahead")
	for i := range rapid.IntRange(t.least(), 4).Draw(t.T, "hours") {
		h := season.Hour{At: first.Add(time.Duration(i) * time.Hour), Ahead: ahead, Has: season.HourParts(rapid.IntRange(0, 127).Draw(t.T, "has"))}
		if !t.odd {
			h.Has |= season.HourGust
		}
		given := func(part season.HourParts) float64 {
			if h.Has&part == 0 {
				return 0
			}
			return drawNumber(t, "value")
		}
		h.Temperature, h.Humidity = unit.Temperature(given(season.HourTemperature)), unit.Fraction(given(season.HourHumidity))
		h.Wind, h.Gust = unit.Speed(given(season.HourWind)), unit.Speed(given(season.HourGust))
		h.Cloud, h.Rain = unit.Fraction(given(season.HourCloud)), unit.Water(given(season.HourRain))
		h.RainChance = unit.Fraction(given(season.HourRainChance))
		hours = append(hours, h)
	}
	return hours
}

func drawPrice(t drawer) season.Body {
	p := &season.Price{
		Item: rapid.SampledFrom([]string{"wheat", "canola", "gain", "urea", "pass/stream", "=hay"}).Draw(t.T, "item"),
		Day:  drawDay(t, "day"), By: drawText(t, "by"),
	}
	if isPass(p.Item) {
		p.Pass = unit.MoneyPerArea(drawNumber(t, "pass"))
		return p
	}
	p.Price = unit.PricePerMass(drawNumber(t, "price"))
	p.Low, p.High = p.Price, p.Price
	if rapid.Bool().Draw(t.T, "ranged") {
		p.Low, p.High = unit.PricePerMass(drawNumber(t, "low")), unit.PricePerMass(drawNumber(t, "high"))
	}
	return p
}

func drawTrial(t drawer) season.Body {
	return &season.Trial{
		Name: drawID(t, "name"), Crop: drawCrop(t), Year: rapid.IntRange(t.least(), 2027).Draw(t.T, "year"), By: drawText(t, "by"),
		Plots: drawList(t, "plots", func() season.Plot {
			return season.Plot{Rate: unit.Rate(drawNumber(t, "rate")), Yield: unit.Yield(drawNumber(t, "yield"))}
		}),
	}
}
