package rulebook_test

import (
	"bufio"
	"fmt"
	"math"
	"testing"

	"culm/agronomy/rulebook"
	"culm/internal/opendata"

	"gonum.org/v1/gonum/optimize"
)

// clover is a plot mean of Sinclair's trial of phosphorus and sulfur on clover in New Zealand (Dodds, Sinclair and
// Morrison 1995, Fertilizer Research 45:117): t/ha, kg P/ha, kg S/ha.
type clover struct{ yield, p, s float64 }

func sinclair(t *testing.T) []clover {
	t.Helper()
	var all []clover
	lines := bufio.NewScanner(opendata.Open(t, "resp_sinclair_ps/sinclair.clover.tsv"))
	for lines.Scan() {
		var c clover
		if _, err := fmt.Sscan(lines.Text(), &c.yield, &c.p, &c.s); err == nil {
			all = append(all, c)
		}
	}
	if len(all) != 25 {
		t.Fatalf("read %d plots, want 25", len(all))
	}
	return all
}

// leastSquares fits a surface by the simplex method of gonum, again from where it ended until it stays.
func leastSquares(t *testing.T, data []clover, start []float64, surface func(x []float64, c clover) float64) (x []float64, squares float64) {
	t.Helper()
	problem := optimize.Problem{Func: func(x []float64) float64 {
		sum := 0.0
		for _, c := range data {
			sum += math.Pow(c.yield-surface(x, c), 2)
		}
		if math.IsNaN(sum) {
			return math.Inf(1)
		}
		return sum
	}}
	x, squares = start, math.Inf(1)
	for range 60 {
		found, err := optimize.Minimize(problem, x, &optimize.Settings{FuncEvaluations: 20000}, &optimize.NelderMead{})
		if err != nil && found == nil {
			t.Fatal(err)
		}
		gained := squares - found.F
		x, squares = found.X, found.F
		if gained < 1e-13 {
			break
		}
	}
	return x, squares
}

// TestSinclairSurface fits the surface of Dodds et al. in which each nutrient bends the other's curve, in units of
// 10 kg/ha, and meets their table 2 as the documentation of the data prints it. It shows that the data are read
// right and that the fit finds the bottom.
func TestSinclairSurface(t *testing.T) {
	const unexplained = 0.5298 // residual standard error, 18 degrees of freedom
	x, squares := leastSquares(t, sinclair(t), []float64{10.5, -0.52, -0.52, 0.51, 0.6, 0.5, 0.7}, func(x []float64, c clover) float64 {
		alpha, beta, del, sig, tau, th, rho := x[0], x[1], x[2], x[3], x[4], x[5], x[6]
		p, s := c.p/10, c.s/10
		return alpha * (1 + beta*math.Pow((sig+tau*p)/(p+1), s)) * (1 + del*math.Pow((th+rho*s)/(s+1), p))
	})
	for i, want := range []float64{11.15148, -0.61223, -0.48781, 0.26783, 0.68030, 0.59656, 0.83273} {
		// half the last digit, and as much again for where the two searches stop
		if math.Abs(x[i]-want) > 1e-5 {
			t.Errorf("parameter %d is %.6f, published %.5f", i, x[i], want)
		}
	}
	if got := math.Sqrt(squares / 18); math.Abs(got-unexplained) > 5e-5 {
		t.Errorf("residual standard error %.5f, published %v", got, unexplained)
	}
}

// minimum is the law of the minimum: the yield that phosphorus allows, that sulfur allows, or that the site allows,
// whichever is least.
func minimum(x []float64, c clover) float64 {
	return min(x[0], x[1]+x[2]*c.p, x[3]+x[4]*c.s)
}

// TestMinimumLaw fits the law of the minimum to the same trial, writes it as a book, and asks the book. It answers
// as the law does on every plot, and names the nutrient that limits where neither was given.
//
// Reported: how much worse the law fits than the surface in which each nutrient helps the other. A plan that treats
// only the one nutrient that limits first rests on the law.
func TestMinimumLaw(t *testing.T) {
	data := sinclair(t)
	var x []float64
	squares := math.Inf(1)
	// The bottom has ledges, so several starts.
	for _, top := range []float64{8, 9, 10, 11} {
		for _, slope := range []float64{0.02, 0.05, 0.1, 0.2} {
			if found, sum := leastSquares(t, data, []float64{top, 5, slope, 3.5, 2 * slope}, minimum); sum < squares {
				x, squares = found, sum
			}
		}
	}
	mean, whole := 0.0, 0.0
	for _, c := range data {
		mean += c.yield / float64(len(data))
	}
	for _, c := range data {
		whole += (c.yield - mean) * (c.yield - mean)
	}
	t.Logf("yield is the least of %.2f, %.2f + %.4f P, %.2f + %.4f S; squares %.2f of %.2f, R2 %.3f", x[0], x[1], x[2], x[3], x[4], squares, whole, 1-squares/whole)
	book, err := rulebook.Parse("minimum.yaml", []byte(minimumBook(x)))
	if err != nil {
		t.Fatal(err)
	}
	r, _ := book.Rule("yield")
	for _, c := range data {
		if got, want := answer(t, r, given{"phosphorusGiven": c.p, "sulfurGiven": c.s}), minimum(x, c); math.Abs(got-want) > hair {
			t.Errorf("%v kg P, %v kg S: the book says %v, the law %v", c.p, c.s, got, want)
		}
	}
	// Where neither was given, the trial itself says what limits first: 90 kg S alone doubled the yield (2.7 to 5.77
	// t/ha), 160 kg P alone brought less (4.75).
	if x[3] >= x[1] {
		t.Errorf("the law says phosphorus limits first (%.2f t/ha against %.2f), the trial says sulfur", x[1], x[3])
	}
}

func minimumBook(x []float64) string {
	return fmt.Sprintf(`key: minimum
name: Law of the minimum
region: Southland, New Zealand
publisher: a test
edition: fitted in a test
sources:
  trial: {text: "Dodds, Sinclair and Morrison 1995, Fertilizer Research 45:117.", status: derived from confirmed facts}
rules:
  - key: yield
    name: Clover by the nutrient that limits most
    answers: index
    source: trial
    unit: t/ha
    inputs:
      phosphorusGiven: {unit: kg P/ha, range: [0, 160], asked: true}
      sulfurGiven: {unit: kg S/ha, range: [0, 90], asked: true}
    constants:
      most: {value: %.17g, unit: t/ha, status: derived from confirmed facts}
      withoutP: {value: %.17g, unit: t/ha, status: derived from confirmed facts}
      perP: {value: %.17g, unit: t/kg P, status: derived from confirmed facts}
      withoutS: {value: %.17g, unit: t/ha, status: derived from confirmed facts}
      perS: {value: %.17g, unit: t/kg S, status: derived from confirmed facts}
    answer: min(most, withoutP + perP * phosphorusGiven, withoutS + perS * sulfurGiven)
    claims:
      - {when: phosphorusGiven rises, answer: never falls}
      - {when: sulfurGiven rises, answer: never falls}
    examples:
      - {name: nothing given, given: {phosphorusGiven: 0, sulfurGiven: 0}, answer: %.4f, status: derived from confirmed facts}
`, x[0], x[1], x[2], x[3], x[4], min(x[0], x[1], x[3]))
}
