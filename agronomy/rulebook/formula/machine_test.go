package formula_test

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"culm/agronomy/rulebook/formula"

	"github.com/expr-lang/expr"
	"pgregory.net/rapid"
)

// numbersOnly is a book of plain numbers and two tables, so that any expression of them is in order.
func numbersOnly() formula.Env {
	plain := formula.Value{}
	return formula.Env{
		Names: map[string]formula.Name{
			"a": {Slot: 0}, "b": {Slot: 1}, "c": {Slot: 2}, "two": {Fixed: true, Is: 2}, "yes": {Value: formula.Value{Kind: formula.YesNo}, Slot: 3},
			"crop": {Value: formula.Value{Kind: formula.Word}, Slot: 4},
		},
		Tables: map[string]*formula.Table{
			"twice": {Args: []formula.Value{plain}, At: func(x, _, _ float64) (float64, uint8) { return 2 * x, 0 }},
			"mix":   {Args: []formula.Value{plain, plain, plain}, At: func(x, y, z float64) (float64, uint8) { return x + 2*y + 3*z, 0 }},
		},
		Words: &formula.Words{},
	}
}

// number draws the text of an expression that gives a number. Whole numbers are small and written with a
// point, as the library's machine reckons those without one in whole numbers.
func number(t *rapid.T, depth int) string {
	deeper := func() string { return number(t, depth-1) }
	if depth == 0 {
		if rapid.Bool().Draw(t, "named") {
			return rapid.SampledFrom([]string{"a", "b", "c", "two"}).Draw(t, "name")
		}
		text := strconv.FormatFloat(rapid.Float64Range(0, 20).Draw(t, "number"), 'f', 3, 64)
		return text
	}
	switch rapid.IntRange(0, 9).Draw(t, "part") {
	case 0:
		return "-" + deeper()
	case 1, 2, 3:
		return deeper() + " " + rapid.SampledFrom([]string{"+", "-", "*", "/"}).Draw(t, "sign") + " " + deeper()
	case 4:
		return "(" + deeper() + ")"
	case 5:
		return "(" + deeper() + ") ** " + rapid.SampledFrom([]string{"2", "3", "0.5", "-1", "two"}).Draw(t, "power")
	case 6:
		return rapid.SampledFrom([]string{"abs", "sqrt", "ln", "exp", "twice"}).Draw(t, "function") + "(" + deeper() + ")"
	case 7:
		return rapid.SampledFrom([]string{"min", "max", "mix"}).Draw(t, "function") + "(" + deeper() + ", " + deeper() + ", " + deeper() + ")"
	default:
		return "(" + condition(t, depth-1) + " ? " + deeper() + " : " + deeper() + ")"
	}
}

func condition(t *rapid.T, depth int) string {
	if depth == 0 {
		return rapid.SampledFrom([]string{"yes", "true", `crop == "pea"`, `crop != "oats"`, "a < b", "a <= b < c"}).Draw(t, "condition")
	}
	switch rapid.IntRange(0, 3).Draw(t, "condition of") {
	case 0:
		return "not (" + condition(t, depth-1) + ")"
	case 1:
		return "(" + condition(t, depth-1) + rapid.SampledFrom([]string{" and ", " or "}).Draw(t, "joined") + condition(t, depth-1) + ")"
	default:
		return number(t, depth-1) + rapid.SampledFrom([]string{" < ", " <= ", " > ", " >= "}).Draw(t, "compared") + number(t, depth-1)
	}
}

// onTheLibrarysMachine works a text out with the library itself.
func onTheLibrarysMachine(text string, env map[string]any) (float64, error) {
	one := func(f func(float64) float64) func(...any) (any, error) {
		return func(args ...any) (any, error) { return f(args[0].(float64)), nil }
	}
	float := new(func(float64) float64)
	program, err := expr.Compile(text, expr.Env(env), expr.AsFloat64(),
		expr.Function("sqrt", one(math.Sqrt), float), expr.Function("ln", one(math.Log), float), expr.Function("exp", one(math.Exp), float),
		expr.Function("twice", one(func(x float64) float64 { return 2 * x }), float),
		expr.Function("mix", func(args ...any) (any, error) {
			return args[0].(float64) + 2*args[1].(float64) + 3*args[2].(float64), nil
		}, new(func(_, _, _ float64) float64)))
	if err != nil {
		return 0, err
	}
	v, err := expr.Run(program, env)
	if err != nil {
		return 0, err
	}
	return v.(float64), nil
}

