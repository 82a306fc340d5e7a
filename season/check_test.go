package season_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

var checkDay = calendar.Date(2027, time.February, 10)

// sound is a small season with nothing to say against it, one entry of most kinds.
func sound() map[string]season.Body {
	field := &season.Field{
		ID: "north", Name: "North", Producer: "p", Crop: season.WheatGrain, Station: "s", Planted: calendar.Date(2026, time.October, 1),
		YieldGoal: working.Fact[unit.Yield]{Value: 3700, Origin: working.Origin{Kind: working.Setting}},
	}
	ring := []season.Position{{Lon: -99.60, Lat: 38.31}, {Lon: -99.59, Lat: 38.31}, {Lon: -99.59, Lat: 38.32}, {Lon: -99.60, Lat: 38.31}}
	weather := &season.Weather{Station: "s", Year: 2027, Month: time.February}
	for day := calendar.Date(2026, time.October, 1); !day.After(checkDay.Add(-1)); day = day.Add(1) {
		weather.Days = append(weather.Days, season.WeatherDay{Day: day, Low: -2, High: 9, Rain: 1, Has: season.HasTemperature | season.HasRain})
	}
	forecast := &season.Forecast{Station: "s", Issued: checkDay.Time().Add(11 * time.Hour)}
	for i := range 7 {
		forecast.Days = append(forecast.Days, season.ForecastDay{WeatherDay: season.WeatherDay{Day: checkDay.Add(i), Low: -3, High: 8, Has: season.HasTemperature}})
	}
	day := checkDay.Add(-1)
	return map[string]season.Body{
		"settings": &season.Settings{HarvestYear: 2027, Units: unit.US},
		"producer": &season.Producer{ID: "p", Name: "P"},
		"station":  &season.Station{ID: "s", At: season.Position{Lon: -99.58, Lat: 38.30}},
		"field":    field,
		"boundary": &season.Boundary{Field: "north", Polygons: [][][]season.Position{{ring}}},
		"readings": &season.Readings{Field: "north", Strip: "A", Day: day, Reference: season.StripReference, Means: season.Sensor, Readings: []season.Reading{
			{Pair: 1, Place: season.OnReference, Value: 0.62}, {Pair: 1, Place: season.Beside, Value: 0.5},
		}},
		"ramp":     &season.Ramp{Field: "north", Day: day, Steps: []season.RampStep{{Rate: 20}, {Rate: 40, Better: true}}},
		"visit":    &season.Visit{Field: "north", Day: day, Scale: season.Feekes, Stage: 4},
		"soil":     &season.Soil{Sample: "1", Field: "north", Day: calendar.Date(2026, time.August, 20), Bottom: 0.15, Results: []season.Result{{Analyte: season.PH, Value: 6.1}}},
		"poor":     &season.Spot{ID: "1", Field: "north", Day: day, Spot: season.PoorSpot, Pair: "a", At: season.Position{Lon: -99.595, Lat: 38.312}},
		"good":     &season.Spot{ID: "2", Field: "north", Day: day, Spot: season.GoodSpot, Pair: "a", At: season.Position{Lon: -99.594, Lat: 38.312}},
		"applied":  &season.Applied{Field: "north", Day: calendar.Date(2026, time.September, 20), Product: "urea", Rate: 20, Placement: "broadcast"},
		"weather":  weather,
		"forecast": forecast,
		"wheat":    &season.Price{Item: "wheat", Price: 0.2, Low: 0.15, High: 0.25, Day: day},
		"pass":     &season.Price{Item: "pass/broadcast", Pass: 17, Day: day},
		"trial":    &season.Trial{Name: "t", Crop: season.WheatGrain, Year: 2025, Plots: []season.Plot{{Rate: 0, Yield: 2000}}},
	}
}

// entered makes entries of bodies, in order of their names.
func entered(bodies map[string]season.Body) []season.Entry {
	var entries []season.Entry
	for _, name := range strings.Fields("settings producer station station2 field field2 boundary readings ramp visit soil poor good applied harvest weather forecast wheat pass trial") {
		if body, ok := bodies[name]; ok {
			entries = append(entries, season.Entry{ID: name, Writer: "w", Recorded: checkDay.Time(), Where: season.Where{File: name}, Body: body})
		}
	}
	return entries
}

func TestNothingIsSaidAgainstASoundSeason(t *testing.T) {
	for _, p := range season.Check(entered(sound()), checkDay) {
		t.Errorf("%+v", p)
	}
}

