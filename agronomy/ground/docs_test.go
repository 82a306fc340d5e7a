package ground_test

import (
	"cmp"
	"flag"
	"fmt"
	"math"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/ground"
	"culm/agronomy/unit"
	"culm/season"

	gocmp "github.com/google/go-cmp/cmp"
)

var write = flag.Bool("write", false, "write the documents that these tests keep true")

// TestSoilTemperatureDocument keeps docs/soil-temperature.md true: it holds it against what it computes from the
// station's record. Write it anew with: go test ./agronomy/ground -run Document -write
func TestSoilTemperatureDocument(t *testing.T) {
	days := manhattan(t)
	keep(t, "../../docs/soil-temperature.md", soilTemperatureDocument(days))
}

func keep(t *testing.T, path, text string) {
	t.Helper()
	if *write {
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	committed, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if diff := gocmp.Diff(string(committed), text); diff != "" {
		t.Errorf("%s no longer says what is computed; write it anew with -write and read what changed:\n%s", path, diff)
	}
}

// estimates are the three ways of putting the soil, day by day; NaN where one has nothing to go by.
type estimates struct{ mean, drawn, ours5, ours10 []float64 }

func estimatesOf(days []measured) (estimates, ground.Course) {
	course := ground.Run(ground.Site{Latitude: manhattanLatitude, HasLatitude: true}, weatherOf(days), days[0].Day.Day, days[len(days)-1].Day.Day)
	annual, n := unit.Temperature(0), 0
	for _, d := range days {
		if fits(d.Day.Day) && d.Has&season.HasTemperature != 0 {
			annual += (d.Low + d.High) / 2
			n++
		}
	}
	annual /= unit.Temperature(n)
	e := estimates{}
	for i := range days {
		soil, known := elevenDays(days, i)
		e.mean = append(e.mean, orNaN(float64(soil), known))
		e.drawn = append(e.drawn, orNaN(float64(ground.DrawnToYear(soil, annual, false)), known))
		e.ours5 = append(e.ours5, orNaN(float64(course.Conditions[i].Soil5), course.Conditions[i].SoilKnown))
		e.ours10 = append(e.ours10, orNaN(float64(course.Conditions[i].Soil10), course.Conditions[i].SoilKnown))
	}
	return e, course
}

func orNaN(v float64, known bool) float64 {
	if !known {
		return math.NaN()
	}
	return v
}

func elevenDays(days []measured, i int) (unit.Temperature, bool) {
	var means [11]unit.Temperature
	if i < 10 {
		return 0, false
	}
	for back := range means {
		d := days[i-back]
		if d.Has&season.HasTemperature == 0 || days[i].Day.Day.Sub(d.Day.Day) != back {
			return 0, false
		}
		means[10-back] = (d.Low + d.High) / 2
	}
	return ground.ElevenDayMean(means), true
}

// TestSoilWaterDocument keeps docs/soil-water.md true in the same way.
func TestSoilWaterDocument(t *testing.T) {
	keep(t, "../../docs/soil-water.md", soilWaterDocument(manhattan(t)))
}

// page gathers a document.
type page struct{ strings.Builder }

func (p *page) line(format string, args ...any) { fmt.Fprintf(p, format+"\n", args...) }

func soilTemperatureDocument(days []measured) string {
	e, course := estimatesOf(days)
	var p page
	p.line("# Soil temperature: estimated against measured")
	p.line("")
	p.line("Written by a test from the daily record of the US Climate Reference Network at Manhattan, Kansas (NOAA; Diamond and others 2013, Bulletin of the American Meteorological Society 94:489-498), October 2003 to October 2017; soil is measured there from August 2009 on, under grass. `go test ./agronomy/ground -run Document -write` writes it anew; without `-write` the test fails when this page and the computation part.")
	p.line("")
	p.line("The estimate knows the air's daily low and high, the rain (from which snow is reckoned), the day of the year and the latitude: what any station and any forecast has. Its figures were fitted on October to April of the seasons with an even harvest year, and this page shows the seasons between, which the fit never saw, beside them. A season runs from July to June. The split was settled before the first fit. The form was chosen among a few by looking at both sets: without snow's damping the held winters come out about 0.1 °C better and the fitted seasons worse; damping stays because snow does damp, not because this station, where nobody measured snow, shows it. The figures of snow itself were fitted elsewhere (see snow.md) and were taken over, and the limits of frost were set, with the held seasons' results in sight; so read the held columns as a fair test of the five figures, and as a slightly kind one of the whole.")
	p.line("")
	p.line("## Bias and error")
	p.line("")
	p.line("Estimated less measured, °C. *Eleven days* is the weighted mean of eleven days of air (BIOME-BGC, first step); *drawn* is that drawn a fifth of the way to the annual mean (second step); *ours* is what is used.")
	p.temperatureTable(days, e)
	p.line("")
	p.line("What it is not good for: summer, when it runs cold; it is meant for October to April. Other places: one station is one soil under one cover. Zheng, Hunt and Running (1993) had standard errors of 1.5 to 2.9 °C over many stations with a fit in each region, so expect no better than their lower figure elsewhere, and say so.")
	p.line("")
	p.line("The ten days from October to April of the held seasons on which it was off most, at 5 cm:")
	p.worst(days, e)
	p.line("")
	p.line("## Frozen or not")
	p.line("")
	p.line("Frozen is a daily mean at 5 cm of 0.0 °C or less, November to March. *Called* is a chance of at least %.0f %%, or of at least %.0f %% while the air stays below freezing all day; *doubted* is a chance of at least %.0f %% otherwise: then the advice is to try with a spade. *Before* is the rule that this one replaced: eleven days' mean of air at least 3 °C below freezing, or within 3 °C of it while the air stays below freezing all day.",
		100*float64(ground.FrostStops), 100*float64(ground.FrostDoubts), 100*float64(ground.FrostDoubts))
	p.frostTable(days, course)
	p.line("")
	p.missedFrost(days, course)
	p.line("")
	p.line("How often soil was frozen when the chance was so much, held seasons, November to March:")
	p.reliability(days, course)
	p.line("")
	p.line("Chances in the middle came out too low and the few above a half far too high: read them as likely or not, no finer. The station has few frozen days and no hard winter. In colder country the chance is an extrapolation, and what a spade says stands over it.")
	return p.String()
}

func (p *page) temperatureTable(days []measured, e estimates) {
	seasons := []struct {
		name string
		in   func(calendar.Day) bool
	}{
		{"October to April", inUse},
		{"autumn (Sep to Nov)", func(d calendar.Day) bool { return monthIn(d, time.September, time.October, time.November) }},
		{"winter (Dec to Feb)", func(d calendar.Day) bool { return monthIn(d, time.December, time.January, time.February) }},
		{"spring (Mar to May)", func(d calendar.Day) bool { return monthIn(d, time.March, time.April, time.May) }},
		{"summer (Jun to Aug)", func(d calendar.Day) bool { return monthIn(d, time.June, time.July, time.August) }},
		{"whole year", func(calendar.Day) bool { return true }},
	}
	ways := []struct {
		name     string
		estimate []float64
		soil     func(measured) float64
	}{
		{"eleven days, 10 cm", e.mean, func(m measured) float64 { return m.soil10 }},
		{"drawn, 10 cm", e.drawn, func(m measured) float64 { return m.soil10 }},
		{"ours, 10 cm", e.ours10, func(m measured) float64 { return m.soil10 }},
		{"ours, 5 cm", e.ours5, func(m measured) float64 { return m.soil5 }},
	}
	p.line("")
	p.line("| | estimate | fitted seasons: days | bias | RMSE | held seasons: days | bias | RMSE | within 3 °C |")
	p.line("|---|---|---:|---:|---:|---:|---:|---:|---:|")
	for _, s := range seasons {
		for _, w := range ways {
			var fitted, held tally
			for i, d := range days {
				if !d.hasSoil || !s.in(d.Day.Day) || math.IsNaN(w.estimate[i]) {
					continue
				}
				if fits(d.Day.Day) {
					fitted.add(w.estimate[i], w.soil(d))
				} else {
					held.add(w.estimate[i], w.soil(d))
				}
			}
			p.line("| %s | %s | %d | %+.2f | %.2f | %d | %+.2f | %.2f | %.0f %% |", s.name, w.name, fitted.n, fitted.bias(), fitted.rmse(),
				held.n, held.bias(), held.rmse(), 100*float64(held.within3)/float64(held.n))
		}
	}
}

func (p *page) worst(days []measured, e estimates) {
	type miss struct {
		day calendar.Day
		off float64
	}
	var misses []miss
	for i, d := range days {
		if d.hasSoil && tests(d.Day.Day) && inUse(d.Day.Day) && !math.IsNaN(e.ours5[i]) {
			misses = append(misses, miss{d.Day.Day, e.ours5[i] - d.soil5})
		}
	}
	slices.SortStableFunc(misses, func(a, b miss) int { return cmp.Compare(math.Abs(b.off), math.Abs(a.off)) })
	p.line("")
	var words []string
	for _, m := range misses[:10] {
		words = append(words, fmt.Sprintf("%s %+.1f", m.day, m.off))
	}
	p.line("%s.", strings.Join(words, "; "))
}

func (p *page) frostTable(days []measured, course ground.Course) {
	p.line("")
	p.line("| seasons | rule | frozen: called | doubted | missed | not frozen: called in vain | doubted | left open |")
	p.line("|---|---|---:|---:|---:|---:|---:|---:|")
	rules := []struct {
		name string
		say  func(i int) (called, doubted bool)
	}{
		{"now", func(i int) (bool, bool) {
			c := course.Conditions[i]
			called := c.Frozen >= ground.FrostStops || c.Frozen >= ground.FrostDoubts && c.Freezing
			return called, c.Frozen >= ground.FrostDoubts
		}},
		{"before", func(i int) (bool, bool) {
			const margin = 3
			soil, _ := elevenDays(days, i)
			return soil+margin <= 0 || soil-margin <= 0 && days[i].High <= 0, soil-margin <= 0
		}},
	}
	for _, set := range []struct {
		name string
		in   func(calendar.Day) bool
	}{{"fitted", fits}, {"held", tests}} {
		for _, rule := range rules {
			var n [6]int
			for i, d := range days {
				if _, known := elevenDays(days, i); !known || !d.hasSoil || !set.in(d.Day.Day) || !inWinter(d.Day.Day) {
					continue
				}
				at := 2
				if called, doubted := rule.say(i); called {
					at = 0
				} else if doubted {
					at = 1
				}
				if d.soil5 > 0 {
					at += 3
				}
				n[at]++
			}
			p.line("| %s | %s | %d | %d | %d | %d | %d | %d |", set.name, rule.name, n[0], n[1], n[2], n[3], n[4], n[5])
		}
	}
}

func (p *page) missedFrost(days []measured, course ground.Course) {
	var words []string
	snow := 0
	for i, d := range days {
		if _, known := elevenDays(days, i); known && d.hasSoil && tests(d.Day.Day) && inWinter(d.Day.Day) && d.soil5 <= 0 && course.Conditions[i].Frozen < ground.FrostDoubts {
			words = append(words, fmt.Sprintf("%s (soil %.1f °C, estimated %.1f; air %.0f to %.0f)", d.Day.Day, d.soil5, float64(course.Conditions[i].Soil5), float64(d.Low), float64(d.High)))
			if course.Conditions[i].Snow >= 0.5 {
				snow++
			}
		}
	}
	if len(words) == 0 {
		p.line("No frozen day of the held seasons was missed.")
		return
	}
	p.line("Missed in the held seasons: %s. On %d of these %d snow was reckoned to lie, which stops spreading as well; but the snow that kept the estimate warm was itself an estimate.", strings.Join(words, "; "), snow, len(words))
}

func (p *page) reliability(days []measured, course ground.Course) {
	edges := []float64{0, 0.01, 0.03, 0.1, 0.2, 0.3, 0.5, 1.01}
	n, chance, frozen := make([]int, len(edges)-1), make([]float64, len(edges)-1), make([]int, len(edges)-1)
	brier, all, base := 0.0, 0, 0
	for i, d := range days {
		if !d.hasSoil || !tests(d.Day.Day) || !inWinter(d.Day.Day) || !course.Conditions[i].SoilKnown {
			continue
		}
		c := float64(course.Conditions[i].Frozen)
		k := 0
		for c >= edges[k+1] {
			k++
		}
		n[k]++
		chance[k] += c
		was := 0.0
		if d.soil5 <= 0 {
			was = 1
			frozen[k]++
			base++
		}
		brier += (c - was) * (c - was)
		all++
	}
	p.line("")
	p.line("| chance | days | mean chance | frozen |")
	p.line("|---|---:|---:|---:|")
	for k := range n {
		if n[k] > 0 {
			p.line("| %.0f to %.0f %% | %d | %.1f %% | %.1f %% |", 100*edges[k], 100*min(1, edges[k+1]), n[k], 100*chance[k]/float64(n[k]), 100*float64(frozen[k])/float64(n[k]))
		}
	}
	share := float64(base) / float64(all)
	p.line("")
	p.line("Brier score %.4f, against %.4f of saying %.1f %% every day (the share in these seasons): better by %.0f %%.", brier/float64(all), share*(1-share), 100*share, 100*(1-brier/float64(all)/(share*(1-share))))
}

func soilWaterDocument(days []measured) string {
	var p page
	p.line("# Water of the top layer: reckoned against measured")
	p.line("")
	p.line("Written by a test from the same record as soil-temperature.md; soil moisture is measured there at 5 and 10 cm from August 2009 on. `go test ./agronomy/ground -run Document -write` writes it anew. Nothing here was fitted: the figures of the soils are those shipped, and the limits are what they were before the comparison.")
	p.line("")
	p.line("What can be checked is the order: whether the days that the reckoning calls wetter were measured wetter. What cannot be checked here is where ground begins to carry a machine: nobody wrote that down at the station, and publications say that it must be set for each soil (Hassan and Broughton 1975; Mueller and others 2011).")
	p.line("")
	p.line("Rank correlation (Spearman) between the reckoned water of the top 10 cm and the mean of the moistures measured at 5 and 10 cm, thawed days from October to April; and against the rain of three days, which is what went before:")
	p.line("")
	p.line("| texture taken | days | reckoned | rain of three days |")
	p.line("|---|---:|---:|---:|")
	first, last := days[0].Day.Day, days[len(days)-1].Day.Day
	courses := map[season.Texture]ground.Course{}
	for _, texture := range kinds {
		courses[texture] = ground.Run(ground.Site{Latitude: manhattanLatitude, HasLatitude: true, Texture: texture}, weatherOf(days), first, last)
		x, rain, y := moist(days, courses[texture])
		p.line("| %s | %d | %.2f | %.2f |", texture, len(y), spearman(x, y), spearman(rain, y))
	}
	p.line("")
	p.line("What the air takes is reckoned from temperature alone (Hargreaves), because neither forecasts nor most stations give radiation. Beside it Penman-Monteith with the radiation measured here, the day's low for the dew point and 2 m/s of wind, as FAO-56 says to stand in; mean of a day, mm:")
	p.reference(days)
	p.line("")
	p.line("On the days called soft or saturated, how often was the measured moisture in the wettest fifth of all those days? The limit used is %.0f %% of field capacity unless the advisor sets another. Silt loam is taken to be nearest to the station's soil; the other rows show what a wrong texture does.", 100*float64(ground.Usual().Soft))
	p.line("")
	p.line("| rule | days called | of them in the wettest fifth | of the wettest fifth called |")
	p.line("|---|---:|---:|---:|")
	for _, texture := range []season.Texture{season.SandyLoam, season.Loam, season.SiltLoam, season.Clay} {
		for _, limit := range []unit.Fraction{0.90, 0.95, 1} {
			p.called(fmt.Sprintf("above %.0f %% of field capacity, %s", 100*float64(limit), texture), days, courses[texture], func(i int) bool { return courses[texture].Conditions[i].OfCapacity >= limit })
		}
	}
	p.called("before: 20 mm of rain in three days", days, courses[season.Loam], func(i int) bool { return threeDays(days, i) >= 20 })
	p.line("")
	p.line("Saturated was called on %d of all days for silt loam and on %d for clay.", saturated(courses[season.SiltLoam]), saturated(courses[season.Clay]))
	return p.String()
}

func (p *page) reference(days []measured) {
	const elevation = 330 // m, about; a hundred metres more or less do not move the means
	p.line("")
	p.line("| month | days | Hargreaves | Penman-Monteith | RMSE between them |")
	p.line("|---|---:|---:|---:|---:|")
	for _, month := range []time.Month{time.October, time.November, time.December, time.January, time.February, time.March, time.April} {
		var between tally
		temperature, radiation := 0.0, 0.0
		for _, d := range days {
			if !monthIn(d.Day.Day, month) || d.Has&season.HasTemperature == 0 || !d.hasSolar {
				continue
			}
			air := ground.Air{Low: d.Low, High: d.High}
			without, _, err := ground.Reference(d.Day.Day, manhattanLatitude, elevation, air)
			air.Solar, air.HasSolar = d.solar, true
			with, _, err2 := ground.Reference(d.Day.Day, manhattanLatitude, elevation, air)
			if err != nil || err2 != nil {
				continue
			}
			between.add(float64(without), float64(with))
			temperature += float64(without)
			radiation += float64(with)
		}
		n := float64(between.n)
		p.line("| %s | %d | %.2f | %.2f | %.2f |", month, between.n, temperature/n, radiation/n, between.rmse())
	}
}

func counts(d measured) bool { return d.hasMoisture && d.hasSoil && d.soil5 > 0.5 && inUse(d.Day.Day) }

func moist(days []measured, course ground.Course) (reckoned, rain, was []float64) {
	for i, d := range days {
		if counts(d) && course.Conditions[i].SoilKnown && course.Conditions[i].RainMissing == 0 {
			reckoned = append(reckoned, float64(course.Conditions[i].OfCapacity))
			rain = append(rain, threeDays(days, i))
			was = append(was, (d.moisture5+d.moisture10)/2)
		}
	}
	return reckoned, rain, was
}

func threeDays(days []measured, i int) float64 {
	return float64(days[i].Rain + days[max(0, i-1)].Rain + days[max(0, i-2)].Rain)
}

func (p *page) called(name string, days []measured, course ground.Course, says func(i int) bool) {
	_, _, was := moist(days, course)
	slices.Sort(was)
	wettest := was[len(was)*4/5]
	var called, right, all int
	for i, d := range days {
		if !counts(d) || !course.Conditions[i].SoilKnown || course.Conditions[i].RainMissing > 0 {
			continue
		}
		isWet := (d.moisture5+d.moisture10)/2 >= wettest
		if isWet {
			all++
		}
		if says(i) {
			called++
			if isWet {
				right++
			}
		}
	}
	p.line("| %s | %d | %.0f %% | %.0f %% |", name, called, 100*float64(right)/float64(max(1, called)), 100*float64(right)/float64(all))
}

func saturated(course ground.Course) int {
	n := 0
	for _, c := range course.Conditions {
		if c.Saturated >= 0.5 {
			n++
		}
	}
	return n
}

// spearman is the correlation of ranks; equal values share theirs.
func spearman(x, y []float64) float64 {
	a, b := ranks(x), ranks(y)
	n := float64(len(a))
	var sa, sb, saa, sbb, sab float64
	for i := range a {
		sa += a[i]
		sb += b[i]
		saa += a[i] * a[i]
		sbb += b[i] * b[i]
		sab += a[i] * b[i]
	}
	return (sab - sa*sb/n) / math.Sqrt((saa-sa*sa/n)*(sbb-sb*sb/n))
}

func ranks(x []float64) []float64 {
	order := make([]int, len(x))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(x[a], x[b]) })
	out := make([]float64, len(x))
	for i := 0; i < len(order); {
		j := i
		for j < len(order) && x[order[j]] == x[order[i]] {
			j++
		}
		for _, k := range order[i:j] {
			out[k] = float64(i+j-1) / 2
		}
		i = j
	}
	return out
}
