package formula_test

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"culm/agronomy/rulebook/formula"
	"culm/agronomy/rulebook/quantity"
)

func inUnit(text string) formula.Value {
	u, err := quantity.Parse(text)
	if err != nil {
		panic(err)
	}
	return formula.Value{Unit: u}
}

// book is what the expressions of a small invented book may name.
func book() formula.Env {
	words := &formula.Words{}
	legume := map[float64]float64{words.Number("soybean"): 20, words.Number("pea"): 10, words.Number("wheat"): 0}
	word := formula.Value{Kind: formula.Word}
	return formula.Env{
		Words: words,
		Names: map[string]formula.Name{
			"yieldGoal":    {Value: inUnit("bu/ac"), Label: "yield goal", Slot: 0},
			"nitrate":      {Value: inUnit("lb N/ac"), Label: "soil nitrate", Slot: 1},
			"previousCrop": {Value: word, Label: "previous crop", Slot: 2},
			"phosphorus":   {Value: inUnit("ppm P"), Label: "soil test phosphorus", Slot: 3},
			"ph":           {Value: inUnit("pH"), Slot: 4},
			"tillage":      {Value: formula.Value{Kind: formula.Word, Words: []string{"no-till", "tilled"}}, Slot: 5},
			"irrigated":    {Value: formula.Value{Kind: formula.YesNo}, Slot: 6},
			"share":        {Value: inUnit("1"), Slot: 7},
			"sulfate":      {Value: inUnit("lb S/ac"), Slot: 8},
			"perBushel":    {Value: inUnit("lb N/bu"), Label: "nitrogen per bushel", Fixed: true, Is: 2.5},
			"calcareous":   {Value: inUnit("pH"), Fixed: true, Is: 7.4},
			"offset":       {Value: inUnit("1"), Label: "-13", Fixed: true, Is: -13},
			"nothing":      {Value: inUnit("1"), Fixed: true, Is: 0},
		},
		Tables: map[string]*formula.Table{
			"legume": {Value: inUnit("lb N/ac"), Label: "credit", Args: []formula.Value{word}, At: func(a, _, _ float64) (float64, uint8) {
				v, ok := legume[a]
				if !ok {
					return 0, 7
				}
				return v, 0
			}},
			"count": {Value: inUnit("1"), Args: []formula.Value{inUnit("ppm P"), inUnit("1")}, At: func(a, b, _ float64) (float64, uint8) { return a + b, 0 }},
		},
	}
}

// slots gives the values of the book's names in a usual season: 60 bu/ac after soybean on a soil with 40 lb N.
func slots(env formula.Env) []formula.Slot {
	return []formula.Slot{{60, true}, {40, true}, {env.Words.Number("soybean"), true}, {12, true}, {6.1, true}, {env.Words.Number("no-till"), true}, {1, true}, {0.25, false}, {5, true}}
}

func Example() {
	env := book()
	e, err := formula.Parse("max(0, perBushel * yieldGoal - nitrate - legume(previousCrop))")
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(e.Names(), e.Tables())
	f, err := e.Check(env)
	if err != nil {
		fmt.Println(err)
		return
	}
	v, silence := f.Number(slots(env))
	fmt.Println(v, f.Value().Unit, silence.Why == formula.Answered)
	fmt.Println(f.InWords())
	fmt.Println(f.WithNumbers(slots(env)))
	// Output:
	// [perBushel yieldGoal nitrate previousCrop] [legume]
	// 90 lb N/ac true
	// max(0, nitrogen per bushel × yield goal − soil nitrate − credit (previous crop))
	// max(0, 2.5 × 60 − 40 − 20)
}

// Pounds of nitrogen and pounds of sulfur are not added, nor a share of the soil to a rate.
func Example_units() {
	for _, text := range []string{"nitrate + sulfate", "perBushel * yieldGoal - phosphorus", "yieldGoal > 40"} {
		e, _ := formula.Parse(text)
		_, err := e.Check(book())
		fmt.Println(err)
	}
	// Output:
	// column 9: nitrate is in lb N/ac and sulfate in lb S/ac: they cannot be added; the substances differ: a constant of unit lb N/lb S turns lb S/ac into lb N/ac
	// column 23: perBushel * yieldGoal is in lb N/ac and phosphorus in ppm P: they cannot be subtracted; one is a share of the soil and the other a mass on an area, which takes a depth and a mass of soil: a constant of unit lb N/ac/ppm P turns ppm P into lb N/ac
	// column 11: 40 is a plain number and yieldGoal is in bu/ac: they cannot be compared; a number with a unit needs a name, so put 40 under constants with unit: bu/ac
}

