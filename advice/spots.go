package advice

import (
	"fmt"

	"culm/agronomy/soil"
	"culm/agronomy/working"
)

// askSpots compares poor spots with the good ground beside them.
func (c *inquiry) askSpots() {
	if len(c.fs.Spots) == 0 {
		return
	}
	found := &c.plan.Spots
	found.Pairs, found.Unmatched = len(c.spots.Pairs), c.spots.Unmatched
	for _, n := range soil.Compare(c.spots.Pairs, c.fs.Field.Crop) {
		found.Nutrients = append(found.Nutrients, c.nutrient(n))
	}
	if len(found.Nutrients) == 0 {
		found.Sentence = working.Sentence{working.Words("Poor spots are marked; no pair of them has laboratory results yet.")}
		return
	}
	first := found.Nutrients[0]
	difference, _ := c.ledger().Get(first.Difference)
	found.Sentence = working.Sentence{
		working.Words(fmt.Sprintf("Of %d pairs of poor and good ground, ", found.Pairs)), working.Claim(first.Name, difference),
		working.Words(" comes first: " + first.Verdict),
	}
}

func (c *inquiry) nutrient(n soil.Nutrient) NutrientFinding {
	f := working.Figure{
		ID: working.ID("spots." + string(n.Analyte)), Label: n.Name + ", good ground less poor spot",
		Amount:     working.Amount{Base: n.Mean, Kind: n.Kind},
		Expression: "mean over the pairs of good ground − poor spot",
		Notes:      n.Notes,
	}
	for i, p := range c.spots.Pairs {
		if i < len(n.Differences) && len(n.Differences) == len(c.spots.Pairs) {
			f.Inputs = append(f.Inputs, working.Input{
				Label: "pair " + p.Name, Amount: working.Amount{Base: n.Differences[i], Kind: n.Kind},
				Origin: working.Origin{Kind: working.Observed, By: p.PoorSoil[0].Lab, On: p.Poor.Day, With: "samples " + p.Poor.Sample + " and " + p.Good.Sample},
			})
		}
	}
	shown := NutrientFinding{
		Analyte: n.Analyte, Name: n.Name, Pairs: n.Pairs, PoorMean: n.PoorMean, GoodMean: n.GoodMean, Kind: n.Kind,
		Verdict: n.Verdict, Part: n.Part,
	}
	if n.HasTest {
		f.Interval = &working.Interval{Low: n.Low, High: n.High, Level: 0.95}
		f.Notes = append(f.Notes, fmt.Sprintf("Paired t test: t %.2f with %d degrees of freedom, p %.4f.", n.T, n.Freedom, n.P))
		p := n.P
		shown.P = &p
	} else {
		f.Notes = append(f.Notes, fmt.Sprintf("Fewer than %d pairs, or pairs all alike: the differences are given, and no p value.", soil.TestedPairs))
	}
	if n.HasCritical {
		level := n.Critical.Level
		shown.Critical = &level
		f.Source, f.Status = n.Critical.Source, n.Critical.Status
		f.Notes = append(f.Notes, "Critical level: "+n.Critical.Note)
	} else {
		f.Notes = append(f.Notes, "No critical level: "+n.WhyNot)
	}
	shown.Difference = c.ledger().Add(f).ID
	return shown
}
