package ammonia

// Coefficients lets tests outside of the package reckon with others than the fitted ones.
type Coefficients struct{ Volatile, Holding, Guarded, Gentle float64 }

// Fitted are the coefficients in use.
func Fitted() Coefficients {
	k := fitted()
	return Coefficients{k.volatile, k.holding, k.guarded, k.gentle}
}

// ExpectWith is Expect with other coefficients.
func ExpectWith(k Coefficients, s Spreading) Result {
	return s.expect(coefficients{k.Volatile, k.Holding, k.Guarded, k.Gentle})
}

// VolatileSpread is the scatter in use.
const VolatileSpread = volatileSpread
