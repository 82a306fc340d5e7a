package soil

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"culm/agronomy/unit"
	"culm/season"

	"gonum.org/v1/gonum/stat/distuv"
)

// TestedPairs is the number of pairs from which a difference is tested; with fewer it is only shown.
// [cite.GoodBadPairs] asks for several pairs; the number is practice.
const TestedPairs = 5

// level is the confidence of the interval of a difference.
const level = 0.95

// Nutrient compares one analyte over all pairs of a field.
type Nutrient struct {
	Analyte season.Analyte
	Name    string
	Kind    unit.Kind // of the values below
	// Method is the extractant of the pairs compared.
	Method string
	// Top and Bottom are the layer compared.
	Top, Bottom unit.Length

	Pairs              int
	PoorMean, GoodMean float64
	// Differences are good ground less poor spot, pair by pair; Mean is their mean.
	Differences []float64
	Mean        float64
	// HasTest says that there are pairs enough for the paired t test, and scatter to test against. Low and
	// High then bound Mean at 95 %, and P is two-sided with Freedom degrees of freedom.
	HasTest   bool
	T         float64
	Freedom   int
	P         float64
	Low, High float64

	// Critical is the level both means are held against where HasCritical is set; otherwise WhyNot says why
	// there is none.
	Critical    Critical
	HasCritical bool
	WhyNot      string
	// PoorShort and GoodShort count spots on the wrong side of the level.
	PoorShort, GoodShort int

	Part Part
	// Verdict is Part in words.
	Verdict string
	Notes   []string
}

// Compare sets poor spots against good ground, analyte by analyte: the difference over all pairs, and on
// which side of the critical level each lies. What limits first stands first; among equals the order is that
// in which the crop suffers: for canola pH and phosphorus first.
//
// A pair counts for an analyte when both samples have it, by one method and from one depth. Buffer pH is
// left out: it only sets a rate of lime.
func Compare(pairs []Pair, crop season.Crop) []Nutrient {
	var all []Nutrient
	for _, a := range order(crop) {
		if n, ok := compare(a, pairs, crop); ok {
			all = append(all, n)
		}
	}
	if crop.IsWheat() {
		joinAcidity(all)
	}
	slices.SortStableFunc(all, func(a, b Nutrient) int { return cmp.Compare(a.Part.rank(), b.Part.rank()) })
	return all
}

// order is that in which a crop suffers (common practice; that canola wants pH and phosphorus seen to first
// likewise).
func order(crop season.Crop) []season.Analyte {
	rest := []season.Analyte{season.Zinc, season.Copper, season.Boron, season.Iron, season.Manganese, season.OrganicMatter, season.NitrateN, season.AmmoniumN}
	if crop == season.Canola {
		return append([]season.Analyte{season.PH, season.Phosphorus, season.SulfateS, season.Potassium, season.Aluminium, season.Chloride}, rest...)
	}
	return append([]season.Analyte{season.PH, season.Aluminium, season.Phosphorus, season.Potassium, season.Chloride, season.SulfateS}, rest...)
}

// both is one analyte of one pair.
type both struct {
	poor, good  season.Result
	top, bottom unit.Length
}

func compare(a season.Analyte, pairs []Pair, crop season.Crop) (Nutrient, bool) {
	n := Nutrient{Analyte: a, Name: Name(a), Kind: KindOf(a)}
	used := n.keepAlike(n.collect(pairs))
	if len(used) == 0 {
		return n, false
	}
	n.Method, n.Top, n.Bottom = Method(used[0].poor.Method), used[0].top, used[0].bottom
	below := 0
	for _, b := range used {
		n.PoorMean += b.poor.Value / float64(len(used))
		n.GoodMean += b.good.Value / float64(len(used))
		n.Differences = append(n.Differences, b.good.Value-b.poor.Value)
		if b.poor.Below || b.good.Below {
			below++
		}
	}
	if below > 0 {
		n.note("In %d of %d pairs a value is below the laboratory's limit and counts as the limit.", below, len(used))
	}
	n.Pairs = len(used)
	n.test()
	n.Critical, n.WhyNot = CriticalLevel(crop, a, n.Method, n.Bottom)
	n.HasCritical = n.WhyNot == ""
	if n.HasCritical {
		for _, b := range used {
			n.PoorShort += one(n.Critical.Short(b.poor.Value))
			n.GoodShort += one(n.Critical.Short(b.good.Value))
		}
	}
	n.judge()
	return n, true
}

