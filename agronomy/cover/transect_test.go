package cover_test

import (
	"fmt"
	"math"
	"testing"

	"culm/agronomy/cover"
	"culm/agronomy/unit"

	"pgregory.net/rapid"
)

// University of Missouri Guide G1570: 44 hits on 100 marks is 44 % cover.
func ExampleCountResidue() {
	c, err := cover.CountResidue([]cover.Transect{{Hits: 44, Marks: 100}})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.0f %%, standard error %.2f points, 95 %% interval %.0f to %.0f %%\n", 100*c.Cover, 100*c.StandardError, 100*c.Low, 100*c.High)
	// Output:
	// 44 %, standard error 4.96 points, 95 % interval 35 to 54 %
}

// 44 % on 500 random points: standard error 2.22 points and ±4.35 points at 95 % (computed). Five real lines
// say more: they differ.
func TestResidueLines(t *testing.T) {
	if got := cover.PointError(0.44, 500); math.Abs(float64(got)-0.0222) > 0.00005 || math.Abs(1.96*float64(got)-0.0435) > 0.00005 {
		t.Errorf("500 random points: %.5f, expected 0.0222", got)
	}
	even := []cover.Transect{{44, 100}, {44, 100}, {44, 100}}
	if c, err := cover.CountResidue(even); err != nil || c.StandardError > 1e-12 || math.Abs(float64(c.Cover)-0.44) > 1e-12 {
		t.Errorf("three lines alike: %+v, %v", c, err)
	}
	// 40, 50, 30, 60, 40: mean 44, s = sqrt(520/4) = 11.402, s/sqrt(5) = 5.099, t(4, 0.975) = 2.776: textbook
	// arithmetic and table.
	uneven := []cover.Transect{{40, 100}, {50, 100}, {30, 100}, {60, 100}, {40, 100}}
	c, err := cover.CountResidue(uneven)
	if err != nil || math.Abs(float64(c.StandardError)-0.05099) > 0.000005 || c.Lines != 5 {
		t.Errorf("five uneven lines: %+v, %v; expected a standard error of 0.05099", c, err)
	}
	if math.Abs(float64(c.PointError)-0.0222) > 0.00005 || math.Abs(float64(c.High-c.Cover)-2.776*0.05099) > 0.00005 {
		t.Errorf("five uneven lines: %+v; expected 0.0222 for random points and ±0.1416", c)
	}
	for _, bad := range [][]cover.Transect{nil, {{5, 0}}, {{-1, 100}}, {{101, 100}}} {
		if _, err := cover.CountResidue(bad); err == nil {
			t.Errorf("%v was counted", bad)
		}
	}
}

func TestOneLineStaysWithinTheGround(t *testing.T) {
	for _, hits := range []int{0, 1, 99, 100} {
		c, err := cover.CountResidue([]cover.Transect{{hits, 100}})
		if err != nil || c.Low < 0 || c.High > 1 || c.Low >= c.High || c.Cover < c.Low-1e-12 || c.Cover > c.High+1e-12 {
			t.Errorf("%d hits on 100 marks: %+v, %v", hits, c, err)
		}
	}
}

// Gregory 1982, form as in public erosion code, coefficients of a public residue table; values computed.
func TestFromMass(t *testing.T) {
	for _, row := range []struct {
		crop  string
		cover float64
	}{{"wheat", 0.7408}, {"corn", 0.5934}, {"soybean", 0.6171}, {"barley", 0.6988}} {
		got := cover.FromMass(3000, cover.Coefficient(row.crop))
		if math.Abs(float64(got)-row.cover) > 0.00005 {
			t.Errorf("3000 kg/ha of %s cover %.5f, expected %.4f", row.crop, got, row.cover)
		}
	}
	mass := cover.ToMass(0.30, cover.Coefficient("wheat"))
	if math.Abs(float64(mass)-792.6) > 0.05 || math.Abs(float64(mass/unit.PoundOfMatterPerAcre)-707) > 0.5 {
		t.Errorf("30 %% cover is %.2f kg/ha, expected 792.6 (707 lb/ac)", float64(mass))
	}
	// With the erosion table's coefficient, from memory: 594 lb/ac (computed with 0.0006 ac/lb).
	_, high := cover.CoefficientRange("wheat")
	if pounds := float64(cover.ToMass(0.30, high) / unit.PoundOfMatterPerAcre); math.Abs(pounds-594) > 1 {
		t.Errorf("30 %% cover is %.1f lb/ac by the erosion table, expected 594", pounds)
	}
	if whole := cover.ToMass(1, cover.Coefficient("wheat")); whole != 30000 {
		t.Errorf("ground wholly covered: %v kg/ha", whole)
	}
}

func TestCoverAndMassAreOneRelation(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		mass := unit.Biomass(rapid.Float64Range(0, 20000).Draw(t, "kg/ha"))
		a := cover.Coefficient(rapid.SampledFrom([]string{"wheat", "rye", "barley", "corn", "pea", "canola"}).Draw(t, "crop"))
		if back := cover.ToMass(cover.FromMass(mass, a), a); math.Abs(float64(back-mass)) > 1e-6*(1+float64(mass)) {
			t.Fatalf("%v kg/ha comes back as %v", mass, back)
		}
	})
}

// Covers of a mixture leave bare what none of them covers: the bare shares multiply.
func TestMixture(t *testing.T) {
	wheat, corn := cover.Coefficient("wheat"), cover.Coefficient("corn")
	both := cover.FromMixture([]cover.Layer{{1000, wheat}, {2000, corn}})
	bare := (1 - cover.FromMass(1000, wheat)) * (1 - cover.FromMass(2000, corn))
	if math.Abs(float64(1-both-bare)) > 1e-12 {
		t.Errorf("wheat and corn leave %.4f bare, expected %.4f", 1-both, bare)
	}
}
