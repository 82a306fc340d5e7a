package nitrogen_test

import (
	"slices"
	"strings"
	"testing"

	"culm/agronomy/calendar"
	"culm/agronomy/grazing"
	"culm/agronomy/nitrogen"
	"culm/agronomy/rulebook"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"

	"github.com/google/go-cmp/cmp"
)

func TestLead(t *testing.T) {
	without := func(e nitrogen.Evidence, change func(*nitrogen.Evidence)) nitrogen.Evidence {
		change(&e)
		return e
	}
	noSensor := func(e *nitrogen.Evidence) { e.Response = nitrogen.ResponseIndex{} }
	noRamp := func(e *nitrogen.Evidence) { e.Ramp = nil }
	for _, c := range []struct {
		name       string
		e          nitrogen.Evidence
		preference []string
		want       string
		says       string
	}{
		{"an own calibration leads", without(wheat(), func(e *nitrogen.Evidence) {
			e.Calibration = &season.Calibration{Label: "here", A: 0.4, B: 300, C: 1.6, D: -0.6, Efficiency: 0.6}
		}), nil, nitrogen.OwnCalibration, "own calibration"},
		{"then what the sensor saw", wheat(), nil, nitrogen.InSeason2005, "by sensor; it rests on numbers from memory"},
		{"then the ramp", without(wheat(), noSensor), nil, nitrogen.StripRamp, "on the ramp"},
		// Kansas, Minnesota, Montana and Ohio rest on nothing assumed; Kansas, the first, on numbers from memory.
		{"then a mass balance", without(without(wheat(), noSensor), noRamp), nil, "minnesota", "fewest assumptions (no input assumed)"},
		{"with the fewest assumptions", without(without(without(wheat(), noSensor), noRamp), func(e *nitrogen.Evidence) { untested(e, season.NitrateN); e.Tillage = "" }), nil, "ohio-974", "fewest"},
		{"the advisor's order goes first", wheat(), []string{"montana", "kansas-2003"}, "montana", "advisor's order; it rests on numbers from memory"},
		{"and is passed over where it cannot answer", without(wheat(), noRamp), []string{nitrogen.StripRamp, "minnesota"}, "minnesota", "passed over: Ramp of strips needs a ramp"},
		{"or not at all", without(wheat(), noRamp), []string{nitrogen.StripRamp}, nitrogen.InSeason2005, "passed over"},
		{"canola goes by its table", canola(), nil, "canola-plains", "canola tables"},
		{"or by its canopy", without(canola(), func(e *nitrogen.Evidence) { e.YieldGoal = working.Fact[unit.Yield]{} }), nil, "canola-green-area", "canopy"},
		{"nothing known", nitrogen.Evidence{Crop: season.WheatGrain}, nil, "", "no way"},
	} {
		t.Run(c.name, func(t *testing.T) {
			answers := nitrogen.Answers(c.e, rules(t))
			i, reason := nitrogen.Lead(answers, c.preference, c.e.Crop)
			got := ""
			if i >= 0 {
				got = answers[i].Method
			}
			if got != c.want || !strings.Contains(reason, c.says) {
				t.Errorf("%q because %q; want %q and a reason that speaks of %q", got, reason, c.want, c.says)
			}
		})
	}
}

func TestForageLeadsWheatGrazedOut(t *testing.T) {
	e := wheat()
	e.Crop = season.WheatGrazeOut
	e.Herd = grazing.Herd{Head: seen(unit.Ratio(100)), Mass: seen(unit.Mass(250)), Days: seen(unit.Days(90)), Area: seen(unit.Area(60))}
	answers := nitrogen.Answers(e, rules(t))
	if i, reason := nitrogen.Lead(answers, nil, e.Crop); i < 0 || answers[i].Method != "forage-1000" {
		t.Errorf("%d because %q, want forage", i, reason)
	}
}

