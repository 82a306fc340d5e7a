package need_test

import (
	"fmt"

	"culm/agronomy/calendar"
	"culm/agronomy/need"
	"culm/season"
)

// pairs makes readings of numbered pairs from values on the reference and beside it.
func pairs(on, beside []float64) []season.Reading {
	var all []season.Reading
	for i := range on {
		all = append(all,
			season.Reading{Pair: i + 1, Place: season.OnReference, Value: on[i]},
			season.Reading{Pair: i + 1, Place: season.Beside, Value: beside[i]})
	}
	return all
}

// A scout stops ten times along the strip, reads it and the crop a few steps aside.
func ExampleAssess() {
	f, err := need.Assess(&season.Readings{
		Field: "north-80", Strip: "A", Day: calendar.Date(2027, 2, 10), Observer: "scout",
		Reference: season.StripReference, Means: season.Sensor,
		Readings: pairs(
			[]float64{0.62, 0.66, 0.58, 0.63, 0.67, 0.61, 0.59, 0.64, 0.65, 0.60},
			[]float64{0.51, 0.52, 0.50, 0.55, 0.53, 0.54, 0.48, 0.52, 0.55, 0.49}),
	}, season.WheatGrain, need.Options{Seed: 1})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%s: index %.2f (%.2f to %.2f), %s evidence\n", f.Verdict, f.Index, f.Low, f.High, f.Strength)
	fmt.Println(f.Why)
	// Output:
	// response seen: index 1.20 (1.18 to 1.23), strong evidence
	// the whole interval lies above 1
}

// Scores by eye say which of two neighbouring places is the greener, and give no index.
func ExampleAssess_eye() {
	f, _ := need.Assess(&season.Readings{
		Strip: "A", Reference: season.StripReference, Means: season.Eye,
		Readings: pairs([]float64{7, 6, 7, 8, 7, 6}, []float64{5, 5, 6, 6, 7, 5}),
	}, season.WheatGrain, need.Options{})
	fmt.Println(f.Verdict, "-", f.Why)
	fmt.Printf("sign test p %.4f; index known: %v; %s evidence\n", f.Signs.P, f.HasIndex, f.Strength)
	// Output:
	// response seen - the reference looks greener in 5 of 6 pairs
	// sign test p 0.0625; index known: false; weak evidence
}

// Two strips that say the opposite are not averaged: the stronger evidence decides, and the conflict is named.
func ExampleStrongest() {
	first := need.Strongest([]need.Finding{
		{Strip: "B", Day: calendar.Date(2027, 2, 12), Against: season.DungReference, Verdict: need.ResponseSeen, Strength: need.Fair},
		{Strip: "A", Day: calendar.Date(2027, 2, 10), Against: season.StripReference, Verdict: need.NoResponse, Strength: need.Strong},
	})
	fmt.Println(first.Verdict)
	fmt.Println(first.Warnings[0])
	// Output:
	// no response seen
	// Conflict: strip A on Wed 10 Feb (strong evidence) says "no response seen", dung B on Fri 12 Feb (fair evidence) says "response seen". The stronger evidence decides; walk both before spreading.
}
