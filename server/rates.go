package server

import (
	"strconv"

	"culm/advice"
	"culm/agronomy/calendar"
	"culm/agronomy/soil"
	"culm/agronomy/unit"
	"culm/season"
	"culm/server/picture"
)

// rateRow is one published way with its answer, as drawn.
type rateRow struct {
	advice.RateAnswer
	Estimate picture.Estimate
}

// answered lists the ways that answer, and the axis that holds them all.
func (f fieldView) answered() ([]rateRow, picture.Axis) {
	var rows []rateRow
	ends := []float64{0}
	for _, r := range f.Plan.Rates {
		if !r.Answered {
			continue
		}
		e := picture.Estimate{Value: float64(r.Rate), Lead: r.Lead}
		if figure, ok := f.Plan.Figures.Get(r.Figure); ok && figure.Interval != nil {
			e.Low, e.High, e.Ranged = figure.Interval.Low, figure.Interval.High, true
			ends = append(ends, e.Low, e.High)
		}
		ends = append(ends, e.Value)
		rows = append(rows, rateRow{r, e})
	}
	return rows, picture.AxisOver(unit.KindRate, f.Plan.Units, 6, ends...)
}

// silent lists the ways that cannot answer here.
func (f fieldView) silent() []advice.RateAnswer {
	var found []advice.RateAnswer
	for _, r := range f.Plan.Rates {
		if !r.Answered {
			found = append(found, r)
		}
	}
	return found
}

// possible and ruledOut part the options.
func (f fieldView) possible() []advice.Option { return f.options(true) }
func (f fieldView) ruledOut() []advice.Option { return f.options(false) }

func (f fieldView) options(possible bool) []advice.Option {
	var found []advice.Option
	for _, o := range f.Plan.Options {
		if o.Possible == possible {
			found = append(found, o)
		}
	}
	return found
}

// chosen is the option that the decision took.
func (f fieldView) chosen() (advice.Option, bool) {
	for _, o := range f.Plan.Options {
		if o.Chosen {
			return o, true
		}
	}
	return advice.Option{}, false
}

// response is the picture of the response, when there is a curve to draw.
func (f fieldView) response() (picture.Response, bool) {
	if len(f.Plan.Response.Points) < 2 {
		return picture.Response{}, false
	}
	return picture.ResponseOf(f.Plan.Response, f.Plan.Units), true
}

// plots is the picture of the trials behind the response.
func (f fieldView) plots() (picture.Plots, bool) {
	if len(f.Plan.Response.Observed) == 0 {
		return picture.Plots{}, false
	}
	return picture.PlotsOf(f.Plan.Response.Observed, f.Plan.Field.Crop.YieldKind(), f.Plan.Units), true
}

// every picks about so many of the points of a curve, for its table.
func every(points []advice.ResponsePoint, about int) []advice.ResponsePoint {
	step := max(1, (len(points)-1)/about)
	var some []advice.ResponsePoint
	for i := 0; i < len(points); i += step {
		some = append(some, points[i])
	}
	return some
}

// compared lays a nutrient of poor and good ground out on an axis of its own.
func (f fieldView) compared(n advice.NutrientFinding) (picture.Axis, picture.Compared) {
	c := picture.Compared{Poor: n.PoorMean, Good: n.GoodMean}
	ends := []float64{n.PoorMean, n.GoodMean}
	if n.Critical != nil {
		c.Critical, c.HasCritical = *n.Critical, true
		ends = append(ends, c.Critical)
	}
	return picture.AxisOver(n.Kind, f.Plan.Units, 3, ends...), c
}

// limits says that a nutrient is what the poor spots lack, or may be.
func limits(n advice.NutrientFinding) bool {
	return n.Part == soil.LikelyCause || n.Part == soil.PossibleCause
}

// against names a reference in words.
func against(r season.Reference) string {
	switch r {
	case season.StripReference:
		return "strip"
	case season.DungReference:
		return "dung spots"
	case season.UrineReference:
		return "urine spots"
	default:
		return string(r)
	}
}

// read writes a reading as it was taken: an index with three decimals, a score as noted.
func read(m season.Means, value float64) string {
	if m == season.Eye {
		return strconv.FormatFloat(value, 'g', -1, 64)
	}
	return unit.Show(unit.KindIndex, value, unit.US).Number
}

func (f fieldView) rate(r unit.Rate) string {
	return unit.Show(unit.KindRate, float64(r), f.Plan.Units).String()
}

func (f fieldView) perArea(m unit.MoneyPerArea) string {
	return unit.Show(unit.KindMoneyPerArea, float64(m), f.Plan.Units).String()
}

func (f fieldView) perMass(p unit.PricePerMass) string {
	return unit.Show(unit.KindNutrientPrice, float64(p), f.Plan.Units).String()
}

func (f fieldView) yield(y unit.Yield) string {
	return unit.Show(f.Plan.Field.Crop.YieldKind(), float64(y), f.Plan.Units).String()
}

func (f fieldView) gain(p advice.ResponsePoint) string {
	if p.Low == p.High {
		return unit.Show(f.Plan.Response.GainKind, float64(p.Gain), f.Plan.Units).String()
	}
	return unit.ShowRange(f.Plan.Response.GainKind, float64(p.Gain), float64(p.Low), float64(p.High), f.Plan.Units)
}

func share(f unit.Fraction) string {
	return unit.Show(unit.KindFraction, float64(f), unit.US).String()
}

func dayOrNone(d calendar.Day) string {
	if d.IsZero() {
		return "–"
	}
	return d.Short()
}

func rateUnit(s unit.System) string   { return unit.Symbol(unit.KindRate, s) }
func massUnit(s unit.System) string   { return unit.Symbol(unit.KindMass, s) }
func gainUnit(p *advice.Plan) string  { return unit.Symbol(p.Response.GainKind, p.Units) }
func yieldUnit(p *advice.Plan) string { return unit.Symbol(p.Field.Crop.YieldKind(), p.Units) }
