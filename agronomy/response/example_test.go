package response_test

import (
	"fmt"

	"culm/agronomy/response"
)

// The low-fertility zone of a winter wheat trial, with N at 0.60 EUR/kg and wheat at 110 EUR/Mg. The 95 %
// limits are published: 173 to 260 kg N/ha (Bachmaier 2009, as quoted with the data in agridat).
func Example() {
	plots := lowZone()
	curve, _ := response.Fit(response.Quadratic, plots)
	optimum := curve.Optimum(bachmaierRatio)
	limits, _ := response.Fieller(plots, bachmaierRatio, 0.95)
	fmt.Printf("%.0f (%.0f to %.0f) kg N/ha\n", optimum.Rate, limits.Low, limits.High)
	fmt.Println(optimum.Reason)
	// Output:
	// 199 (173 to 260) kg N/ha
	// from here on nitrogen brings less yield than it costs
}

// The same plots read through every form: alike in fit, far apart in advice.
func ExampleCompare() {
	answers, _ := response.Compare(lowZone(), bachmaierRatio)
	for _, a := range answers {
		sign := ""
		if a.Optimum.Beyond {
			sign = "at least "
		}
		fmt.Printf("%-17s  R2 %.3f  %s%.0f kg N/ha\n", a.Curve.Form.Name(), a.Curve.R2, sign, a.Optimum.Rate)
	}
	// Output:
	// linear-plateau     R2 0.715  127 kg N/ha
	// quadratic-plateau  R2 0.739  192 kg N/ha
	// quadratic          R2 0.739  199 kg N/ha
	// Mitscherlich       R2 0.749  209 kg N/ha
	// square root        R2 0.749  at least 260 kg N/ha
}

// Corn at Jackson in 1962. The source prints the join and the optimum cut off: 225 and 140 kg N/ha
// (Engelstad and Parks 1971, as quoted with the data in agridat).
func ExampleFit() {
	curve, _ := response.Fit(response.QuadraticPlateau, jackson1962())
	fmt.Println(curve.Form.Expression())
	for _, p := range curve.Parameters {
		fmt.Printf("%s = %.4g\n", p.Name, p.Value)
	}
	fmt.Printf("optimum %s: %.1f kg N/ha\n", curve.Form.OptimumExpression(), curve.Optimum(engelstadRatio).Rate)
	// Output:
	// Ymax − k/2 (M − N)² up to M, then Ymax
	// Ymax = 7474
	// k = 0.1131
	// M = 225.3
	// optimum M − r/k: 140.8 kg N/ha
}

// Corn at Knoxville in 1966, which the source left out as having no response.
func ExampleCurve_Optimum() {
	curve, _ := response.Fit(response.Quadratic, knoxville1966())
	fmt.Printf("%+v\n", curve.Optimum(engelstadRatio))
	// Output:
	// {Rate:0 Interior:false Beyond:false Below:false Refused:false Reason:nowhere does nitrogen bring more yield than it costs}
}
