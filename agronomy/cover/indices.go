package cover

// Chromatic gives the chromatic coordinates of a colour, each band over the sum of the three. Black has none:
// ok is false.
func Chromatic(r, g, b float64) (cr, cg, cb float64, ok bool) {
	sum := r + g + b
	if sum <= 0 {
		return 0, 0, 0, false
	}
	return r / sum, g / sum, b / sum, true
}

// ExcessGreen is ExG = 2g - r - b in chromatic coordinates, -1 to 2 [cite.Woebbecke1995]. Black is 0.
// On bands that were not divided by their sum the index depends on brightness, and other thresholds hold.
func ExcessGreen(r, g, b float64) float64 {
	sum := r + g + b
	if sum <= 0 {
		return 0
	}
	return (2*g - r - b) / sum
}

// ExcessRed is ExR = 1.4r - g in chromatic coordinates, -1 to 1.4 [cite.MeyerNeto2008]. Black is 0.
func ExcessRed(r, g, b float64) float64 {
	cr, cg, _, _ := Chromatic(r, g, b)
	return 1.4*cr - cg
}

// ExcessGreenMinusRed is ExGR = ExG - ExR; plants lie above 0, straw and soil below [cite.MeyerNeto2008].
// Black is 0, and so no plant.
func ExcessGreenMinusRed(r, g, b float64) float64 {
	return ExcessGreen(r, g, b) - ExcessRed(r, g, b)
}

// Split is a threshold between two classes of levels.
type Split struct {
	// Level is the first level of the upper class.
	Level int
	// Within and Total are the variances within the classes and of all; Between = Total - Within.
	Within, Total float64
	// Lower and Upper are the means of the classes, in levels; UpperShare is the share of counts in the upper.
	Lower, Upper, UpperShare float64
}

// Between is the variance between the classes.
func (s Split) Between() float64 { return s.Total - s.Within }

// Otsu finds the threshold with the least variance within the classes [cite.Otsu1979] of counts by level. It
// finds none, ok false, when all counts are on one level or there are none. Of equal thresholds it takes the
// lowest.
func Otsu(counts []int) (best Split, ok bool) {
	var n, sum, squares float64
	for level, c := range counts {
		x, w := float64(level), float64(c)
		n += w
		sum += w * x
		squares += w * x * x
	}
	var below, sumBelow, most float64
	for level := 0; level+1 < len(counts); level++ {
		below += float64(counts[level])
		sumBelow += float64(level) * float64(counts[level])
		above := n - below
		if below == 0 || above == 0 {
			continue
		}
		lower, upper := sumBelow/below, (sum-sumBelow)/above
		between := below / n * above / n * (upper - lower) * (upper - lower)
		if between > most {
			most, ok = between, true
			best = Split{Level: level + 1, Lower: lower, Upper: upper, UpperShare: above / n}
		}
	}
	if ok {
		best.Total = squares/n - sum/n*sum/n
		best.Within = best.Total - most
	}
	return best, ok
}
