package response

// Form is the shape of a response curve. Each has three parameters, named as its source names them.
type Form string

// The forms. N is the rate, kg/ha; yields are in kg/ha.
const (
	// Quadratic is b0 + b1 N + b2 N².
	Quadratic Form = "quadratic"
	// QuadraticPlateau is Ymax − k/2 (M − N)² up to the join M, and Ymax from there on.
	QuadraticPlateau Form = "quadratic-plateau"
	// LinearPlateau is a + b N up to the join J, and a + b J from there on.
	LinearPlateau Form = "linear-plateau"
	// Mitscherlich is A − (A − y0) exp(−c N): it nears A and never reaches it.
	Mitscherlich Form = "mitscherlich"
	// SquareRoot is a + b N + c √N. With c above 0 it is infinitely steep at N = 0, so on a trial without
	// response it answers with a small rate where the other forms answer 0.
	SquareRoot Form = "square-root"
)

// Forms lists the forms in the order in which they always stand.
func Forms() [5]Form {
	return [5]Form{LinearPlateau, QuadraticPlateau, Quadratic, Mitscherlich, SquareRoot}
}

// Name is the form in words.
func (f Form) Name() string {
	switch f {
	case Mitscherlich:
		return "Mitscherlich"
	case SquareRoot:
		return "square root"
	default:
		return string(f)
	}
}

// Expression is the curve as a formula.
func (f Form) Expression() string {
	switch f {
	case Quadratic:
		return "b0 + b1 N + b2 N²"
	case QuadraticPlateau:
		return "Ymax − k/2 (M − N)² up to M, then Ymax"
	case LinearPlateau:
		return "a + b N up to J, then a + b J"
	case Mitscherlich:
		return "A − (A − y0) exp(−c N)"
	case SquareRoot:
		return "a + b N + c √N"
	default:
		return ""
	}
}

// OptimumExpression is the economic optimum as a formula, with r the price of nitrogen over the price of
// the crop.
func (f Form) OptimumExpression() string {
	switch f {
	case Quadratic:
		return "(r − b1) / (2 b2)"
	case QuadraticPlateau:
		return "M − r/k"
	case LinearPlateau:
		return "J if b > r, else 0"
	case Mitscherlich:
		return "ln((A − y0) c / r) / c"
	case SquareRoot:
		return "(c / (2 (r − b)))²"
	default:
		return ""
	}
}

func (f Form) parameterNames() [3]string {
	switch f {
	case Quadratic:
		return [3]string{"b0", "b1", "b2"}
	case QuadraticPlateau:
		return [3]string{"Ymax", "k", "M"}
	case LinearPlateau:
		return [3]string{"a", "b", "J"}
	case Mitscherlich:
		return [3]string{"A", "y0", "c"}
	default:
		return [3]string{"a", "b", "c"}
	}
}

func (f Form) isKnown() bool { return f.Expression() != "" }

// parameters counts the parameters of every form; a curve leaves that many fewer degrees of freedom than
// there are plots.
const parameters = 3
