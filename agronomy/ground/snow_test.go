package ground_test

import (
	"fmt"
	"testing"

	"culm/agronomy/calendar"
	"culm/agronomy/ground"
	"culm/agronomy/unit"
	"culm/season"
)

// Twelve millimetres fall at a mean of -2 C and lie; at a mean of 4 C and a high of 8 C 9.5 of them melt.
func ExampleSnow_Next() {
	rain, snow := ground.RainOrSnow(12, -2)
	lies, water := ground.Snow(0).Next(rain, snow, -2, 1)
	fmt.Printf("%.1f mm lie, %.1f mm reached the ground\n", float64(lies), float64(water))
	lies, water = lies.Next(0, 0, 4, 8)
	fmt.Printf("%.1f mm lie, %.1f mm reached the ground\n", float64(lies), float64(water))
	// Output:
	// 12.0 mm lie, 0.0 mm reached the ground
	// 2.5 mm lie, 9.5 mm reached the ground
}

// verdicts counts how an estimate of snow lying does, November to March.
type verdicts struct{ both, missed, vain, neither int }

func (v *verdicts) add(lay, said bool) {
	switch {
	case lay && said:
		v.both++
	case lay:
		v.missed++
	case said:
		v.vain++
	default:
		v.neither++
	}
}

// score is the share of the days with snow lying or said to lie on which both hold.
func (v verdicts) score() float64 { return float64(v.both) / float64(v.both+v.missed+v.vain) }

// snowWith runs a snow estimate with figures of its own through the days of the seasons that are in.
func snowWith(days []ground.Day, in func(calendar.Day) bool, below, perDegree, above float64) verdicts {
	var v verdicts
	lies := 0.0
	for i, d := range days {
		mean := float64(d.Low+d.High) / 2
		if mean < below {
			lies += float64(d.Rain)
		}
		lies -= min(lies, perDegree*max(0, (mean+float64(d.High))/2-above))
		if i >= 60 && inWinter(d.Day) && in(d.Day) {
			v.add(d.Snow > 0, lies >= 1)
		}
	}
	return v
}

// TestSnowFiguresAreThoseFitted looks for the best figures anew on every second winter of Augsburg, by quarters of
// a degree and halves of a millimetre.
func TestSnowFiguresAreThoseFitted(t *testing.T) {
	days := augsburg(t)
	var best verdicts
	var figures [3]float64
	for below := -1.0; below <= 2.5; below += 0.25 {
		for perDegree := 1.0; perDegree <= 8; perDegree += 0.5 {
			for above := -1.0; above <= 2; above += 0.25 {
				if v := snowWith(days, fits, below, perDegree, above); v.both > 0 && (best.both == 0 || v.score() > best.score()) {
					best, figures = v, [3]float64{below, perDegree, above}
				}
			}
		}
	}
	shipped := blindSnow(days, fits)
	t.Logf("best %v: %+v, score %.3f; as shipped %+v, score %.3f", figures, best, best.score(), shipped, shipped.score())
	if shipped != best {
		t.Error("the shipped figures are no longer those fitted")
	}
}

// blindSnow is what a course says of snow lying when it is not told the depth measured.
func blindSnow(days []ground.Day, in func(calendar.Day) bool) verdicts {
	blind := make([]ground.Day, len(days))
	for i, d := range days {
		d.Has &^= season.HasSnow
		blind[i] = d
	}
	course := ground.Run(ground.Site{Latitude: 48.4, HasLatitude: true}, blind, days[0].Day, days[len(days)-1].Day)
	var v verdicts
	for i, d := range days {
		if i >= 60 && inWinter(d.Day) && in(d.Day) {
			v.add(d.Snow > 0, course.Conditions[i].Snow == 1)
		}
	}
	return v
}

// TestSnowDocument keeps docs/snow.md true.
func TestSnowDocument(t *testing.T) {
	days := augsburg(t)
	var p page
	p.line("# Snow lying: estimated against measured")
	p.line("")
	p.line("Written by a test from the daily record of the Deutscher Wetterdienst at Augsburg, Bavaria, 2009 to 2018 (open data, Climate Data Center). `go test ./agronomy/ground -run Document -write` writes it anew.")
	p.line("")
	p.line("Where a station measures the depth of snow, that stands. Where none does, snow is reckoned from rain and temperature. The three figures of the reckoning were fitted to every second winter (even harvest years) and are shown here beside the winters between; the depth measured was kept from it throughout. Days from November to March.")
	p.line("")
	p.line("| winters | figures | snow lay: said | missed | no snow: said in vain | right | of the days with either, both |")
	p.line("|---|---|---:|---:|---:|---:|---:|")
	for _, set := range []struct {
		name string
		in   func(calendar.Day) bool
	}{{"fitted", fits}, {"held", tests}} {
		for _, way := range []struct {
			name string
			v    verdicts
		}{
			{"now: snow below a mean of 1.75 °C, 2 mm of melt a degree above 1.25 °C", blindSnow(days, set.in)},
			{"before, from memory: below 0 °C, 3 mm a degree of the mean above 0 °C", meanMelt(days, set.in)},
		} {
			p.line("| %s | %s | %d | %d | %d | %d | %.0f %% |", set.name, way.name, way.v.both, way.v.missed, way.v.vain, way.v.neither, 100*way.v.score())
		}
	}
	p.line("")
	p.line("It errs towards saying snow where none lies any more. Wind that blows fields bare, shade and slope are not seen, and one station in Bavaria is not the plains: look at the field.")
	keep(t, "../../docs/snow.md", p.String())
}

// meanMelt is the estimate that ours replaced.
func meanMelt(days []ground.Day, in func(calendar.Day) bool) verdicts {
	var v verdicts
	lies := unit.Water(0)
	for i, d := range days {
		mean := (d.Low + d.High) / 2
		if mean < 0 {
			lies += d.Rain
		}
		lies -= min(lies, 3*unit.Water(max(0, mean)))
		if i >= 60 && inWinter(d.Day) && in(d.Day) {
			v.add(d.Snow > 0, lies >= 1)
		}
	}
	return v
}
