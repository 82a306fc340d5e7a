package response_test

import (
	"encoding/csv"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"culm/agronomy/response"
	"culm/agronomy/unit"
	"culm/internal/opendata"
	"culm/season"
)

// lowZone is the low-fertility zone of a winter wheat trial in Germany: 11 rates by 4 blocks, kg N/ha and
// Mg/ha. Bachmaier 2009, Statistical Papers 50:649, as printed in the R package agridat,
// bachmaier.nitrogen.
func lowZone() []season.Plot {
	return stepped(unit.TonneOfGrainPerHectare, []step{
		{0, []float64{4.48876387, 3.355364237, 3.305731167, 2.712563372}},
		{80, []float64{6.841725364, 6.111208128, 5.768645303, 6.375016539}},
		{100, []float64{6.624095165, 7.896593235, 6.961770665, 6.165494958}},
		{120, []float64{7.689454897, 7.614876383, 6.661574671, 7.508774333}},
		{140, []float64{7.132783839, 7.42, 6.57164215, 6.612152002}},
		{160, []float64{8.181272899, 7.413001665, 8.412458279, 7.236706095}},
		{180, []float64{7.897085682, 7.582404537, 6.482321259, 6.550496939}},
		{200, []float64{9.050257538, 7.879623834, 7.743023674, 7.572008427}},
		{220, []float64{9.48442815, 7.917897118, 7.934471264, 6.328491236}},
		{240, []float64{10.1129579, 7.85661767, 6.944666419, 8.198742463}},
		{260, []float64{8.648879504, 7.747580198, 8.521849519, 7.320017291}},
	})
}

// Prices of the same source: N 0.60 EUR/kg, wheat 110 EUR/Mg; the source rounds the ratio to 0.005454 Mg/kg.
const bachmaierRatio unit.Ratio = 5.454

// Corn in Tennessee, means of 9 plots, 100 kg/ha. Engelstad and Parks 1971, Agronomy Journal 63:21, as
// printed in agridat, engelstad.nitro. N 0.11, corn 1.15 for 100 kg/ha.
func jackson1962() []season.Plot {
	return everyPlot(67, 46.5, 59, 71.9, 73.1, 74.5, 75.5)
}

func knoxville1965() []season.Plot {
	return everyPlot(67, 59.4, 67.4, 69.6, 62.9, 67, 61.2)
}

func knoxville1966() []season.Plot {
	return everyPlot(67, 63, 61.3, 63.4, 59.4, 57.8, 58.3)
}

const engelstadRatio unit.Ratio = 0.11 / 1.15 * 100

// italy is wheat that rises ever faster up to 180 kg N/ha, in 100 kg/ha: the R package aomisc, NWheat2.
func italy() []season.Plot {
	return stepped(100, []step{
		{0, []float64{25.46, 26.47, 28.35, 20.22}},
		{60, []float64{34.46, 34.09, 31.84, 34.51}},
		{120, []float64{42.3, 42.88, 44.53, 37.84}},
		{180, []float64{53.62, 55.78, 51.55, 52.64}},
	})
}

type step struct {
	rate   float64
	yields []float64
}

func stepped(in unit.Yield, steps []step) []season.Plot {
	var plots []season.Plot
	for _, s := range steps {
		for _, y := range s.yields {
			plots = append(plots, season.Plot{Rate: unit.Rate(s.rate), Yield: unit.Yield(y) * in})
		}
	}
	return plots
}

// everyPlot has one plot at each of 0, by, 2 by and so on, with yields in 100 kg/ha.
func everyPlot(by float64, yields ...float64) []season.Plot {
	var plots []season.Plot
	for i, y := range yields {
		plots = append(plots, season.Plot{Rate: unit.Rate(by * float64(i)), Yield: 100 * unit.Yield(y)})
	}
	return plots
}

// table reads an open data set and keeps the rows that match; where is column to value.
type table struct {
	file        string
	comma       rune
	rate, yield string // columns
	in          unit.Yield
	rateIn      unit.Rate
}

