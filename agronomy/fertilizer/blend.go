package fertilizer

import (
	"errors"
	"fmt"
	"strings"

	"culm/agronomy/cite"
	"culm/agronomy/unit"
)

// Part is a product in a blend, by its share of the blend's mass.
type Part struct {
	Product Product
	Share   unit.Fraction
}

// Mix puts products together: two liquids in a tank, or two dry products in a spreader. What the blend holds follows
// from the balance of mass. Its density takes the volumes of liquids to add up, which solutions come near but do not
// keep. At what temperature it salts out is not known from its parts and stays unknown: see SaltOutHint. It fails for
// shares that do not make up one, and for a dry product with a liquid.
func Mix(parts ...Part) (Product, error) {
	if err := checkParts(parts); err != nil {
		return Product{}, err
	}
	if len(parts) == 1 {
		return parts[0].Product, nil
	}
	b := Product{Key: blendKey(parts), Name: blendName(parts), Form: parts[0].Product.Form}
	const balance = "from the balance of mass of its parts"
	derived := func(v unit.Fraction) Published[unit.Fraction] {
		return Published[unit.Fraction]{Value: v, Source: cite.MaterialsSheet, Status: cite.Derived, Note: balance}
	}
	var nitrogen, sulfur, urea, ammonium, nitrate unit.Fraction
	var volume float64 // L in a kg of blend
	for _, p := range parts {
		n := p.Share * p.Product.Nitrogen.Value
		nitrogen += n
		sulfur += p.Share * p.Product.Sulfur.Value
		urea += n * p.Product.Urea.Value
		ammonium += n * p.Product.Ammonium.Value
		nitrate += n * p.Product.Nitrate.Value
		volume += float64(p.Share) / float64(p.Product.Density.Value)
		b.Inhibited = b.Inhibited || p.Product.Inhibited
		b.Cautions = addCautions(b.Cautions, p.Product.Cautions)
	}
	b.Nitrogen, b.Sulfur = derived(nitrogen), derived(sulfur)
	b.Urea, b.Ammonium, b.Nitrate = derived(urea/nitrogen), derived(ammonium/nitrogen), derived(nitrate/nitrogen)
	b.Density = Published[unit.Density]{
		Value: unit.Density(1 / volume), Source: cite.MaterialsSheet, Status: cite.Derived,
		Note: "taking volumes to add up; weigh a gallon of the blend before calibrating with it",
	}
	if b.Form == Liquid {
		b.Cautions = append(b.Cautions, Caution{"blend-salt-out", SaltOutHint(parts), cite.MaterialsSheet, cite.Derived},
			Caution{"jar-test", "Shake the parts together in a jar, in the proportion and the water of the field, before filling a tank.", cite.Practice, cite.CommonPractice})
	}
	return b, nil
}

// shareSlack is how far shares may add up off one.
const shareSlack = 1e-9

func checkParts(parts []Part) error {
	if len(parts) == 0 {
		return errors.New("a blend of nothing; expected a product or more")
	}
	sum := unit.Fraction(0)
	for _, p := range parts {
		if !(p.Share >= 0 && p.Share <= 1) {
			return fmt.Errorf("%s makes up %.4g %% of the blend; expected 0 to 100", p.Product.Name, 100*float64(p.Share))
		}
		if p.Product.Form != parts[0].Product.Form {
			return fmt.Errorf("%s is %s and %s is %s; expected parts that one tank or one hopper carries", parts[0].Product.Name, parts[0].Product.Form, p.Product.Name, p.Product.Form)
		}
		if !p.Product.Nitrogen.Known() || !p.Product.Density.Known() {
			return fmt.Errorf("the analysis or the density of %s is not known", p.Product.Name)
		}
		sum += p.Share
	}
	if sum < 1-shareSlack || sum > 1+shareSlack {
		return fmt.Errorf("the parts make up %.4g %% of the blend; expected 100", 100*float64(sum))
	}
	return nil
}

func blendKey(parts []Part) Key {
	keys := make([]string, len(parts))
	for i, p := range parts {
		keys[i] = p.Product.Key
	}
	return strings.Join(keys, "+")
}

func blendName(parts []Part) string {
	names := make([]string, len(parts))
	for i, p := range parts {
		names[i] = fmt.Sprintf("%.0f %% %s", 100*float64(p.Share), p.Product.Name)
	}
	return strings.Join(names, " with ")
}

// addCautions adds those that are not there yet.
func addCautions(all, more []Caution) []Caution {
	for _, c := range more {
		known := false
		for _, a := range all {
			known = known || a == c
		}
		if !known {
			all = append(all, c)
		}
	}
	return all
}

// SaltOutHint says what is known of the cold that a blend stands: nothing printed for the blend itself, and what its
// parts stand alone.
func SaltOutHint(parts []Part) string {
	text := "At what temperature this blend salts out was not found"
	warmest, name := unit.Temperature(0), ""
	for _, p := range parts {
		if s := p.Product.SaltOut; s.Known() && (name == "" || s.Value > warmest) {
			warmest, name = s.Value, p.Product.Name
		}
	}
	if name != "" {
		text += fmt.Sprintf("; of its parts alone %s does first, at %.0f °F (%.0f °C)", name, warmest.Fahrenheit(), float64(warmest))
	}
	return text + ". Do not leave it in tank or boom over a cold night."
}

// ForSulfur puts a product that carries sulfur into another so that the blend holds so many parts of N to one of S by
// mass: UAN with thiosulfate to 8 : 1. With x the share of the base, N of the blend is r times its S:
//
//	x = (r Sc − Nc) ÷ (Nb − Nc + r (Sc − Sb))
//
// It fails where no blend of the two has that ratio, and says between which two ratios they do.
func ForSulfur(base, carrier Product, nToS unit.Ratio) (Product, []Part, error) {
	nb, sb := float64(base.Nitrogen.Value), float64(base.Sulfur.Value)
	nc, sc := float64(carrier.Nitrogen.Value), float64(carrier.Sulfur.Value)
	r := float64(nToS)
	if sc == 0 {
		return Product{}, nil, fmt.Errorf("%s carries no sulfur", carrier.Name)
	}
	x := (r*sc - nc) / (nb - nc + r*(sc-sb))
	if !(r > 0) || !(x >= 0 && x <= 1) {
		widest := "any wider"
		if sb > 0 {
			widest = fmt.Sprintf("%.3g : 1 of %s alone", nb/sb, base.Name)
		}
		return Product{}, nil, fmt.Errorf("no blend of %s and %s has N : S of %.4g : 1; expected from %.3g : 1, %s alone, to %s", base.Name, carrier.Name, r, nc/sc, carrier.Name, widest)
	}
	parts := []Part{{base, unit.Fraction(x)}, {carrier, unit.Fraction(1 - x)}}
	blend, err := Mix(parts...)
	return blend, parts, err
}

// VolumeShare is the share of each part in the volume of a liquid blend: what the meters at the tank are set to.
func VolumeShare(parts []Part) []unit.Fraction {
	shares := make([]unit.Fraction, len(parts))
	total := 0.0
	for i, p := range parts {
		v := float64(p.Share) / float64(p.Product.Density.Value)
		shares[i] = unit.Fraction(v)
		total += v
	}
	for i := range shares {
		shares[i] /= unit.Fraction(total)
	}
	return shares
}