// 60 bu of wheat, 36 to 40 lb of soil nitrate, 2 % organic matter, after wheat. Derived from the printed
// forms: Kansas 88, Minnesota 110 (at 40 lb), Montana 116 to 120, Ohio 67.
func TestSpreadOfTheMassBalances(t *testing.T) {
	e := wheat()
	e.Response, e.Ramp = nitrogen.ResponseIndex{}, nil
	untested(&e, season.AmmoniumN)
	e.GrainPrice = working.Fact[unit.PricePerMass]{}
	e.Applied = []nitrogen.Application{{Day: calendar.Date(2026, 10, 1), N: seen(unit.Rate(0))}}
	answers := nitrogen.Answers(e, rules(t))
	kansas := slices.IndexFunc(answers, func(a nitrogen.Answer) bool { return a.Method == "kansas-2003" })
	d := nitrogen.Spread(answers, kansas, e.Crop)
	if d.Answers != 4 || d.LowMethod != "ohio-974" || d.HighMethod != "montana" {
		t.Fatalf("%d answers from %s to %s", d.Answers, d.LowMethod, d.HighMethod)
	}
	if low, high := pounds(d.Low), pounds(d.High); low < 66.5 || low > 67.5 || high < 115.5 || high > 120.5 {
		t.Errorf("from %v to %v lb/ac, want 67 to 116–120", low, high)
	}
	if d.Lead != "kansas-2003" || d.Farthest != "montana" || d.Cause.Kind != nitrogen.CauseSupply || d.Cause.Label != "organic matter" {
		t.Fatalf("%s against %s: %+v, want the organic matter that Kansas credits", d.Lead, d.Farthest, d.Cause)
	}
	// 20 lb of the 32.
	if a, diff := pounds(d.Cause.Accounts), pounds(d.Cause.Difference); a < 19.99 || a > 20.01 || diff < 31.5 || diff > 32.5 {
		t.Errorf("organic matter accounts for %v of %v lb/ac, want 20 of 32", a, diff)
	}
	// Ohio counts 1.17 lb less for each of 60 bu, 70 lb, but credits no nitrate, 36 lb.
	lead, _ := nitrogen.Lead(answers, nil, e.Crop)
	d = nitrogen.Spread(answers, lead, e.Crop)
	if d.Lead != "minnesota" || d.Farthest != "ohio-974" || d.Cause.Kind != nitrogen.CauseWay || !strings.Contains(d.Cause.Label, "opposite directions; the largest is nitrogen for each unit of yield") {
		t.Errorf("%s against %s: %+v, want inputs that undo each other", d.Lead, d.Farthest, d.Cause)
	}
}

func TestWhatSpreadIsLaidOn(t *testing.T) {
	pair := func(e nitrogen.Evidence, lead, far string) nitrogen.Disagreement {
		var two []nitrogen.Answer
		for _, m := range []string{lead, far} {
			two = append(two, answer(t, e, m))
		}
		return nitrogen.Spread(two, 0, e.Crop)
	}
	calibrated := wheat()
	calibrated.Calibration = &season.Calibration{Label: "here", A: 0.359, B: 324.4, C: 1.69, D: -0.70, Efficiency: 0.45}
	better := calibrated
	better.Calibration = &season.Calibration{Label: "here", A: 0.5, B: 324.4, C: 1.69, D: -0.70, Efficiency: 0.6}
	without := wheat()
	untested(&without, season.NitrateN)
	fitted := wheat()
	fitted.Curves = []nitrogen.Curve{{Form: "linear-plateau", Optimum: 90}, {Form: "quadratic", Optimum: 130}}
	eaten := wheat()
	eaten.Crop = season.WheatGrazeOut
	eaten.Herd = grazing.Herd{Head: seen(unit.Ratio(160)), Mass: seen(635 * unit.Pound), Days: seen(unit.Days(120)), Area: seen(120 * unit.Acre)}
	hungry := eaten
	hungry.Herd.Head = seen(unit.Ratio(400))
	seed := canola()
	seed.YieldGoal = seen(2000 * unit.PoundOfGrainPerAcre)
	for _, c := range []struct {
		name      string
		e         nitrogen.Evidence
		lead, far string
		want      nitrogen.CauseKind
		label     string
		assumed   bool
	}{
		{"efficiency", calibrated, nitrogen.InSeason2005, nitrogen.OwnCalibration, nitrogen.CauseEfficiency, "efficiency", false},
		{"outlook", better, nitrogen.InSeason2005, nitrogen.OwnCalibration, nitrogen.CauseYield, "gain expected", false},
		// Ohio counts 64 lb less for the yield, and takes off 43 lb less for soil and organic matter: 8 lb apart.
		{"soil credited against a smaller need", without, "kansas-2003", "ohio-974", nitrogen.CauseWay, "opposite directions; the largest is nitrogen for each unit of yield", false},
		{"outlook against yield goal", wheat(), nitrogen.InSeason2005, "montana", nitrogen.CauseYield, "yield counted on", false},
		{"two forms of curve", fitted, "curve-linear-plateau", "curve-quadratic", nitrogen.CauseWay, "both go by trials and prices, but the form of curve differs, linear-plateau against quadratic", false},
		// 500 lb of forage make 26 lb of nitrogen one way, 18 for 20 lb of it 13 the other.
		{"what the herd eats", eaten, "forage-1000", "forage-1500", nitrogen.CauseWay, "opposite directions; the largest is the forage taken to grow before nitrogen counts", false},
		{"what a herd eats that needs far more", hungry, "forage-1000", "forage-1500", nitrogen.CauseWay, "opposite directions; the largest is the forage counted on from each unit of nitrogen", false},
		{"ramp against balance", wheat(), nitrogen.StripRamp, "montana", nitrogen.CauseWay, "how the strips look", false},
		// 0.05 lb a lb against 3.25 lb for a bushel of 50 lb: 100 lb against 130 for 2,000 lb.
		{"canola", seed, "canola-plains", "canola-montana", nitrogen.CauseCoefficient, "each unit of yield", false},
		{"same rate", wheat(), "kansas-2003", "kansas-2003", "", "", false},
	} {
		t.Run(c.name, func(t *testing.T) {
			d := pair(c.e, c.lead, c.far)
			if d.Cause.Kind != c.want || !strings.Contains(d.Cause.Label, c.label) || d.Cause.Assumed != c.assumed {
				t.Errorf("%+v, want %q about %q", d.Cause, c.want, c.label)
			}
		})
	}
}

