package soil

import (
	"fmt"

	"culm/agronomy/cite"
	"culm/season"
)

// Mean ratios between extractants: Ohio State University, ANR-75, 2019, [cite.OhioANR75], on soils of Ohio
// and Indiana.
const (
	mehlichPerBray    = 1.35
	mehlichPerAcetate = 1.14
)

// calcareousFrom is the pH in water from which a soil is taken to hold free lime (common practice, no source).
const calcareousFrom = 7.3

// Conversion is a result as another method would have found it.
type Conversion struct {
	Result season.Result // by the other method
	From   string        // the method it was measured by
	Factor float64       // Result.Value over what was measured
	Source cite.Key
	Status cite.Status
	// Scope says for which soils the factor was found, in a sentence.
	Scope string
}

// Convert estimates what another method would have found in a sample. Only published mean ratios are used, and
// only where their sources allow: Bray-1 and Mehlich-3 phosphorus, ammonium acetate and Mehlich-3 potassium, on
// soils without free lime. ANR-75 does not tell how phosphorus in Mehlich-3 was detected, so neither does the
// answer: it is mehlich-3, and not mehlich-3-icp.
//
// Where it does not convert, whyNot says why in words, and is empty otherwise.
func Convert(s *season.Soil, a season.Analyte, to string) (c Conversion, whyNot string) {
	r, measured := s.Find(a)
	if !measured {
		return c, fmt.Sprintf("%s was not measured in sample %s", Name(a), s.Sample)
	}
	from, to := Method(r.Method), Method(to)
	if from == to {
		return Conversion{Result: r, From: from, Factor: 1, Status: cite.Derived, Scope: "Nothing is converted."}, ""
	}
	c, whyNot = Ratio(a, from, to)
	if whyNot != "" {
		return c, whyNot
	}
	if whyNot = FreeLime(s); whyNot != "" {
		return Conversion{}, whyNot
	}
	c.Result = r
	c.Result.Value, c.Result.Method = r.Value*c.Factor, to
	return c, ""
}

// Ratio is what Convert multiplies by, without a result: the published mean ratio of two methods.
func Ratio(a season.Analyte, from, to string) (c Conversion, whyNot string) {
	factor, status, whyNot := ratio(a, from, to)
	if whyNot != "" {
		return c, whyNot
	}
	return Conversion{
		From: from, Factor: factor, Source: cite.OhioANR75, Status: status,
		Scope: fmt.Sprintf("A mean ratio on soils of Ohio and Indiana: %s to %s, times %.3g.", from, to, factor),
	}, ""
}

// ratio is the published ratio of two methods. Read backwards it is derived.
func ratio(a season.Analyte, from, to string) (factor float64, status cite.Status, whyNot string) {
	type pair struct{ from, to string }
	p := pair{from, to}
	switch {
	case from == "":
		return 0, "", "the laboratory's method is not known, so there is nothing to convert from"
	case a == season.Phosphorus && p == pair{Bray1, Mehlich3}:
		return mehlichPerBray, cite.Confirmed, ""
	case a == season.Phosphorus && p == pair{Mehlich3, Bray1}:
		return 1 / mehlichPerBray, cite.Derived, ""
	case a == season.Potassium && season.Extractant(from) == AmmoniumAcetate && season.Extractant(to) == Mehlich3:
		return mehlichPerAcetate, cite.Confirmed, ""
	case a == season.Potassium && season.Extractant(from) == Mehlich3 && season.Extractant(to) == AmmoniumAcetate:
		return 1 / mehlichPerAcetate, cite.Derived, ""
	case a == season.Phosphorus && (from == Olsen || to == Olsen):
		return 0, "", "what Olsen finds against other extractants differs from soil to soil [" + string(cite.OlsenBySoil) + "]; no general ratio holds"
	case a == season.Phosphorus && season.Extractant(from) == season.Extractant(to):
		return 0, "", fmt.Sprintf("%s and %s count different phosphorus in one extract: plasma (ICP) also counts what is bound in organic matter (from memory), by how much differs from soil to soil", from, to)
	case a == season.Phosphorus && season.Extractant(from) == Mehlich3 && to == Bray1, a == season.Phosphorus && from == Bray1 && season.Extractant(to) == Mehlich3:
		return 0, "", "the published ratio of Mehlich-3 and Bray-1 [" + string(cite.OhioANR75) + "] does not tell how phosphorus was detected, and plasma (ICP) and color differ"
	default:
		return 0, "", fmt.Sprintf("no published ratio of %s to %s is known here for %s", from, to, Name(a))
	}
}

// FreeLime says why a sample must be taken to hold free lime, on which ratios of extractants do not hold, or that
// nobody can tell; it is empty for a soil without. Free lime that was measured decides; else a pH in water of 7.3 and
// more does (common practice, no source).
func FreeLime(s *season.Soil) string {
	if lime, ok := s.Find(season.Carbonate); ok {
		if lime.Value > 0 && !lime.Below {
			return fmt.Sprintf("the soil holds free lime (%.3g %%), and on calcareous soils extractants do not convert", lime.Value*100)
		}
		return ""
	}
	ph, ok := s.Find(season.PH)
	switch {
	case !ok || !plain(season.PH, ph.Method):
		return "extractants do not convert on calcareous soils, and without a pH in water nobody can tell whether this is one"
	case ph.Value >= calcareousFrom:
		return fmt.Sprintf("at pH %.1f the soil is taken to be calcareous (common practice: from pH %.1f), and on calcareous soils extractants do not convert", ph.Value, calcareousFrom)
	default:
		return ""
	}
}
