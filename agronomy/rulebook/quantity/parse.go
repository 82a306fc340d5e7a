package quantity

import (
	"fmt"
	"strconv"
	"strings"
)

// Bounds on a unit, wide of any that a book needs.
const (
	maxText    = 80 // bytes
	maxFactors = 8
	maxPower   = 9
)

// Parse reads a unit. The error names the symbol that is not known and what was probably meant.
func Parse(text string) (Unit, error) {
	if len(text) > maxText {
		return Unit{}, fmt.Errorf("a unit has at most %d letters and signs, found %d", maxText, len(text))
	}
	if strings.TrimSpace(text) == "" {
		return Unit{}, fmt.Errorf("expected a unit such as lb N/ac, or 1 for a plain number, found nothing")
	}
	parts := strings.Split(text, "/")
	factors, err := product(parts[0], 1)
	if err != nil {
		return Unit{}, fmt.Errorf("unit %q: %w", text, err)
	}
	for _, part := range parts[1:] {
		divisor, err := product(part, -1)
		if err == nil && len(divisor) != 1 {
			err = fmt.Errorf("found %q behind a slash, expected one symbol: each divisor has its own slash, as in lb/ac/in", strings.TrimSpace(part))
		}
		if err != nil {
			return Unit{}, fmt.Errorf("unit %q: %w", text, err)
		}
		factors = append(factors, divisor...)
	}
	u, err := of(factors)
	if err != nil {
		return Unit{}, fmt.Errorf("unit %q: %w", text, err)
	}
	return u, nil
}

func bounded(factors []factor) error {
	if len(factors) > maxFactors {
		return fmt.Errorf("more than %d different symbols in one unit", maxFactors)
	}
	for _, f := range factors {
		if f.power > maxPower || f.power < -maxPower {
			return fmt.Errorf("%s to the power %d; powers go from -%d to %d", f.name(), f.power, maxPower, maxPower)
		}
	}
	return nil
}

// product reads symbols side by side. A lone 1 is no factor: 1/day.
func product(text string, sign int) ([]factor, error) {
	words := strings.Fields(text)
	if len(words) == 1 && words[0] == "1" && sign > 0 {
		return nil, nil
	}
	var factors []factor
	for len(words) > 0 {
		f, n, err := first(words)
		if err != nil {
			return nil, err
		}
		f.power *= sign
		factors, words = append(factors, f), words[n:]
	}
	if len(factors) == 0 {
		return nil, fmt.Errorf("a symbol is missing beside the slash")
	}
	return factors, nil
}

// first reads the symbol at the head of words with the substance behind it, and says how many words that took.
func first(words []string) (factor, int, error) {
	if len(words) > 1 {
		if _, ok := symbolOf(words[0] + " " + words[1]); ok {
			return factor{symbol: words[0] + " " + words[1], power: 1}, 2, nil
		}
	}
	f, err := powered(words[0])
	if err != nil {
		return factor{}, 0, err
	}
	s, _ := symbolOf(f.symbol)
	if len(words) > 1 && substanceIndex(words[1]) >= 0 {
		if !s.substance {
			return factor{}, 0, fmt.Errorf("%s stands behind %s; a substance stands behind a mass, ppm or %%, as in lb %s/ac",
				words[1], f.symbol, words[1])
		}
		f.substance = words[1]
		return f, 2, nil
	}
	return f, 1, nil
}

// powered reads a symbol with its power: ppm2.
func powered(word string) (factor, error) {
	if _, ok := symbolOf(word); ok {
		return factor{symbol: word, power: 1}, nil
	}
	name := strings.TrimRight(word, "0123456789")
	if _, ok := symbolOf(name); ok {
		power, err := strconv.Atoi(word[len(name):])
		if err != nil || power < 1 || power > maxPower {
			return factor{}, fmt.Errorf("found %q, expected a power from 1 to %d behind %s", word, maxPower, name)
		}
		return factor{symbol: name, power: power}, nil
	}
	return factor{}, unknown(word)
}

func unknown(word string) error {
	switch {
	case substanceIndex(word) >= 0:
		return fmt.Errorf("%s is a substance and stands behind a mass, ppm or %%, as in lb %s/ac", word, word)
	case strings.ContainsAny(word, "^*"):
		return fmt.Errorf("found %q; a power is written behind the symbol without a sign, as in ppm2, and a product with a space", word)
	case strings.ContainsAny(word, "-−"):
		return fmt.Errorf("found %q; a divisor is written behind a slash, as in kg/ha", word)
	case strings.ContainsAny(word, "·."):
		return fmt.Errorf("found %q; a product is written with a space, as in C day", word)
	}
	if guess := meant(word); guess != "" {
		return fmt.Errorf("%q is not a unit known here; is %s meant?", word, guess)
	}
	return fmt.Errorf("%q is not a unit known here; those are $, lb, kg, g, mg, t, ton, cwt, bu, meq, cmol, head, plant, ac, ha, in, ft, "+
		"mm, cm, m, gal, L, C, F, day, year, ppm, %%, pH and 1", word)
}

// factors takes a unit apart again.
func (u Unit) factors() []factor {
	if u.IsPlain() {
		return nil
	}
	parts := strings.Split(u.text, "/")
	all, _ := product(parts[0], 1) // canonical text cannot fail
	for _, part := range parts[1:] {
		divisor, _ := product(part, -1)
		all = append(all, divisor...)
	}
	return all
}
