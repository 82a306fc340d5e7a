package rulebook

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"

	"culm/agronomy/soil"
	"culm/agronomy/unit"
	"culm/season"
)

func (b *bookReader) inputs(m mapping, r *Rule) {
	all := m.under("inputs", maxParts)
	for _, k := range all.keys {
		n := all.values[k.Value]
		if n.Kind == yaml.MappingNode {
			r.Inputs = append(r.Inputs, b.input(k.Value, n, all.path, r))
			continue
		}
		all.fail(k.Value, "found %s, expected keys with values: unit and range, or words", found(n))
	}
}

func (b *bookReader) input(name string, n *yaml.Node, path string, r *Rule) Input {
	m := b.mapping(n, join(path, name), "unit", "words", "yesNo", "range", "usual", "label", "symbol", "asked", "optional",
		"default", "depth", "soil", "partial", "methods", "converts")
	in := Input{Name: What(name), Label: m.text("label"), Symbol: m.text("symbol"), Asked: m.yes("asked"), Optional: m.yes("optional"), Line: n.Line}
	switch {
	case !in.Asked && !isInput(in.Name):
		m.fail("", "no notebook knows %q; %s, or ask for it by hand with asked: true", name, meant(name, inputWords()))
	case in.Asked && isInput(in.Name):
		m.fail("asked", "a notebook can hold %s, so it need not be asked by hand", name)
	}
	b.sort(m, &in)
	b.soil(m, &in, r)
	in.Default = b.defaultOf(m, &in, r)
	if in.short = in.Label; in.Label == "" {
		in.short = shortLabel(in.Name)
		in.Label = inputLabel(in.Name) + in.Soil.where()
	}
	if in.Optional && (in.Default != nil || in.Sort != Number) {
		m.fail("optional", "is for numbers that count 0 where missing; it does not go with a default or with words")
	}
	return in
}

// sort reads whether the input is a number, a word, or yes or no, and its bounds.
func (b *bookReader) sort(m mapping, in *Input) {
	switch {
	case m.has("words"):
		in.Sort = Word
		if n := m.values["words"]; n.Kind == yaml.ScalarNode {
			m.yes("words")
			break
		}
		for _, w := range m.texts("words", maxWords) {
			in.Words = append(in.Words, strings.ToLower(w))
		}
	case m.has("yesNo"):
		in.Sort = YesNo
		m.yes("yesNo")
	default:
		in.Unit = b.unit(m, "unit")
		in.perArea = isPerArea(in.Unit)
		low, high, ok := m.pair("range")
		in.Low, in.High = low, high
		switch {
		case !m.has("range"):
			m.fail("range", "must be given, such as [0, 100]: outside it the rule gives no answer")
		case ok && low >= high:
			m.fail("range", "found %s to %s, expected the lower number first", plain(low), plain(high))
		}
		b.usual(m, in)
		return
	}
	for _, key := range []string{"unit", "range", "usual", "depth", "soil", "methods"} {
		if m.has(key) {
			m.fail(key, "is for numbers, and the input is none")
		}
	}
}

func (b *bookReader) usual(m mapping, in *Input) {
	if !m.has("usual") {
		return
	}
	u := m.under("usual", maxParts, "low", "high", "note")
	in.Usual = &Usual{Low: math.Inf(-1), High: math.Inf(1), Note: u.needed("note")}
	if v, ok := u.number("low"); ok {
		in.Usual.Low = v
	}
	if v, ok := u.number("high"); ok {
		in.Usual.High = v
	}
	if in.Usual.Low > in.Usual.High {
		u.fail("", "low lies above high")
	}
}