func TestCheckFinds(t *testing.T) {
	type bodies = map[string]season.Body
	known := working.Origin{Kind: working.Observed}
	for _, c := range []struct {
		name  string
		spoil func(b bodies)
		want  string // severity, entry, field: message
	}{
		{"no settings", func(b bodies) { delete(b, "settings") }, "error  season: the season has no settings"},
		{"ground that is soft at nine times what it holds", func(b bodies) {
			b["settings"].(*season.Settings).SoftGround = working.Fact[unit.Fraction]{Value: 9, Origin: working.Origin{Kind: working.Setting}}
		}, "error settings soft-ground: the limit of soft ground is not one that ground has"},
		{"more water than pores", func(b bodies) {
			b["settings"].(*season.Settings).SaturatedGround = working.Fact[unit.Fraction]{Value: 1.1, Origin: working.Origin{Kind: working.Setting}}
		}, "error settings saturated-ground: the limit of saturated ground is not one that ground has"},
		{"no harvest year", func(b bodies) { b["settings"].(*season.Settings).HarvestYear = 0 }, "error settings harvest-year: the season does not say in which year it is harvested"},
		{"a calibration that falls", func(b bodies) {
			b["settings"].(*season.Settings).Calibration = &season.Calibration{A: 1, B: -2, Efficiency: 0.5}
		}, "error settings calibration: the calibration gives no yield that rises with the reading"},
		{"an unknown producer", func(b bodies) { delete(b, "producer") }, "error field producer: there is no producer with this id"},
		{"an unknown station", func(b bodies) { delete(b, "station") }, "error field station: there is no station with this id"},
		{"no station", func(b bodies) { b["field"].(*season.Field).Station = "" }, "warning field station: field north has no weather station, so nothing can be said about days"},
		{"a boundary of no field", func(b bodies) { b["boundary"].(*season.Boundary).Field = "south" }, "error boundary field: there is no field with this id"},
		{"no boundary", func(b bodies) { delete(b, "boundary") }, "warning field : field north has no boundary, so it has no map and its area is as given"},
		{"planted in another year", func(b bodies) {
			b["field"].(*season.Field).Planted = calendar.Date(2025, time.October, 1)
		}, "warning field planted: field north was not planted in the winter before the harvest of 2027"},
		{"a goal of nothing", func(b bodies) { b["field"].(*season.Field).YieldGoal.Value = 0 }, "error field yield-goal: the yield goal of field north is not above zero"},
		{"a goal of 55 t/ha", func(b bodies) { b["field"].(*season.Field).YieldGoal.Value = 55000 }, "warning field yield-goal: the yield goal of field north is higher than such crops have yielded"},
		{"cattle on grain", func(b bodies) {
			b["field"].(*season.Field).Heads = working.Fact[unit.Ratio]{Value: 60, Origin: known}
		}, "warning field heads: field north has cattle but its crop is not grazed"},
		{"dung on grain", func(b bodies) { b["readings"].(*season.Readings).Reference = season.DungReference }, "warning readings reference: field north was read on dung spots but its crop is not grazed"},
		{"an index that is no number", func(b bodies) { b["readings"].(*season.Readings).Readings[0].Value = math.NaN() }, "error readings value: a reading is outside of its scale"},
		{"a score of 11", func(b bodies) {
			r := b["readings"].(*season.Readings)
			r.Means, r.Readings[1].Value = season.Eye, 11
		}, "error readings value: a reading is outside of its scale"},
		{"one side only", func(b bodies) {
			r := b["readings"].(*season.Readings)
			r.Readings = r.Readings[:1]
		}, "warning readings place: strip A of field north was read on one side only"},
		{"read before planting", func(b bodies) {
			b["readings"].(*season.Readings).Day = calendar.Date(2026, time.September, 30)
		}, "error readings date: a reading is dated before field north was planted"},
		{"a visit still to come", func(b bodies) { b["visit"].(*season.Visit).Day = checkDay.Add(1) }, "warning visit date: a visit is dated after today and is not counted yet"},
		{"Feekes 31", func(b bodies) { b["visit"].(*season.Visit).Stage = 31 }, "error visit stage: there is no such stage on the scale"},
		{"Feekes of canola", func(b bodies) { b["field"].(*season.Field).Crop = season.Canola }, "warning visit scale: field north is canola, and the stage is noted on a scale for cereals"},
		{"a ramp of product", func(b bodies) { b["ramp"].(*season.Ramp).Steps[1].Rate = 400 }, "error ramp n: a strip of the ramp has a rate that cannot be"},
		{"a sample upside down", func(b bodies) { b["soil"].(*season.Soil).Top = 0.6 }, "error soil bottom: soil sample 1 has no depth that can be"},
		{"a pH of 61", func(b bodies) { b["soil"].(*season.Soil).Results[0].Value = 61 }, "error soil ph: a result of soil sample 1 cannot be"},
		{"a spot without its pair", func(b bodies) { delete(b, "good") }, "warning poor pair: pair a of field north has no good spot"},
		{"a spot with its place reversed", func(b bodies) {
			b["poor"].(*season.Spot).At = season.Position{Lon: 38.312, Lat: -99.595}
		}, "error poor lat: latitude and longitude of spot 1 of field north look reversed"},
		{"a spot in the next state", func(b bodies) { b["poor"].(*season.Spot).At.Lat = 40 }, "warning poor lat: spot 1 of field north lies far from its field"},
		{"a product that has no price here", func(b bodies) { b["applied"].(*season.Applied).Product = "anhydrous ammonia" }, "warning applied product: the product is not known; its nitrogen counts as written"},
		{"a placement that is not top-dressing", func(b bodies) { b["applied"].(*season.Applied).Placement = "knifed in" }, "warning applied placement: the placement is not known; the nitrogen counts as written"},
		{"a rate of product", func(b bodies) { b["applied"].(*season.Applied).Rate = 350 }, "warning applied n: so much nitrogen is not spread in one go; is it the rate of product?"},
		{"low above high", func(b bodies) { b["weather"].(*season.Weather).Days[3].Low = 12 }, "error weather low: the low is above the high"},
		{"rain below zero", func(b bodies) { b["weather"].(*season.Weather).Days[3].Rain = -9 }, "error weather rain: rain cannot be less than nothing"},
		{"millimetres in a column of inches", func(b bodies) { b["weather"].(*season.Weather).Days[3].Rain = 381 }, "warning weather rain: that is a flood; is the column named for the right unit?"},
		{"hot days in January", func(b bodies) {
			for i := 100; i < 104; i++ {
				b["weather"].(*season.Weather).Days[i].High = 45
			}
		}, "error weather high: so many hot days in winter look like Fahrenheit in a column for Celsius"},
		{"a log that ends early", func(b bodies) {
			w := b["weather"].(*season.Weather)
			w.Days = w.Days[:len(w.Days)-10]
		}, "warning weather date: the log of station s ends 11 days before today"},
		{"a log that begins late", func(b bodies) {
			w := b["weather"].(*season.Weather)
			w.Days = w.Days[5:]
		}, "warning station : the log of station s begins after fields were planted"},
		{"no weather", func(b bodies) { delete(b, "weather") }, "warning station : station s has no weather, so growing days are not known"},
		{"weather of another station", func(b bodies) { b["weather"].(*season.Weather).Station = "x" }, "error weather station: there is no station with this id"},
		{"a forecast that is over", func(b bodies) {
			f := b["forecast"].(*season.Forecast)
			for i := range f.Days {
				f.Days[i].Day = f.Days[i].Day.Add(-20)
			}
		}, "warning forecast date: the forecast for station s is over, so nothing is known of the days to come"},
		{"a forecast of last week", func(b bodies) {
			f := b["forecast"].(*season.Forecast)
			f.Issued = f.Issued.AddDate(0, 0, -5)
		}, "warning forecast issued: the forecast for station s was issued 5 days ago"},
		{"a forecast with a gap", func(b bodies) {
			f := b["forecast"].(*season.Forecast)
			f.Days = append(f.Days[:2:2], f.Days[3:]...)
		}, "warning forecast date: days are missing from the forecast for station s"},
		{"rain for sure and more", func(b bodies) { b["forecast"].(*season.Forecast).Days[2].RainChance = 40 }, "error forecast rain_chance: a part of the forecast cannot be"},
		{"a degree too many by the hour", func(b bodies) {
			f := b["forecast"].(*season.Forecast)
			f.Hours = season.Hours{{At: f.Issued, Temperature: 61, Has: season.HourTemperature}}
		}, "error forecast temperature: an hour of the forecast cannot be"},
		{"a price of zero", func(b bodies) {
			p := b["wheat"].(*season.Price)
			p.Price, p.Low = 0, 0
		}, "error wheat price: the price of wheat is not above zero"},
		{"a range beside the price", func(b bodies) { b["wheat"].(*season.Price).High = 0.18 }, "error wheat price: the price of wheat is not between its lowest and its highest"},
		{"a pass for nothing", func(b bodies) { b["pass"].(*season.Price).Pass = 0 }, "error pass price: the price of pass/broadcast is not above zero"},
		{"an unknown pass", func(b bodies) { b["pass"].(*season.Price).Item = "pass/kite" }, "error pass item: there is no product, grain or pass of this name"},
		{"a harvest of nothing growing", func(b bodies) {
			b["field"].(*season.Field).Crop = season.WheatGrazeOut
			b["harvest"] = &season.Harvest{Field: "north", Day: checkDay, Part: "field", Yield: 1000}
		}, "warning harvest field: field north is to be grazed out but has a harvest"},
		{"a plot below zero", func(b bodies) { b["trial"].(*season.Trial).Plots[0].Yield = -1 }, "error trial yield: a plot of trial t has less than nothing"},
		{"a reversed station", func(b bodies) {
			b["station"].(*season.Station).At = season.Position{Lon: 38.3, Lat: -99.58}
		}, "error station lat: latitude and longitude of station s look reversed"},
		{"one name twice", func(b bodies) {
			twin := *b["field"].(*season.Field)
			twin.ID = "south"
			b["field2"] = &twin
		}, "error field2 name: two fields of one producer have the same name, ids north and south"},
		{"one name with two producers", func(b bodies) {
			twin := *b["field"].(*season.Field)
			twin.ID, twin.Producer = "south", "q"
			b["field2"] = &twin
		}, "warning field2 name: two producers have a field of this name; say which one is meant when you speak of it"},
		{"one field twice", func(b bodies) {
			twin := *b["field"].(*season.Field)
			twin.Name = "South"
			b["field2"] = &twin
		}, "error field2 : this field is described twice, and nothing tells which holds; first at field"},
		{"an id that is a path", func(b bodies) { b["station2"] = &season.Station{ID: "../s", At: season.Position{Lon: -99, Lat: 38}} }, "error station2 id: the id of a station cannot name a file"},
	} {
		t.Run(c.name, func(t *testing.T) {
			bodies := sound()
			c.spoil(bodies)
			var got []string
			for _, p := range season.Check(entered(bodies), checkDay) {
				got = append(got, fmt.Sprintf("%s %s %s: %s", p.Severity, p.File, p.Field, p.Message))
			}
			if !strings.Contains(strings.Join(got, "\n")+"\n", c.want+"\n") {
				t.Errorf("got\n%s\nwant among them\n%s", strings.Join(got, "\n"), c.want)
			}
		})
	}
}

