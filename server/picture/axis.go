// Package picture draws the pages' pictures as SVG on the server: the district, a field, the rates side by
// side, paired readings, the response to nitrogen.
//
// Across the page a place is a share of the width, so that a picture fills a phone and a desk alike while its
// type keeps its size; up and down it is in pixels. Nothing is told by colour alone: each kind of mark has a
// shape of its own, and lines are labelled where they end. Colours come from the style sheet.
package picture

import (
	"math"
	"strconv"

	"culm/agronomy/unit"
)

// Axis maps numbers as a person reads them onto the width or height of a picture.
type Axis struct {
	kind      unit.Kind
	units     unit.System
	low, high float64 // as read
	step      float64
	// before and after are the shares of the width left free at the ends, for marks and labels.
	before, after float64
}

// AxisOver lays an axis over numbers in the base unit of a kind, from one round number to another, with
// about so many steps. Numbers that are not finite are passed over.
func AxisOver(k unit.Kind, s unit.System, steps int, base ...float64) Axis {
	low, high := math.Inf(1), math.Inf(-1)
	for _, b := range base {
		if v := unit.Convert(k, b, s); !math.IsNaN(v) && !math.IsInf(v, 0) {
			low, high = math.Min(low, v), math.Max(high, v)
		}
	}
	if low > high {
		low, high = 0, 1
	}
	if high-low < 1e-9 {
		low, high = low-0.5, high+0.5
	}
	step := roundStep((high - low) / float64(steps))
	return Axis{
		kind: k, units: s, step: step, before: 0.02, after: 0.04,
		low: math.Floor(low/step+1e-9) * step, high: math.Ceil(high/step-1e-9) * step,
	}
}

// roundStep gives the next of 1, 2, 2.5 and 5 times a power of ten.
func roundStep(rough float64) float64 {
	power := math.Pow(10, math.Floor(math.Log10(rough)))
	for _, m := range []float64{1, 2, 2.5, 5} {
		if m*power >= rough*0.999 {
			return m * power
		}
	}
	return 10 * power
}

// share is where a number in the base unit lies on the axis, 0 at the low end and 1 at the high end.
func (a Axis) share(base float64) float64 { return a.shareRead(unit.Convert(a.kind, base, a.units)) }

func (a Axis) shareRead(v float64) float64 { return (v - a.low) / (a.high - a.low) }

// across gives the place of a number across a picture, as "37.5%".
func (a Axis) across(base float64) string { return percent(a.fraction(a.share(base))) }

func (a Axis) fraction(share float64) float64 { return a.before + share*(1-a.before-a.after) }

// hundredths gives the same place for a drawing a hundred wide.
func (a Axis) hundredths(base float64) float64 { return 100 * a.fraction(a.share(base)) }

// tick is a round number on an axis.
type tick struct {
	read  float64
	label string
}

func (a Axis) ticks() []tick {
	decimals := max(0, int(math.Ceil(-math.Log10(a.step)-1e-9)))
	if r := a.step * math.Pow(10, float64(decimals)); math.Abs(r-math.Round(r)) > 1e-6 { // 2.5, 0.25
		decimals++
	}
	var all []tick
	for i := 0; ; i++ {
		v := a.low + float64(i)*a.step
		if v > a.high+a.step/2 {
			return all
		}
		all = append(all, tick{v, writeTick(v, decimals)})
	}
}

func writeTick(v float64, decimals int) string {
	s := strconv.FormatFloat(math.Abs(v), 'f', decimals, 64)
	if v < 0 && s != strconv.FormatFloat(0, 'f', decimals, 64) {
		return "−" + s
	}
	return s
}

func (t tick) across(a Axis) string { return percent(a.fraction(a.shareRead(t.read))) }

// anchor keeps the first and the last label inside the picture.
func (t tick) anchor(a Axis) string {
	switch share := a.shareRead(t.read); {
	case share < 0.03:
		return "start"
	case share > 0.97:
		return "end"
	default:
		return "middle"
	}
}

func percent(share float64) string { return strconv.FormatFloat(100*share, 'f', 2, 64) + "%" }

func px(v float64) string { return strconv.FormatFloat(v, 'f', 1, 64) }