func compiled(t testing.TB, text string) *formula.Formula {
	t.Helper()
	e, err := formula.Parse(text)
	if err != nil {
		t.Fatal(err)
	}
	f, err := e.Check(book())
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func TestAnswers(t *testing.T) {
	ph, calcareous := 6.1, 7.4
	tests := []struct {
		text, unit string
		want       float64
	}{
		{"perBushel * yieldGoal", "lb N/ac", 150},
		{"-nitrate", "lb N/ac", -40},
		{"+nitrate", "lb N/ac", 40},
		{"min(nitrate, legume(previousCrop), perBushel * yieldGoal)", "lb N/ac", 20},
		{"abs(ph - calcareous)", "pH", calcareous - ph},
		{"phosphorus ** 2", "ppm2 P", 144},
		{"1 / phosphorus ** 2", "1/ppm2 P", 1. / 144},
		{"phosphorus ** -1", "1/ppm P", 1. / 12},
		{"sqrt(phosphorus * phosphorus)", "ppm P", 12},
		{"-share ** 2", "1", -0.0625}, // the power binds before the sign
		{"2 ** 3 ** 2", "1", 512},     // and from the right
		{"7 / 2", "1", 3.5},           // no division of whole numbers
		{"exp(ln(share))", "1", 0.25},
		{`tillage == "no-till" ? nitrate : 0`, "lb N/ac", 40},
		{`tillage != "no-till" ? nitrate : 0`, "lb N/ac", 0},
		{"given(share) ? share : 1", "1", 1},
		{"irrigated and 6 < 7 and not (ph > calcareous) ? 1 : 2", "1", 1},
		{"irrigated && !given(share) || 1 > 2 ? 1 : 2", "1", 1}, // the other spelling
		{"1 < 2 < 3 ? 1 : 2", "1", 1},
		{"irrigated == true ? 1 : 2", "1", 1},
		{"count(phosphorus, 3)", "1", 15},
		{"legume(\"pea\")", "lb N/ac", 10},
		{"max(0, 0)", "1", 0},
		{"ph > calcareous ? nitrate / nothing : nitrate", "lb N/ac", 40}, // the branch that fails is not taken
	}
	for _, tt := range tests {
		t.Run(tt.text, func(t *testing.T) {
			env := book()
			e, err := formula.Parse(tt.text)
			if err != nil {
				t.Fatal(err)
			}
			f, err := e.Check(env)
			if err != nil {
				t.Fatal(err)
			}
			if got, s := f.Number(slots(env)); got != tt.want || s.Why != formula.Answered {
				t.Errorf("got %v %v, want %v", got, s, tt.want)
			}
			if got := f.Value().Unit.String(); got != tt.unit {
				t.Errorf("in %s, want %s", got, tt.unit)
			}
		})
	}
}

func TestSilence(t *testing.T) {
	tests := []struct {
		name, text string
		why        formula.Why
		column     int
	}{
		{"a word the table does not have", `nitrate - legume("oats")`, formula.TableSilent, 11},
		{"division by a constant of zero", "share / nothing", formula.DividedByZero, 7},
		{"division by what comes to zero", "share / (yieldGoal - yieldGoal)", formula.DividedByZero, 7},
		{"the root of less than nothing", "sqrt(-share)", formula.NoValue, 1},
		{"the logarithm of nothing", "ln(nothing)", formula.NoValue, 1},
		{"the logarithm of less than nothing", "ln(-share)", formula.NoValue, 1},
		{"a broken power of less than nothing", "(-share) ** share", formula.NoValue, 10},
		{"a power without bounds, hidden by a division", "1 / exp(1000 + share)", formula.TooLarge, 5},
		{"hidden by a comparison", "exp(1000) > share ? 1 : 2", formula.TooLarge, 1},
		{"hidden by a maximum", "max(0, sqrt(-share))", formula.NoValue, 8},
		{"a product without bounds", "1e300 * 1e300 * share", formula.TooLarge, 7},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			env := book()
			f := compiled(t, tt.text)
			v, s := f.Number(slots(env))
			if v != 0 || s.Why != tt.why || s.Column != tt.column {
				t.Errorf("got %v, silent for %d at column %d; want %d at %d", v, s.Why, s.Column, tt.why, tt.column)
			}
			if tt.why == formula.TableSilent && (s.Code != 7 || s.Table == nil || s.Table.Label != "credit") {
				t.Errorf("code %d of table %v, want 7 of the credit", s.Code, s.Table)
			}
			if s.String() == "" {
				t.Error("no words for it")
			}
		})
	}
}