// soil reads how the input is counted in the soil.
func (b *bookReader) soil(m mapping, in *Input, r *Rule) {
	analyte, tested := analyteOf(in.Name)
	if !tested || in.Sort != Number {
		for _, key := range []string{"depth", "soil", "partial", "methods", "converts"} {
			if m.has(key) {
				m.fail(key, "is for what a laboratory finds in the soil, and %s is not that", in.Name)
			}
		}
		return
	}
	s := &Soil{analyte: analyte}
	in.Soil = s
	b.depth(m, s, in.Name != OrganicMatter && in.Name != CEC)
	b.mass(m, in, s)
	b.partial(m, in, s)
	for _, method := range m.texts("methods", maxParts) {
		if !slices.Contains(analyte.Methods(), method) {
			m.fail("methods", "%q is no laboratory method known for %s; %s", method, in.Name, meant(method, analyte.Methods()))
		}
		s.Methods = append(s.Methods, method)
	}
	if len(s.Methods) == 0 {
		s.Methods = usualMethods(analyte)
	}
	if len(s.Methods) == 0 && byExtractant(analyte) {
		m.fail("methods", "must name the laboratory methods the rule is for: numbers by different methods differ; known are %s", strings.Join(analyte.Methods(), ", "))
	}
	for _, n := range m.list("converts", maxParts) {
		c := b.mapping(n, join(m.path, "converts"), "from", "factor", "unless", "status", "source", "where", "note")
		conv := b.factor(c, analyte, s.Methods, r)
		if c.has("unless") {
			conv.written = b.expression(c, "unless")
		}
		s.Converts = append(s.Converts, conv)
	}
}

// factor reads how one method's result is turned into another's: by a factor of the book's own, or by the published
// ratio that package soil knows where the book names none.
func (b *bookReader) factor(c mapping, a season.Analyte, to []string, r *Rule) Conversion {
	conv := Conversion{From: c.oneOf("from", a.Methods()...)}
	if c.has("factor") {
		conv.Factor, conv.Standing = c.neededNumber("factor"), b.standing(c, Standing{Source: r.Source, Where: r.Where}, true)
		if !(conv.Factor > 0) {
			c.fail("factor", "must be above 0")
		}
		return conv
	}
	for _, key := range []string{"status", "source", "where", "note"} {
		if c.has(key) {
			c.fail(key, "belongs to a factor, and there is none")
		}
	}
	if conv.From == "" || len(to) == 0 {
		c.fail("factor", "must be given")
		return conv
	}
	known, whyNot := soil.Ratio(a, conv.From, to[0])
	if whyNot != "" {
		c.fail("factor", "must be given: %s", whyNot)
		return conv
	}
	conv.Factor, conv.Known, conv.Standing = known.Factor, true, Standing{Status: known.Status, Source: known.Source, Note: known.Scope}
	if s, ok := b.book.Source(known.Source); ok {
		b.book.found[known.Source] = s
	}
	return conv
}

// usualMethods are those that a number is by where nothing else is said.
func usualMethods(a season.Analyte) []string {
	switch a {
	case season.PH:
		return []string{season.WaterOneToOne}
	case season.Aluminium:
		return []string{"kcl"}
	case season.Acidity:
		return []string{season.MehlichBuffer}
	default:
		return nil
	}
}

// byExtractant says that a rule must name the methods it is for.
func byExtractant(a season.Analyte) bool {
	switch a {
	case season.Phosphorus, season.Potassium, season.BufferPH, season.Zinc, season.Copper, season.Boron, season.Iron, season.Manganese:
		return true
	default:
		return false
	}
}

// depth reads "24 in", "6-24 in", "90 cm" or "as sampled".
func (b *bookReader) depth(m mapping, s *Soil, needsDepth bool) {
	if !m.has("depth") && !needsDepth {
		return
	}
	s.Depth = m.needed("depth")
	if s.Depth == "" {
		return
	}
	if s.Depth == "as sampled" {
		s.AsSampled = true
		return
	}
	number, name, _ := strings.Cut(s.Depth, " ")
	top, bottom, isLayer := strings.Cut(number, "-")
	if !isLayer {
		top, bottom = "0", number
	}
	lengths := map[string]unit.Length{"in": unit.Inch, "cm": 0.01 * unit.Metre, "ft": unit.Foot}
	one, known := lengths[name]
	from, err1 := strconv.ParseFloat(top, 64)
	to, err2 := strconv.ParseFloat(bottom, 64)
	if !known || err1 != nil || err2 != nil || !(from >= 0 && to > from && unit.Length(to)*one < 4) {
		m.fail("depth", "found %q, expected a depth such as 24 in, 6-24 in, 90 cm, or as sampled", s.Depth)
		return
	}
	s.Top, s.Bottom = unit.Length(from)*one, unit.Length(to)*one
}