func one(b bool) int {
	if b {
		return 1
	}
	return 0
}

func (n *Nutrient) note(format string, args ...any) {
	n.Notes = append(n.Notes, fmt.Sprintf(format, args...))
}

// collect takes an analyte from the shallowest row of each spot that has it.
func (n *Nutrient) collect(pairs []Pair) (all []both) {
	for _, p := range pairs {
		poor, ps, ok := shallowest(p.PoorSoil, n.Analyte)
		good, gs, too := shallowest(p.GoodSoil, n.Analyte)
		switch {
		case !ok && !too:
		case !ok || !too:
			n.note("Pair %s is left out: %s was measured in only one of its spots.", p.Name, n.Name)
		case !same(ps.Top, gs.Top) || !same(ps.Bottom, gs.Bottom):
			n.note("Pair %s is left out: the poor spot was sampled %s, the good one %s.", p.Name, Depth(ps.Top, ps.Bottom), Depth(gs.Top, gs.Bottom))
		case Method(poor.Method) != Method(good.Method):
			n.note("Pair %s is left out: %s was measured by %q in one spot and by %q in the other.", p.Name, n.Name, poor.Method, good.Method)
		default:
			all = append(all, both{poor, good, ps.Top, ps.Bottom})
		}
	}
	return all
}

func shallowest(rows []*season.Soil, a season.Analyte) (season.Result, *season.Soil, bool) {
	for _, s := range rows {
		if r, ok := s.Find(a); ok && !math.IsNaN(r.Value) && !math.IsInf(r.Value, 0) {
			return r, s, true
		}
	}
	return season.Result{}, nil, false
}

// keepAlike keeps the pairs measured by the method and in the layer that most of them share; of equals, the
// first.
func (n *Nutrient) keepAlike(all []both) []both {
	var most []both
	for _, b := range all {
		var group []both
		for _, c := range all {
			if Method(c.poor.Method) == Method(b.poor.Method) && same(c.top, b.top) && same(c.bottom, b.bottom) {
				group = append(group, c)
			}
		}
		if len(group) > len(most) {
			most = group
		}
	}
	if left := len(all) - len(most); left > 0 {
		n.note("%d of %d pairs left out: measured by another method or in another layer than most.", left, len(all))
	}
	return most
}

// test is Student's t test of paired differences.
func (n *Nutrient) test() {
	count := float64(n.Pairs)
	for _, d := range n.Differences {
		n.Mean += d / count
	}
	if n.Pairs < TestedPairs {
		return
	}
	squares := 0.0
	for _, d := range n.Differences {
		squares += (d - n.Mean) * (d - n.Mean)
	}
	spread := math.Sqrt(squares / (count - 1))
	if n.steady(spread) {
		n.note("All pairs differ by the same amount: there is no scatter to test against.")
		return
	}
	n.HasTest, n.Freedom = true, n.Pairs-1
	student := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: count - 1}
	off := spread / math.Sqrt(count)
	n.T = n.Mean / off
	n.P = 2 * student.CDF(-math.Abs(n.T))
	reach := student.Quantile((1+level)/2) * off
	n.Low, n.High = n.Mean-reach, n.Mean+reach
}

// steady says that differences are equal but for the rounding of the arithmetic.
func (n *Nutrient) steady(spread float64) bool {
	return spread <= 1e-9*(math.Abs(n.PoorMean)+math.Abs(n.GoodMean))
}

// differs says that good ground and poor spots differ by more than chance; known is false with too few pairs.
func (n *Nutrient) differs() (differs, known bool) {
	switch {
	case n.Pairs < TestedPairs:
		return false, false
	case !n.HasTest:
		return math.Abs(n.Mean) > 1e-9*(math.Abs(n.PoorMean)+math.Abs(n.GoodMean)), true
	default:
		return n.Low > 0 || n.High < 0, true
	}
}