func TestWhatIsRefusedWhenRead(t *testing.T) {
	tests := []struct {
		name, text string
		column     int
		says       string
	}{
		{"nothing", "  ", 1, "found nothing"},
		{"an end too early", "2 *", 4, "ends where something is still expected"},
		{"a bracket left open", "(2 + 3", 7, "ends where"},
		{"two numbers side by side", "2 3", 3, "found 3 where it has no meaning"},
		{"a unit behind a number", "6.6pH - 2", 4, "found p"},
		{"a foreign sign", "2 × 3", 3, "found ×"},
		{"an open quote", `legume("soy`, 12, "a quote is opened"},
		{"a list", "[1, 2]", 1, "lists are not known"},
		{"membership", `tillage in ["no-till"]`, 9, `a == "x" or a == "y"`},
		{"a remainder", "yieldGoal % 2", 11, "a percentage is a constant"},
		{"a hat", "share ^ 2", 7, "write ** for a power"},
		{"a field", "book.rate", 6, "a name has no dots"},
		{"a table with square brackets", "legume[previousCrop]", 7, "round ones"},
		{"a pipe", "share | exp()", 7, "| is not known"},
		{"a comment", "1 // one", 3, "a comment stands"},
		{"two statements", "1; 2", 1, "one formula"},
		{"a variable", "let x = 1; x", 5, "one formula"},
		{"nil", "nil", 1, "nil is not known"},
		{"a closure", "map(share, # + 1)", 12, "found #"},
		{"a pattern", `tillage matches "no"`, 9, "matches is not known"},
		{"a map", "{a: 1}", 1, "not known in formulas"},
		{"coalescing", "share ?? 1", 7, "?? is not known"},
		{"a range", "1..3", 2, ".. is not known"},
		{"a method", "book.rate(1)", 6, "by its name"},
		{"too few arguments", "min(share)", 1, "min takes at least 2 arguments, found 1"},
		{"too many", "exp(share, 1)", 1, "exp takes 1 argument, found 2"},
		{"given of a number", "given(1)", 1, "takes the name of an input"},
		{"a number too large", "1e999", 6, ""},
		{"a whole number too large", "99999999999999999999", 21, ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := formula.Parse(tt.text)
			var p formula.Problems
			if !errors.As(err, &p) {
				t.Fatalf("got %v, want problems", err)
			}
			if !strings.Contains(p[0].Text, tt.says) || tt.says != "" && p[0].Column != tt.column {
				t.Errorf("column %d: %s; want column %d and %q", p[0].Column, p[0].Text, tt.column, tt.says)
			}
		})
	}
}

func TestWhatIsRefusedWhenChecked(t *testing.T) {
	tests := []struct {
		name, text string
		column     int
		says       string
	}{
		{"a name nobody knows", "yeildGoal", 1, "is yieldGoal meant?"},
		{"a name far off", "rainfall", 1, "known here are"},
		{"a table nobody knows", "legumes(previousCrop)", 1, "is legume meant?"},
		{"a table without brackets", "legume + 1", 1, "asked with brackets"},
		{"a number where a word goes", "legume(ph)", 8, "takes a word"},
		{"a word where a number goes", `count("pea", 1)`, 7, "takes a number"},
		{"the wrong unit for a table", "count(ph, 1)", 7, "takes ppm P"},
		{"too many for a table", "legume(previousCrop, 1)", 1, "takes 1 argument, found 2"},
		{"a word that is none of those", `tillage == "strip" ? 1 : 2`, 12, "no-till, tilled"},
		{"a word and a number", "tillage == 1 ? 1 : 2", 9, "cannot be compared"},
		{"a word in a sum", "tillage + 1", 9, "+ takes numbers"},
		{"a number as a condition", "1 ? 2 : 3", 1, "stands a condition"},
		{"a number in and", "share and irrigated", 7, "and takes conditions"},
		{"not without brackets", "not ph > calcareous ? 1 : 2", 1, "put the condition in brackets"},
		{"two units in a choice", "irrigated ? nitrate : phosphorus", 1, "cannot both be the answer"},
		{"two kinds in a choice", `irrigated ? nitrate : "wet"`, 1, "cannot both be the answer"},
		{"a power of a unit that is not written out", "phosphorus ** share", 12, "whole number written out"},
		{"a broken power of a unit", "phosphorus ** 0.5", 12, "whole number written out"},
		{"an exponent with a unit", "share ** phosphorus", 7, "an exponent is a plain number"},
		{"a root of a unit", "sqrt(phosphorus)", 1, "has no unit"},
		{"exp of a unit", "exp(phosphorus)", 1, "constant of unit 1/ppm P"},
		{"a plain number in a sum", "nitrate + 10", 9, "put 10 under constants"},
		{"given of a constant", "given(perBushel)", 7, "is a constant"},
		{"given of nobody", "given(rain)", 7, "nothing is called rain"},
		{"powers without end", "phosphorus ** 9 * phosphorus", 17, "powers go from"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			e, err := formula.Parse(tt.text)
			if err != nil {
				t.Fatal(err)
			}
			_, err = e.Check(book())
			var p formula.Problems
			if !errors.As(err, &p) || len(p) != 1 {
				t.Fatalf("got %v, want one problem", err)
			}
			if p[0].Column != tt.column || !strings.Contains(p[0].Text, tt.says) {
				t.Errorf("column %d: %s; want column %d and %q", p[0].Column, p[0].Text, tt.column, tt.says)
			}
		})
	}
}