// partial reads what holds where only a part of the depth was sampled.
func (b *bookReader) partial(m mapping, in *Input, s *Soil) {
	s.Partial = PartialSilent
	if !m.has("partial") {
		return
	}
	p := Partial(m.oneOf("partial", partialWords()...))
	switch {
	case p == "":
	case !isMobile(s.analyte) && !in.perArea || s.AsSampled:
		m.fail("partial", "is for a profile to a depth, and %s is not that", in.Name)
	case p == PartialNone && !in.perArea:
		m.fail("partial", "a mean cannot count what was not sampled as none; write %q or %q", PartialSilent, PartialAlike)
	case p == PartialAlike && in.perArea:
		m.fail("partial", "is for a mean, and %s is a mass on an area; write %q or %q", in.Unit, PartialSilent, PartialNone)
	default:
		s.Partial = p
	}
}

const soilMassUnit = "million lb per acre-inch"

// mass reads the convention for the mass of soil, which a mass per area needs.
func (b *bookReader) mass(m mapping, in *Input, s *Soil) {
	text := m.text("soil")
	if text == "" {
		if in.perArea {
			m.fail("soil", "must be given, such as 0.3 %s, because %s is a mass of soil nutrient on an area", soilMassUnit, in.Unit)
		}
		return
	}
	number, name, _ := strings.Cut(text, " ")
	v, err := strconv.ParseFloat(number, 64)
	if err != nil || name != soilMassUnit || !(v >= 0.1 && v <= 0.6) {
		m.fail("soil", "found %q, expected the mass of soil such as 0.3 %s", text, soilMassUnit)
		return
	}
	if !in.perArea {
		m.fail("soil", "is for a mass on an area, and %s is not that", in.Unit)
	}
	s.PerAcreInch = unit.PoundsPerMillion(v)
}

func (b *bookReader) defaultOf(m mapping, in *Input, r *Rule) *Default {
	if !m.has("default") {
		return nil
	}
	d := &Default{}
	inner := m.under("default", maxParts, "is", "low", "high", "published", "why", "status", "source", "where", "note")
	d.Published, d.Why = inner.yes("published"), inner.text("why")
	if !d.Published && d.Why == "" {
		inner.fail("why", "must say why the default stands in, such as no soil test; or published: true where the publication itself gives the number")
	}
	n := inner.values["is"]
	switch {
	case n == nil:
		inner.fail("is", "must be given")
	case in.Sort == Word:
		d.Word = strings.ToLower(inner.needed("is"))
	case in.Sort == YesNo:
		if inner.yes("is") {
			d.Value = 1
		}
	case isNumber(n):
		d.Value = inner.neededNumber("is")
		if d.Value < in.Low || d.Value > in.High {
			inner.fail("is", "%s lies outside the range %s to %s", plain(d.Value), plain(in.Low), plain(in.High))
		}
	default:
		d.written = b.expression(inner, "is")
	}
	d.Standing = b.standing(inner, Standing{Source: r.Source, Where: r.Where}, in.Sort == Number && (d.Value != 0 || d.Published))
	d.Low, d.High = b.span(inner, d.Value)
	return d
}

// span reads what a publication gives in place of one number.
func (b *bookReader) span(m mapping, value float64) (low, high float64) {
	low, hasLow := m.number("low")
	high, hasHigh := m.number("high")
	switch {
	case hasLow != hasHigh:
		m.fail("", "needs both low and high, or neither")
	case hasLow && !(low <= value && value <= high && low < high):
		m.fail("low", "low, value and high must rise: found %s, %s, %s", plain(low), plain(value), plain(high))
	}
	return low, high
}

func (b *bookReader) constants(m mapping, r *Rule) {
	all := m.under("constants", maxParts)
	for _, k := range all.keys {
		n := all.values[k.Value]
		c := b.mapping(n, join(all.path, k.Value), "value", "unit", "low", "high", "label", "status", "source", "where", "note")
		own := Constant{Name: k.Value, Label: c.text("label"), Value: c.neededNumber("value"), Unit: b.unit(c, "unit"), Line: n.Line}
		own.Low, own.High = b.span(c, own.Value)
		own.Standing = b.standing(c, Standing{Source: r.Source, Where: r.Where}, true)
		if own.Label == "" {
			own.Label = spaced(own.Name)
		}
		r.Constants = append(r.Constants, own)
	}
}
