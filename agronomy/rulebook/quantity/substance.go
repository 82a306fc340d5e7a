package quantity

// Atomic masses, those that Culm's catalogue of conversions is reckoned with (NO3/NO3-N 4.4268, P2O5/P 2.2914,
// K2O/K 1.2046). The masses abridged since 2013 (N 14.007, O 15.999) give 4.4266 for nitrate.
const (
	nitrogenMass   = 14.0067
	oxygenMass     = 15.9994
	phosphorusMass = 30.9738
	potassiumMass  = 39.0983
	sulfurMass     = 32.065
	calciumMass    = 40.078
	carbonMass     = 12.0107
)

// between is the mass of one substance that holds the same atoms as a unit mass of another.
func between(from, to string) (float64, bool) {
	if from == to {
		return 1, true
	}
	if ratio, ok := compound(from, to); ok {
		return ratio, true
	}
	if ratio, ok := compound(to, from); ok {
		return 1 / ratio, true
	}
	return 0, false
}

// compound is the mass of a compound per mass of the element it is counted by.
func compound(element, compound string) (float64, bool) {
	switch element + " in " + compound {
	case "N in NO3":
		return (nitrogenMass + 3*oxygenMass) / nitrogenMass, true
	case "P in P2O5":
		return (2*phosphorusMass + 5*oxygenMass) / (2 * phosphorusMass), true
	case "K in K2O":
		return (2*potassiumMass + oxygenMass) / (2 * potassiumMass), true
	case "S in SO4":
		return (sulfurMass + 4*oxygenMass) / sulfurMass, true
	case "Ca in CaCO3":
		return (calciumMass + carbonMass + 3*oxygenMass) / calciumMass, true
	}
	return 0, false
}