// What was corrected or withdrawn is not looked at any more.
func TestCheckLooksAtWhatStands(t *testing.T) {
	bodies := sound()
	entries := entered(bodies)
	wrong := *bodies["wheat"].(*season.Price)
	wrong.Price = -5
	entries = append(entries,
		season.Entry{ID: "typo", Writer: "w", Recorded: checkDay.Time().Add(time.Hour), Body: &wrong},
		season.Entry{ID: "right", Supersedes: "typo", Writer: "w", Recorded: checkDay.Time().Add(2 * time.Hour), Body: bodies["wheat"]})
	if problems := season.Check(entries, checkDay); len(problems) > 0 {
		t.Errorf("a corrected mistake is still reported: %+v", problems)
	}
	if problems := season.Check(entries[:len(entries)-1], checkDay); len(problems) != 1 {
		t.Errorf("before it was corrected: %+v, want one problem", problems)
	}
}

// The seasons of the southern hemisphere are the other way round.
func TestWinterIsInJulySouthOfTheEquator(t *testing.T) {
	at := season.Station{ID: "s", At: season.Position{Lon: 147, Lat: -35}}
	hot := func(month time.Month) int {
		w := &season.Weather{Station: "s", Year: 2026, Month: month}
		for day := range 20 {
			w.Days = append(w.Days, season.WeatherDay{Day: calendar.Date(2026, month, 1+day), Low: 20, High: 41, Has: season.HasTemperature})
		}
		n := 0
		for _, p := range season.Check(entered(map[string]season.Body{"station": &at, "weather": w}), calendar.Day{}) {
			if strings.Contains(p.Message, "Fahrenheit") {
				n++
			}
		}
		return n
	}
	if hot(time.January) != 0 || hot(time.July) != 1 {
		t.Errorf("41 °C is doubted %d times in January and %d times in July, want never and once", hot(time.January), hot(time.July))
	}
}

// Check never changes what it looks at, never fails, and says the same however the entries are mixed.
func TestCheckOnlyLooks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		bodies := sound()
		for _, name := range []string{"field", "station", "producer", "weather", "settings", "boundary"} {
			if rapid.Bool().Draw(t, "without "+name) {
				delete(bodies, name)
			}
		}
		entries := entered(bodies)
		today := checkDay.Add(rapid.IntRange(-300, 300).Draw(t, "days"))
		first := counted(season.Check(entries, today))
		mixed := rapid.Permutation(entries).Draw(t, "order")
		if diff := cmp.Diff(first, counted(season.Check(mixed, today))); diff != "" {
			t.Fatalf("in another order (-first +mixed):\n%s", diff)
		}
	})
}

func counted(problems []season.Problem) map[season.Problem]int {
	n := map[season.Problem]int{}
	for _, p := range problems {
		n[p]++
	}
	return n
}