// Two balances that count 120 kg for the yield and differ in what they credit.
func TestWhatSuppliesAccountFor(t *testing.T) {
	balance := func(method string, supplies ...nitrogen.Supply) nitrogen.Answer {
		a := nitrogen.Answer{Method: method, Answered: true, Family: rulebook.FamilyBalance, Rate: 120}
		a.Account = nitrogen.Account{Known: true, PerYield: 0.04, Yield: 3000, Supplies: supplies}
		for _, s := range supplies {
			a.Rate -= s.Amount
		}
		a.Rate = max(0, a.Rate)
		return a
	}
	nitrate := func(n unit.Rate) nitrogen.Supply {
		return nitrogen.Supply{What: rulebook.Nitrate, Label: "soil nitrate", Amount: n}
	}
	guessed := nitrate(60)
	guessed.Assumed = true
	organic := func(n unit.Rate) nitrogen.Supply {
		return nitrogen.Supply{What: rulebook.OrganicMatter, Label: "organic matter", Amount: n}
	}
	tillage := func(n unit.Rate) nitrogen.Supply {
		return nitrogen.Supply{What: rulebook.Tillage, Label: "tillage", Amount: n}
	}
	for _, c := range []struct {
		name      string
		lead, far nitrogen.Answer
		want      nitrogen.Cause
	}{
		{
			"one credit and no other", balance("a", guessed), balance("b", nitrate(10)),
			nitrogen.Cause{Kind: nitrogen.CauseSupply, What: rulebook.Nitrate, Label: "soil nitrate", InLead: working.Of(unit.Rate(60)), InFarthest: working.Of(unit.Rate(10)), Accounts: 50, Difference: 50, Assumed: true},
		},
		{
			"a rate that would go below 0", balance("a", nitrate(200)), balance("b", nitrate(80)),
			nitrogen.Cause{Kind: nitrogen.CauseSupply, What: rulebook.Nitrate, Label: "soil nitrate", InLead: working.Of(unit.Rate(200)), InFarthest: working.Of(unit.Rate(80)), Accounts: 40, Difference: 40},
		},
		{
			"three credits alike", balance("a", nitrate(20), organic(22), tillage(20)), balance("b", nitrate(0), organic(0), tillage(0)),
			nitrogen.Cause{Kind: nitrogen.CauseWay, Label: "several inputs add up; the largest is organic matter", Difference: 62},
		},
		{
			"one credit against another", balance("a", nitrate(60), organic(0)), balance("b", nitrate(0), organic(40)),
			nitrogen.Cause{Kind: nitrogen.CauseWay, Label: "several inputs pull in opposite directions; the largest is soil nitrate", Difference: 20},
		},
	} {
		d := nitrogen.Spread([]nitrogen.Answer{c.lead, c.far}, 0, season.WheatGrain)
		if diff := cmp.Diff(c.want, d.Cause); diff != "" {
			t.Errorf("%s (-want +got):\n%s", c.name, diff)
		}
	}
}

func TestSpreadOfNothing(t *testing.T) {
	if d := nitrogen.Spread(nil, -1, season.WheatGrain); d != (nitrogen.Disagreement{}) {
		t.Errorf("%+v, want nothing", d)
	}
}