// Every problem is told at once, each only where it begins.
func TestProblemsTogether(t *testing.T) {
	e, err := formula.Parse("max(nitrate + phosphorus, rain) * exp(ph)")
	if err != nil {
		t.Fatal(err)
	}
	_, err = e.Check(book())
	var p formula.Problems
	if !errors.As(err, &p) || len(p) != 3 {
		t.Fatalf("got %v, want three problems", err)
	}
	if lines := strings.Split(err.Error(), "\n"); len(lines) != 3 || !strings.HasPrefix(lines[1], "column 27: nothing is called rain") {
		t.Errorf("got %q", lines)
	}
}

func TestGives(t *testing.T) {
	tests := []struct {
		text, unit, says string
	}{
		{"perBushel * yieldGoal", "lb N/ac", ""},
		{"0", "lb N/ac", ""},
		{"irrigated ? 0 : nitrate", "lb N/ac", ""},
		{"nitrate", "kg N/ha", "they are not converted in silence"},
		{"perBushel * nitrate", "lb N/ac", "perBushel is in lb N/bu, nitrate is in lb N/ac; a constant of unit bu/lb N"},
		{"1", "lb N/ac", "this is in 1 (a plain number), expected lb N/ac"},
		{"ph > calcareous", "1", "this is a condition, expected a number"},
	}
	for _, tt := range tests {
		err := compiled(t, tt.text).Gives(inUnit(tt.unit))
		if tt.says == "" && err != nil || tt.says != "" && (err == nil || !strings.Contains(err.Error(), tt.says)) {
			t.Errorf("%s in %s: %v, want %q", tt.text, tt.unit, err, tt.says)
		}
	}
}

func TestPrinted(t *testing.T) {
	tests := []struct{ text, words, numbers string }{
		{"perBushel * (yieldGoal - yieldGoal)", "nitrogen per bushel × (yield goal − yield goal)", "2.5 × (60 − 60)"},
		{"nitrate - (nitrate - nitrate)", "soil nitrate − (soil nitrate − soil nitrate)", "40 − (40 − 40)"},
		{"nitrate + -nitrate", "soil nitrate − soil nitrate", "40 − 40"},
		{"share + -share * 2", "share − share × 2", "0.25 − 0.25 × 2"},
		{"share + offset", "share − 13", "0.25 − 13"},
		{"share - offset", "share − (−13)", "0.25 − (−13)"},
		{"nitrate - nitrate - nitrate", "soil nitrate − soil nitrate − soil nitrate", "40 − 40 − 40"},
		{"nitrate / (share * 3)", "soil nitrate / (share × 3)", "40 / (0.25 × 3)"},
		{"-(nitrate + nitrate) * 2", "−(soil nitrate + soil nitrate) × 2", "−(40 + 40) × 2"},
		{"nitrate * -share", "soil nitrate × (−share)", "40 × (−0.25)"},
		{"(ph - calcareous) ** 2", "(ph − calcareous)²", "(6.1 − 7.4)²"},
		{"share ** 0.5", "share^0.5", "0.25^0.5"},
		{"irrigated ? nitrate : legume(previousCrop)", "soil nitrate if irrigated, otherwise credit (previous crop)", "40"},
		{`tillage == "no-till" or ph >= calcareous`, `tillage is "no-till" or ph ≥ calcareous`, `no-till is "no-till" or 6.1 ≥ 7.4`},
		{"not (irrigated and given(share))", "not (irrigated and share is given)", "not (yes and not given)"},
		{"count(phosphorus, 1)", "count(soil test phosphorus, 1)", "13"},
		{"phosphorus / 7", "soil test phosphorus / 7", "12 / 7"},
		{`legume("oats") - nitrate`, `credit ("oats") − soil nitrate`, "? − 40"},
		{"-1 * share", "−1 × share", "−1 × 0.25"},
		{"max(0, -nitrate)", "max(0, −soil nitrate)", "max(0, −40)"},
	}
	for _, tt := range tests {
		env := book()
		e, err := formula.Parse(tt.text)
		if err != nil {
			t.Fatal(err)
		}
		f, err := e.Check(env)
		if err != nil {
			t.Fatalf("%s: %v", tt.text, err)
		}
		if got := f.InWords(); got != tt.words {
			t.Errorf("%s in words: %s, want %s", tt.text, got, tt.words)
		}
		if got := f.WithNumbers(slots(env)); got != tt.numbers {
			t.Errorf("%s with numbers: %s, want %s", tt.text, got, tt.numbers)
		}
	}
}