// TestAgainstTheLibrarysMachine: where a formula answers, the machine of the library whose parser is used
// gives the same number to the last digit. Where the formula is silent there is nothing to compare: the machine
// goes on with infinities.
func TestAgainstTheLibrarysMachine(t *testing.T) {
	answered, silent := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		text := number(t, rapid.IntRange(0, 4).Draw(t, "depth"))
		ours := numbersOnly()
		e, err := formula.Parse(text)
		if err != nil {
			if strings.Contains(err.Error(), "at most") {
				t.Skip("too long")
			}
			t.Fatalf("%s: %v", text, err)
		}
		f, err := e.Check(ours)
		if err != nil {
			t.Fatalf("%s: %v", text, err)
		}
		values := map[string]any{"two": 2.0, "crop": rapid.SampledFrom([]string{"pea", "oats"}).Draw(t, "crop"), "yes": rapid.Bool().Draw(t, "yes")}
		slots := make([]formula.Slot, 5)
		for i, name := range []string{"a", "b", "c"} {
			v := rapid.Float64Range(-10, 10).Draw(t, name)
			values[name], slots[i].Number = v, v
		}
		if values["yes"].(bool) {
			slots[3].Number = 1
		}
		slots[4].Number = ours.Words.Find(values["crop"].(string))
		got, why := f.Number(slots)
		if why.Why != formula.Answered {
			silent++
			return
		}
		answered++
		if want, err := onTheLibrarysMachine(text, values); err != nil || got != want {
			t.Fatalf("%s with %v is %v, by the library's machine %v (%v)", text, values, got, want, err)
		}
		// Printed for a message and read again, it is the same formula.
		if again := reread(t, f.InKeyboard(), ours); again != nil {
			if v, _ := again.Number(slots); v != got {
				t.Fatalf("%s prints as %s, which is %v and not %v", text, f.InKeyboard(), v, got)
			}
		}
	})
	if answered < silent/4 {
		t.Errorf("only %d of %d expressions answered", answered, answered+silent)
	}
}

func reread(t *rapid.T, text string, env formula.Env) *formula.Formula {
	e, err := formula.Parse(text)
	if err != nil {
		if strings.Contains(err.Error(), "at most") {
			return nil // brackets that the first text did not need
		}
		t.Fatalf("%s: %v", text, err)
	}
	f, err := e.Check(env)
	if err != nil {
		t.Fatalf("%s: %v", text, err)
	}
	return f
}

// Where the two differ: silence against infinity and no number.
func ExampleSilence() {
	for _, text := range []string{"a / 0", "sqrt(a)", "ln(a)"} {
		e, _ := formula.Parse(text)
		f, _ := e.Check(numbersOnly())
		_, why := f.Number([]formula.Slot{{Number: -1}})
		machine, _ := onTheLibrarysMachine(text, map[string]any{"a": -1.0})
		fmt.Printf("%s: %v; the library's machine gives %v\n", text, why, machine)
	}
	// Output:
	// a / 0: something is divided by zero; the library's machine gives -Inf
	// sqrt(a): a logarithm or a root is taken of a number that has none; the library's machine gives NaN
	// ln(a): a logarithm or a root is taken of a number that has none; the library's machine gives NaN
}

func TestWorkingOutAllocatesNothing(t *testing.T) {
	env := book()
	for _, text := range []string{
		"perBushel * yieldGoal", "max(0, perBushel * yieldGoal - nitrate - legume(previousCrop))", "(phosphorus ** 2 + phosphorus ** 2) / phosphorus",
		`tillage == "no-till" and given(nitrate) ? nitrate : 0`, "exp(share) * ln(share) ** 2", "share / nothing",
	} {
		e, err := formula.Parse(text)
		if err != nil {
			t.Fatal(err)
		}
		f, err := e.Check(env)
		if err != nil {
			t.Fatal(err)
		}
		given := slots(env)
		if n := testing.AllocsPerRun(100, func() {
			var frame [9]formula.Slot // stays on the stack
			copy(frame[:], given)
			f.Number(frame[:])
		}); n != 0 {
			t.Errorf("%s allocates %v times", text, n)
		}
	}
}

func BenchmarkNumber(b *testing.B) {
	env := book()
	for _, text := range []string{
		"perBushel * yieldGoal", "-legume(previousCrop)", "max(0, perBushel * yieldGoal - nitrate - legume(previousCrop))",
		`tillage == "no-till" ? nitrate : 0`, "exp(share)",
	} {
		e, err := formula.Parse(text)
		if err != nil {
			b.Fatal(err)
		}
		f, err := e.Check(env)
		if err != nil {
			b.Fatal(err)
		}
		given := slots(env)
		b.Run(text, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				f.Number(given)
			}
		})
	}
}
