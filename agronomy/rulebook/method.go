package rulebook

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"culm/agronomy/soil"
	"culm/season"
)

// byMethod keeps the samples in which the analyte was measured by a method the rule is for, or by one that it
// converts from, each with that one result. Where there are only others, it says why none is taken.
func (t *taken) byMethod(f *Facts, a season.Analyte, i int, in *Input) []*season.Soil {
	var kept []*season.Soil
	refused := ""
	for _, s := range f.samples {
		best := fit{rank: notAtAll}
		for _, r := range s.Results {
			if r.Analyte != a {
				continue
			}
			if one := t.fits(f, s, r, in); one.rank < best.rank || best.rank == notAtAll {
				best = one
			}
		}
		if best.rank == notAtAll {
			refused = cmp.Or(refused, best.why)
			continue
		}
		alone := *s
		alone.Results = []season.Result{best.result}
		kept = append(kept, &alone)
		if best.standing.Status != "" {
			t.standing[i] = best.standing
		}
		if best.doubt != "" && !slices.Contains(t.doubts, best.doubt) {
			t.doubt(i, best.doubt)
		}
		if best.note != "" && !slices.Contains(t.notes, best.note) {
			t.notes = append(t.notes, best.note)
		}
	}
	if len(kept) == 0 {
		t.refused[i] = refused
	}
	return kept
}

// fit is how well a laboratory's method fits a rule.
type fit struct {
	rank     int
	result   season.Result
	doubt    string
	note     string
	standing Standing
	why      string
}

// The ranks of fit.
const (
	exactly = iota
	converted
	unstated
	notAtAll
)

func (t *taken) fits(f *Facts, s *season.Soil, r season.Result, in *Input) fit {
	method := season.MethodName(r.Method)
	methods := in.Soil.Methods
	if len(methods) == 0 || slices.Contains(methods, method) || slices.Contains(methods, season.Extractant(method)) {
		return fit{rank: exactly, result: r}
	}
	measured := soil.Name(r.Analyte)
	why := fmt.Sprintf("%s was measured by %s, and the book is for %s", measured, MethodLabel(method), methodLabels(methods))
	if method == season.UnknownMethod {
		return fit{rank: notAtAll, why: fmt.Sprintf("nobody could tell how %s was measured, and the book is for %s", measured, methodLabels(methods))}
	}
	for _, c := range in.Soil.Converts {
		if c.From == method {
			return t.convert(f, s, r, in, &c, why)
		}
	}
	isUsual := slices.ContainsFunc(usualMethods(r.Analyte), func(m string) bool { return slices.Contains(methods, m) })
	switch {
	case method == "" && isUsual:
		return fit{rank: exactly, result: r}
	case method == "":
		return fit{rank: unstated, result: r, doubt: fmt.Sprintf("%s: the laboratory's method is not stated; taken to be %s", in.Label, MethodLabel(methods[0]))}
	case isWay(method, methods):
		return fit{rank: unstated, result: r, doubt: fmt.Sprintf("%s: how the %s extract was read is not stated; taken to be %s", in.Label, MethodLabel(method), MethodLabel(readAs(method, methods)))}
	default:
		return fit{rank: notAtAll, why: why + "; " + nothingConverts(r.Analyte, method, methods[0])}
	}
}

// convert turns a result into that of a method the rule is for. Phosphorus and potassium are never converted on
// calcareous soil, nor where nobody can tell whether it is: package soil judges.
func (t *taken) convert(f *Facts, s *season.Soil, r season.Result, in *Input, c *Conversion, why string) fit {
	copy(t.slots.all, t.slots.in)
	if c.Unless != nil {
		if not, _ := c.Unless.YesNo(t.slots.all); not {
			return fit{rank: notAtAll, why: why + "; on this soil the one is not turned into the other (" + c.Unless.InWords() + ")"}
		}
	}
	told := limeTold(f, s, r)
	whyNot := ""
	switch {
	case c.Known:
		var known soil.Conversion
		known, whyNot = soil.Convert(told, r.Analyte, in.Soil.Methods[0])
		r = known.Result
	case r.Analyte == season.Phosphorus || r.Analyte == season.Potassium:
		whyNot = soil.FreeLime(told)
		fallthrough
	default:
		r.Value *= c.Factor
	}
	if whyNot != "" {
		return fit{rank: notAtAll, why: why + "; the one is not turned into the other: " + whyNot}
	}
	note := fmt.Sprintf("%s was measured by %s and turned into %s by a factor of %s", soil.Name(r.Analyte), MethodLabel(c.From), MethodLabel(in.Soil.Methods[0]), plain(sixDigits(c.Factor)))
	if c.Note != "" {
		note += ": " + c.Note
	}
	return fit{rank: converted, result: r, note: sentence(note), standing: c.Standing}
}