func TestReservedWords(t *testing.T) {
	for _, name := range []string{"min", "given", "and", "true", "in", "nil"} {
		if !formula.Reserved(name) {
			t.Errorf("%s can be a name, but formulas know it already", name)
		}
	}
	for _, name := range []string{"nitrate", "count", "sum", "if", "filter"} {
		if formula.Reserved(name) {
			t.Errorf("%s cannot be a name", name)
		}
		if e, err := formula.Parse(name + "(1) + " + name); err != nil || len(e.Tables()) != 1 || len(e.Names()) != 1 {
			t.Errorf("%s is not a table and a name: %v", name, err)
		}
	}
}

// Nothing that can be written makes the parser dig deep or walk long.
func TestHostileExpressions(t *testing.T) {
	tests := map[string]string{
		"brackets in brackets":          strings.Repeat("(", 900) + "1" + strings.Repeat(")", 900),
		"lists in lists":                strings.Repeat("[", 1900),
		"brackets behind a false quote": `"\"` + strings.Repeat("(", 1900),
		"signs before signs":            strings.Repeat("-", 1999) + "1",
		"powers of powers":              strings.Repeat("1**", 600) + "1",
		"choices in choices":            strings.Repeat("a?b:", 490) + "1",
		"choices in the middle":         strings.Repeat("a?", 490) + "1" + strings.Repeat(":1", 490),
		"not not not":                   strings.Repeat("not ", 490) + "a",
		"a long sum":                    strings.Repeat("1+", 900) + "1",
		"an endless text":               strings.Repeat("1+", 1<<20) + "1",
		"calls in calls":                strings.Repeat("f(", 31) + strings.Repeat("-", 40) + "1" + strings.Repeat(")", 31),
		"fields of fields":              "a" + strings.Repeat(".a", 900),
		"pipes":                         "a" + strings.Repeat("|f()", 450),
		// the library hangs the middle of a comparison into its tree twice; within each other that is 2 to the 30
		"comparisons in comparisons": strings.Repeat("1<(", 30) + "1" + strings.Repeat(")<1", 30),
		"elvis in elvis":             strings.Repeat("(", 30) + "a" + strings.Repeat("?:1)", 30),
	}
	for name, text := range tests {
		t.Run(name, func(t *testing.T) {
			if e, err := formula.Parse(text); err == nil {
				t.Errorf("was read, with names %v", e.Names())
			}
		})
	}
	if _, err := formula.Parse(strings.Repeat("(", 31) + "1" + strings.Repeat(")", 31)); err != nil {
		t.Errorf("31 brackets are refused: %v", err)
	}
}

func FuzzParse(f *testing.F) {
	for _, seed := range []string{
		"max(0, perBushel * yieldGoal - nitrate - legume(previousCrop))", `tillage == "no-till" ? 1 : 2`, "1 < 2 < 3", "a?.b", "not in", "2 ** -1",
		"((((1))))", "if", "let x = 1; x", "map(1, # > 1)", `"\u{1F600}"`, "0x1p4", "1_000", "b'x'", "// nothing", "/* */ 1", "::min(1,2)", "share ?: 1", "1 ??", "é",
	} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		e, err := formula.Parse(text)
		if err != nil {
			var p formula.Problems
			if !errors.As(err, &p) || len(p) == 0 || p[0].Column < 1 || p[0].Text == "" {
				t.Fatalf("%q: a problem without place or words: %v", text, err)
			}
			return
		}
		e.Names()
		e.Tables()
		env := book()
		formulaOf, err := e.Check(env)
		if err != nil {
			return
		}
		v, s := formulaOf.Number(slots(env))
		if math.IsNaN(v) || math.IsInf(v, 0) || s.Why != formula.Answered && v != 0 {
			t.Fatalf("%q is %v", text, v)
		}
		formulaOf.InWords()
		formulaOf.WithNumbers(slots(env))
	})
}