func (d table) read(t *testing.T, where map[string]string) []season.Plot {
	t.Helper()
	r := csv.NewReader(opendata.Open(t, d.file))
	r.Comma = d.comma
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	column := map[string]int{}
	for i, name := range rows[0] {
		column[name] = i
	}
	var plots []season.Plot
	for _, row := range rows[1:] {
		if matches(row, column, where) {
			plots = append(plots, season.Plot{
				Rate:  unit.Rate(number(t, row[column[d.rate]])) * max(d.rateIn, 1),
				Yield: unit.Yield(number(t, row[column[d.yield]])) * d.in,
			})
		}
	}
	return plots
}

func matches(row []string, column map[string]int, where map[string]string) bool {
	for name, value := range where {
		if row[column[name]] != value {
			return false
		}
	}
	return true
}

func number(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

var (
	bachmaier = table{file: "nresp_bachmaier_wheat/bachmaier.nitrogen.tsv", comma: '\t', rate: "nitro", yield: "yield", in: 1000}
	hernandez = table{file: "nresp_hernandez_corn/hernandez.nitrogen.tsv", comma: '\t', rate: "nitro", yield: "yield", in: 1000}
	engelstad = table{file: "nresp_engelstad_corn/engelstad.nitro.tsv", comma: '\t', rate: "nitro", yield: "yield", in: 100}
	nwheat    = table{file: "nresp_nwheat_italy/nwheat.csv", comma: ',', rate: "Dose", yield: "Yield", in: 100}
	theobald  = table{file: "nresp_theobald_barley/theobald.barley.tsv", comma: '\t', rate: "nitro", yield: "yield", in: 1000}
	// vold is in g/m².
	vold = table{file: "nresp_vold_barley/vold.longterm.tsv", comma: '\t', rate: "nitro", yield: "yield", in: 10, rateIn: 10}
)

// hernandezRatio: corn 118.1 $/Mg, N 0.6615 $/kg.
const hernandezRatio unit.Ratio = 0.6615 / 0.1181

// printed compares with a number as its source prints it: to half a unit of the last digit shown.
func printed(t *testing.T, what string, got float64, want string) {
	t.Helper()
	mantissa, exponent, _ := strings.Cut(want, "e")
	_, decimals, _ := strings.Cut(mantissa, ".")
	power := -float64(len(decimals))
	if exponent != "" {
		power += number(t, exponent)
	}
	if off := math.Abs(got - number(t, want)); off > 0.5*math.Pow(10, power)*(1+1e-6) {
		t.Errorf("%s is %.10g, the source prints %s", what, got, want)
	}
}

// in gives the plots with yields in the source's own unit, so that parameters can be compared as printed.
// The fit does not know the unit.
func in(yield unit.Yield, plots []season.Plot) []season.Plot {
	out := slices.Clone(plots)
	for i := range out {
		out[i].Yield /= yield
	}
	return out
}

func fit(t *testing.T, form response.Form, plots []season.Plot) response.Curve {
	t.Helper()
	c, err := response.Fit(form, plots)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// parameter finds a parameter by its name.
func parameter(t *testing.T, c response.Curve, name string) float64 {
	t.Helper()
	for _, p := range c.Parameters {
		if p.Name == name {
			return p.Value
		}
	}
	t.Fatalf("the %s form has no parameter %s", c.Form, name)
	return 0
}

// formula is the optimum by the closed forms as the sources print them, whatever rates were tested.
func formula(t *testing.T, c response.Curve, ratio unit.Ratio) float64 {
	t.Helper()
	r := float64(ratio)
	p, q, s := c.Parameters[0].Value, c.Parameters[1].Value, c.Parameters[2].Value
	switch c.Form {
	case response.Quadratic:
		return (r - q) / (2 * s)
	case response.QuadraticPlateau:
		return s - r/q
	case response.LinearPlateau:
		return s
	case response.Mitscherlich:
		return math.Log((p-q)*s/r) / s
	default:
		return math.Pow(s/(2*(r-q)), 2)
	}
}