// nothingConverts says why a result is not turned into that of another method.
func nothingConverts(a season.Analyte, from, to string) string {
	if a == season.Phosphorus || a == season.Potassium {
		if _, whyNot := soil.Ratio(a, from, to); whyNot != "" {
			return whyNot
		}
	}
	return "nothing turns the one into the other"
}

// isWay says that a rule is for some way of reading the extract that the laboratory names.
func isWay(method string, methods []string) bool { return readAs(method, methods) != "" }

func readAs(method string, methods []string) string {
	for _, m := range methods {
		if season.Extractant(m) == method {
			return m
		}
	}
	return ""
}

// limeTold is one result of a sample together with what tells whether the soil holds free lime: of the sample itself;
// else a pH given by hand; else what another sample of the topsoil tells, first one that speaks against converting.
func limeTold(f *Facts, s *season.Soil, r season.Result) *season.Soil {
	told := *s
	tellBy := func(results ...season.Result) { told.Results = append([]season.Result{r}, results...) }
	tellBy(s.Results...)
	ph, byHand := f.numbers[PH]
	switch {
	case measured(s, season.Carbonate):
		return &told
	case byHand:
		v := ph.amount.Base
		if ph.byHand {
			v = ph.value
		}
		tellBy(season.Result{Analyte: season.PH, Value: v})
		return &told
	case measured(s, season.PH):
		return &told
	}
	for _, other := range f.samples {
		if !measured(other, season.Carbonate) && !measured(other, season.PH) || other.Top > alike {
			continue
		}
		if tellBy(other.Results...); soil.FreeLime(&told) != "" {
			break
		}
	}
	return &told
}

func measured(s *season.Soil, a season.Analyte) bool {
	_, found := s.Find(a)
	return found
}

// MethodLabel is a laboratory method as the trade writes it: Mehlich-3, Bray-1, Olsen, DTPA. Names that are not known
// here come back as they are.
func MethodLabel(method string) string {
	switch method {
	case season.DTPA, season.SMPBuffer, "edta", "cal", "dl":
		return strings.ToUpper(method)
	case season.Olsen, season.SikoraBuffer, "mehlich-1", season.Mehlich3, season.MehlichBuffer, "morgan", "woodruff", "walkley-black":
		return strings.ToUpper(method[:1]) + method[1:]
	case season.Mehlich3ICP:
		return "Mehlich-3 by ICP"
	case season.Mehlich3Colorimetric:
		return "Mehlich-3 by color"
	case season.Bray1, "bray-2":
		return "Bray " + strings.TrimPrefix(method, "bray-")
	case season.AdamsEvansBuffer:
		return "Adams-Evans"
	case "moore-sikora":
		return "Moore-Sikora"
	case "modified-morgan":
		return "modified Morgan"
	case "h3a":
		return "H3A"
	case season.CalciumChloride:
		return "CaCl2"
	case "kcl":
		return "KCl"
	case "hcl":
		return "HCl"
	case "dtpa-sorbitol":
		return "DTPA-sorbitol"
	}
	if ratio, isWater := strings.CutPrefix(method, "water-"); isWater {
		return "water " + ratio
	}
	return strings.ReplaceAll(method, "-", " ")
}

func methodLabels(methods []string) string {
	labels := make([]string, len(methods))
	for i, m := range methods {
		labels[i] = MethodLabel(m)
	}
	return strings.Join(labels, " or ")
}
