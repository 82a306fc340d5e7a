package rulebook_test

import (
	"math"
	"testing"

	"culm/agronomy/unit"
)

// hair is what binary arithmetic may be off by at half a printed digit.
const hair = 1e-9

// TestPublishedValues holds rules against numbers printed by their publications, at the digits printed, and
// against arithmetic on printed forms, typed here from the publications and not from the books. Those marked
// memory rest on forms that are recalled and not read again.
func TestPublishedValues(t *testing.T) {
	for _, c := range []struct {
		name, rule string
		in         given
		want, half float64 // half a unit of the last digit printed
	}{
		// Minnesota: 2.5 lb a bushel less the soil test and 20 lb for soybean.
		{"Minnesota, 60 bu, soil test 40, soybean", "minnesota/nitrogen", given{"yieldGoal": 60, "nitrate": 40, "previousCrop": "soybean"}, 90, 0.5},
		{"Minnesota, no legume", "minnesota/nitrogen", given{"yieldGoal": 60, "nitrate": 40, "previousCrop": "wheat"}, 110, 0.5},
		// Montana: 2.6 lb a bushel, 3.25 for canola.
		{"Montana, 50 bu, soil 45", "montana/nitrogen", given{"yieldGoal": 50, "nitrate": 45, "organicMatter": 2}, 85, 0.5},
		{"Montana, 60 bu, soil 40", "montana/nitrogen", given{"yieldGoal": 60, "nitrate": 40, "organicMatter": 2}, 116, 0.5},
		{"Montana canola, 40 bu, soil 30", "canola-montana/nitrogen", given{"yieldGoal": 40, "nitrate": 30}, 100, 0.5},
		// Ohio, Bulletin 974: 1.33 × yield − 13; its table is rounded to tens.
		{"Ohio, 100 bu", "ohio-974/nitrogen", given{"yieldGoal": 100}, 120.0, 0.05},
		{"Ohio, 70 bu", "ohio-974/nitrogen", given{"yieldGoal": 70}, 80.1, 0.05},
		{"Ohio, 60 bu", "ohio-974/nitrogen", given{"yieldGoal": 60}, 67, 0.5},
		{"Ohio's table, 70 bu", "ohio-974/nitrogen", given{"yieldGoal": 70}, 80, 5},
		{"Ohio's table, 80 bu", "ohio-974/nitrogen", given{"yieldGoal": 80}, 90, 5},
		{"Ohio's table, 90 bu", "ohio-974/nitrogen", given{"yieldGoal": 90}, 110, 5},
		{"Ohio's table, 100 bu", "ohio-974/nitrogen", given{"yieldGoal": 100}, 120, 5},
		// Washington worksheet: 180 − (7 + 87 + 62 − 35).
		{"Washington, hard red winter, 60 bu", "washington-eb1987/nitrogen", given{"yieldGoal": 60, "ammonium": 7, "nitrate": 87, "organicMatter": 3.1, "previousCrop": "winter wheat"}, 59, 0.5},
		// Texas: the last strip that gained had 80, the field got 40.
		{"Texas ramp", "strip-ramp/nitrogen", given{"lastRate": 80, "applied": 40}, 40, 0.5},
		// Kansas, 2003 edition (memory): 144 − 20 − 36.
		{"Kansas, 60 bu, 2 %, 5 ppm", "kansas-2003/nitrogen", given{"yieldGoal": 60, "organicMatter": 2, "nitrate": 36, "previousCrop": "wheat", "tillage": "tilled"}, 88, 0.5},
		{"Kansas, the same no-till", "kansas-2003/nitrogen", given{"yieldGoal": 60, "organicMatter": 2, "nitrate": 36, "previousCrop": "wheat", "tillage": "no-till"}, 108, 0.5},
		{"Kansas, fallow not tested: 30 counted, 20 stored", "kansas-2003/nitrogen", given{"yieldGoal": 60, "organicMatter": 2, "previousCrop": "fallow", "tillage": "tilled"}, 74, 0.5},
		// Southern Plains canola.
		{"canola, 2,500 lb, profile 40, 2 %", "canola-plains/nitrogen", given{"yieldGoal": 2500, "nitrate": 40, "organicMatter": 2}, 85, 0.5},
		{"canola, 1,500 lb, profile 80, 2 %", "canola-plains/nitrogen", given{"yieldGoal": 1500, "nitrate": 80, "organicMatter": 2}, 0, 0.5},
		{"canola, 3,000 lb, profile 20, 1 %", "canola-plains/nitrogen", given{"yieldGoal": 3000, "nitrate": 20, "organicMatter": 1}, 145, 0.5},
		{"canola, 2,500 lb, profile 30, 1.5 %", "canola-plains/nitrogen", given{"yieldGoal": 2500, "nitrate": 30, "organicMatter": 1.5}, 102.5, 0.05},
		{"canola, 2,000 lb, profile 30, 2 %: 30 less than Montana", "canola-plains/nitrogen", given{"yieldGoal": 2000, "nitrate": 30, "organicMatter": 2}, 70, 0.5},
		// Canopy method, printed example: 75 kg wanted at 60 % recovery.
		{"oilseed rape, SMN 50, index 1.0", "canola-green-area/nitrogen", given{"nitrate": 50, "freshMass": 1.25}, 125, 0.5},
		// Sensor forms (memory): 0.55 beside 0.72 after 110 days.
		{"in-season 2001", "in-season-2001/nitrogen", given{"reading": 0.55, "response": 0.72 / 0.55, "growingDays": 110}, 59.39, 0.005},
		{"in-season 2005", "in-season-2005/nitrogen", given{"reading": 0.55, "response": 0.72 / 0.55, "growingDays": 110}, 37.10, 0.005},
		// Kansas sufficiency (memory); nothing at the critical levels, which are confirmed.
		{"wheat P, 50 bu, 5 ppm", "kansas-2003/phosphate", given{"yieldGoal": 50, "phosphorus": 5}, 50.25, 0.005},
		{"wheat P, 60 bu, 10 ppm", "kansas-2003/phosphate", given{"yieldGoal": 60, "phosphorus": 10}, 35.6, 0.05},
		{"wheat P, 100 bu, 20 ppm", "kansas-2003/phosphate", given{"yieldGoal": 100, "phosphorus": 20}, 0, 0.005},
		{"wheat P, 20 bu, 20 ppm", "kansas-2003/phosphate", given{"yieldGoal": 20, "phosphorus": 20}, 0, 0.005},
		{"wheat K, 50 bu, 80 ppm", "kansas-2003/potash", given{"yieldGoal": 50, "potassium": 80}, 28.4, 0.05},
		{"wheat K, 150 bu, 130 ppm", "kansas-2003/potash", given{"yieldGoal": 150, "potassium": 130}, 0, 0.05},
		// Build-up: about 18 lb for each ppm.
		{"12 to 20 ppm at 18", "kansas-2003/build-up-phosphate", given{"phosphorus": 12, "wanted": 20}, 144, 0.5},
		// Tri-state 1995, potash quoted: 20 × 1.5 + 17.5 + 20.
		{"tri-state K", "tri-state-1995/potash", given{"potassium": 80, "cec": 10, "yieldGoal": 70, "inGrain": 0.25}, 67.5, 0.05},
		// Removal.
		{"Kansas, 60 bu of wheat at 0.5", "kansas-2003/removal-phosphate", given{"yieldGoal": 60}, 30, 0.5},
		{"Ontario, 40 bu of canola, N at 2.1", "ontario-removal/canola-nitrogen", given{"yieldGoal": 40}, 84, 0.5},
		{"Ontario, P2O5 at 1.22", "ontario-removal/canola-phosphate", given{"yieldGoal": 40}, 48.8, 0.05},
		{"Ontario, K2O at 0.615", "ontario-removal/canola-potash", given{"yieldGoal": 40}, 24.6, 0.05},
		{"Ontario, S at 0.33", "ontario-removal/canola-sulfur", given{"yieldGoal": 40}, 13.2, 0.05},
		{"Ohio, N in 80 bu", "ohio-974/removal-nitrogen", given{"yieldGoal": 80}, 77, 0.5},
		{"Ohio, S in 80 bu", "ohio-974/removal-sulfur", given{"yieldGoal": 80}, 6, 0.5},
		// Lime. North Carolina prints 0.76 for what is 0.75.
		{"North Carolina, pH 5.0 to 6.0, Ac 1.2", "north-carolina-mehlich/lime", given{"ph": 5.0, "targetPH": 6.0, "acidity": 1.2}, 0.75, 0.005},
		{"Ac from buffer 6.3", "north-carolina-mehlich/acidity", given{"bufferPH": 6.3}, 1.2, 0.05},
		{"Kansas, buffer 6.6 to 6.8 (memory)", "kansas-2003/lime", given{"bufferPH": 6.6, "targetPH": 6.8, "limeDepth": 6}, 4055.8, 0.05},
		{"Kansas, buffer 6.6 to 6.0 (memory)", "kansas-2003/lime", given{"bufferPH": 6.6, "targetPH": 6.0, "limeDepth": 6}, 2158.6, 0.05},
		{"Kansas, buffer 6.6 to 5.5 (memory)", "kansas-2003/lime", given{"bufferPH": 6.6, "targetPH": 5.5, "limeDepth": 6}, 1079.3, 0.05},
		{"fineness 0.75 of 92 % (memory)", "lime-effect/kansas", given{"cce": 92, "passing8": 95, "passing60": 55}, 69, 0.5},
		// Sulfur and chloride.
		{"Kansas wheat S, 60 bu, 1.5 %, soil 10", "kansas-2003/sulfur", given{"yieldGoal": 60, "organicMatter": 1.5, "sulfate": 10}, 22.25, 0.005},
		{"South Dakota Cl, 22 lb", "south-dakota-chloride/chloride", given{"chloride": 22}, 38, 0.5},
		{"South Dakota Cl, 70 lb", "south-dakota-chloride/chloride", given{"chloride": 70}, 0, 0.5},
		// Rutgers manganese index.
		{"Mn 10 at pH 6.5", "rutgers-micronutrients/manganese", given{"manganese": 10, "ph": 6.5}, 40.4, 0.05},
		// Forage for 160 head of 635 lb, 120 days, 120 ac.
		{"forage that must grow", "grazing-forage/forage", given{"heads": 160, "liveMass": 635, "grazingDays": 120, "area": 120}, 3585.9, 0.05},
		{"nitrogen for it", "grazing-forage/forage-nitrogen", given{"heads": 160, "liveMass": 635, "grazingDays": 120, "area": 120}, 129.3, 0.05},
	} {
		if got := answer(t, rule(t, c.rule), c.in); math.Abs(got-c.want) > c.half+hair {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}

// The printed numbers on the way of the sensor forms (memory) and of the canopy method.
func TestPublishedSteps(t *testing.T) {
	for _, c := range []struct {
		rule  string
		steps map[string][2]float64 // printed value and half a unit of its last digit
	}{
		{"in-season-2001/nitrogen", map[string][2]float64{"alone": {2.57476, 5e-6}, "fed": {3.37059, 5e-6}, "grainShare": {2.13712, 5e-6}, "grainUptake": {72.034, 5e-4}, "cropHolds": {30.458, 5e-4}}},
		{"in-season-2005/nitrogen", map[string][2]float64{"alone": {1.81769, 5e-6}, "atHarvest": {1.51236, 5e-6}, "fed": {2.74901, 5e-6}}},
		{"canola-green-area/nitrogen", map[string][2]float64{"index": {1.0, 0.05}, "holds": {50, 0.5}, "lacking": {75, 0.5}}},
	} {
		r := rule(t, c.rule)
		for _, e := range r.Examples {
			for _, s := range e.Steps {
				want, listed := c.steps[s.Key]
				if listed && (math.Abs(s.Value.Value-want[0]) > hair || math.Abs(0.5*math.Pow10(-s.Value.Decimals)-want[1]) > hair) {
					t.Errorf("%s, %s: the book prints %v with %d decimals, want %v", c.rule, s.Key, s.Value.Value, s.Value.Decimals, want[0])
				}
				delete(c.steps, s.Key)
			}
		}
		for key := range c.steps {
			t.Errorf("%s: no worked example of the book checks %s", c.rule, key)
		}
	}
}

// TestProductOfKansasLime: 4,056 lb of effective calcium carbonate from a lime of 69 % take 5,878 lb.
func TestProductOfKansasLime(t *testing.T) {
	effective := answer(t, rule(t, "kansas-2003/lime"), given{"bufferPH": 6.6, "targetPH": 6.8})
	share := answer(t, rule(t, "lime-effect/kansas"), given{"cce": 92, "passing8": 95, "passing60": 55})
	if product := effective / share * 100; math.Abs(product-5878) > 0.5 {
		t.Errorf("%v lb of product, want 5,878", product)
	}
}

// TestPublishedConversions: Ohio State ANR-75 prints 1.35 from Bray to Mehlich-3 phosphorus and 1.14 from acetate
// to Mehlich-3 potassium (package soil tests that way); 10 ppm nitrate-N over 24 in is 72 lb/ac at 0.3 million lb to the acre-inch.
func TestPublishedConversions(t *testing.T) {
	for _, c := range []struct {
		name       string
		got, want  float64
		halfADigit float64
	}{
		{"10 ppm over 24 in", float64(unit.Concentration(10).InSoil(24*unit.Inch, 0.3) / unit.PoundPerAcre), 72, 0.5},
	} {
		if math.Abs(c.got-c.want) > c.halfADigit {
			t.Errorf("%s: %v, want %v", c.name, c.got, c.want)
		}
	}
	// The books convert the other way: their factors undo the printed ones, to the digits they carry.
	for _, c := range []struct {
		rule    string
		input   string
		printed float64
	}{
		{"kansas-2003/potash", "potassium", 1.14},
		{"tri-state-1995/potash", "potassium", 1.14},
		{"tri-state-1995/phosphate", "phosphorus", 1.35},
	} {
		for _, in := range rule(t, c.rule).Inputs {
			if string(in.Name) != c.input {
				continue
			}
			if len(in.Soil.Converts) != 1 || math.Abs(in.Soil.Converts[0].Factor*c.printed-1) > 1e-5 {
				t.Errorf("%s: %v does not undo %v", c.rule, in.Soil.Converts, c.printed)
			}
		}
	}
}
