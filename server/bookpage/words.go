package bookpage

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"culm/agronomy/rulebook"
	"culm/season"
)

// Number writes a number as printed in a book, with the sign of print.
func Number(v float64) string {
	return strings.Replace(strconv.FormatFloat(v, 'f', -1, 64), "-", "−", 1)
}

// WithUnit writes a number with its unit: 40 lb N/ac, $5.50/bu, 2 %, and a plain number alone.
func WithUnit(v float64, unit string) string {
	switch {
	case unit == "1" || unit == "":
		return Number(v)
	case unit == "pH":
		return "pH " + Number(v)
	case strings.HasPrefix(unit, "$"):
		return money(v) + strings.TrimPrefix(unit, "$")
	}
	return Number(v) + " " + unit
}

// money writes an amount with cents where it has any.
func money(v float64) string {
	text := strconv.FormatFloat(math.Abs(v), 'f', -1, 64)
	if _, cents, has := strings.Cut(text, "."); has && len(cents) == 1 {
		text += "0"
	}
	if v < 0 {
		return "−$" + text
	}
	return "$" + text
}

// unitIn names a unit in a sentence; a plain number has none.
func unitIn(unit string) string {
	if unit == "1" {
		return "a plain number"
	}
	return unit
}

// Takes says what an input may be: "lb N/ac, 0 to 400", or its words.
func (in Input) Takes() string {
	switch {
	case in.Sort == "number" && in.Low != nil && in.High != nil:
		return unitIn(in.Unit) + ", " + Number(*in.Low) + " to " + Number(*in.High)
	case in.Sort == "number":
		return unitIn(in.Unit)
	case len(in.Words) > 0:
		return strings.Join(in.Words, ", ")
	case len(in.Named) > 0:
		return "a word; the tables name " + strings.Join(in.Named, ", ")
	case in.Sort == "word":
		return "a word"
	}
	return in.Sort
}

// methods are laboratory methods as the trade writes them.
func methods(names []string) string {
	labels := make([]string, len(names))
	for i, name := range names {
		labels[i] = rulebook.MethodLabel(name)
	}
	return strings.Join(labels, " or ")
}

// More says what else belongs to an input: depth and method of a soil test, what stands in where it is missing.
func (in Input) More() []string {
	var more []string
	if s := in.Soil; s != nil {
		if s.Depth != "" {
			more = append(more, "sampled "+s.Depth)
		}
		if s.PerAcreInch > 0 {
			more = append(more, "counted at "+strconv.FormatFloat(s.PerAcreInch, 'g', 3, 64)+" million lb of soil per acre-inch")
		}
		if len(s.Methods) > 0 {
			more = append(more, "measured by "+methods(s.Methods))
		}
		for _, c := range s.Converts {
			text := "from " + rulebook.MethodLabel(c.From) + " times " + Number(c.Factor)
			if c.Unless != "" {
				text += ", not where " + c.Unless
			}
			more = append(more, text+c.bracket())
		}
	}
	if u := in.Usual; u != nil {
		more = append(more, strings.TrimSuffix("printed for "+Number(u.Low)+" to "+Number(u.High)+"; "+u.Note, "; "))
	}
	if d := in.Default; d != nil {
		more = append(more, "where missing "+d.words(in.Unit)+d.bracket())
	}
	if in.Optional {
		more = append(more, "counts nothing where missing")
	}
	if in.Asked {
		more = append(more, "given by hand")
	}
	return more
}

func (d DefaultFor) words(unit string) string {
	text := d.Word
	switch {
	case d.Is != "":
		text = d.Is
	case d.Value != nil:
		text = WithUnit(*d.Value, unit)
	}
	if d.Why != "" {
		text += ": " + d.Why
	}
	return text
}

// bracket puts a status behind what it belongs to.
func (s Standing) bracket() string {
	if s.Status == "" {
		return ""
	}
	return " [" + string(s.Status) + "]"
}

// Line is a line of a formula: the sign in front of a term, the term, what it stands for.
type Line struct{ Sign, Text, Label string }

// Formula is the answer of a rule in lines: its steps, then the terms of the sum or the one expression.
func (r Rule) Formula() []Line {
	var lines []Line
	for _, s := range r.Steps {
		label := ""
		if s.Unit != "1" {
			label = s.Unit
		}
		lines = append(lines, Line{Sign: named(s) + " =", Text: s.Is, Label: label})
	}
	for i, t := range r.Terms {
		sign, text := "+", t.Is
		if cut, below := strings.CutPrefix(t.Is, "−"); below {
			sign, text = "−", cut
		}
		if i == 0 && sign == "+" {
			sign = ""
		}
		if i == 0 {
			sign = strings.TrimSpace("answer = " + sign)
		}
		label := t.Label
		if strings.Contains(text, label) { // the term says it already
			label = ""
		}
		lines = append(lines, Line{sign, text, label})
	}
	if r.Answer != "" {
		lines = append(lines, Line{Sign: "answer =", Text: r.Answer, Label: r.Unit})
	}
	return lines
}

func named(p Part) string {
	if p.Label != "" {
		return p.Label
	}
	return p.Key
}

// Limits say how the answer is bounded and rounded.
func (r Rule) Limits() []string {
	var limits []string
	bound := func(words string, b *Bound) {
		if b == nil {
			return
		}
		text := words + " " + WithUnit(b.Value, r.Unit)
		if b.Why != "" {
			text += ": " + b.Why
		}
		limits = append(limits, text+b.bracket())
	}
	bound("not below", r.Floor)
	bound("not above", r.Cap)
	if r.Round != nil {
		how := map[string]string{"nearest": "to the nearest ", "up": "up to a whole ", "down": "down to a whole "}[r.Round.How]
		limits = append(limits, "rounded "+how+WithUnit(r.Round.To, r.Unit))
	}
	return limits
}

// Serves says which crops a rule is for.
func (r Rule) Serves() string {
	if len(r.Crops) == 0 {
		return "any crop"
	}
	return strings.Join(r.Crops, ", ")
}

// AnswerInWords names an answer as the trade does.
func AnswerInWords(a string) string {
	switch rulebook.Answer(a) {
	case rulebook.LimeEffect:
		return "what a lime is worth"
	case rulebook.LimeTarget:
		return "the pH to lime to"
	case rulebook.DepthOfLime:
		return "how deep lime acts"
	case rulebook.LimeMost:
		return "the most lime at once"
	case rulebook.BuildUp:
		return "raising a soil test"
	case rulebook.Removal:
		return "what a harvest carries off"
	case rulebook.Uptake:
		return "what a crop takes up"
	case rulebook.Forage:
		return "nitrogen for grazing"
	case rulebook.Index:
		return "judging a soil test"
	default:
		return a
	}
}

// servesInWords names the crops of a rule as people do; all kinds of wheat together are winter wheat.
func (r Rule) servesInWords() string {
	if len(r.Crops) == 0 {
		return "any crop"
	}
	return CropsInWords(r.Crops)
}

// CropsInWords names crops as people do; all kinds of wheat together are winter wheat.
func CropsInWords(crops []string) string {
	wheat := []season.Crop{season.WheatGrain, season.WheatGrazed, season.WheatGrazeOut}
	has := func(c season.Crop) bool { return slices.Contains(crops, string(c)) }
	var names []string
	if has(wheat[0]) && has(wheat[1]) && has(wheat[2]) {
		names = append(names, "winter wheat")
	}
	for _, c := range crops {
		if name := season.Crop(c).String(); !(len(names) > 0 && names[0] == "winter wheat" && season.Crop(c).IsWheat()) && !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	if len(names) == 1 {
		return names[0]
	}
	return strings.Join(names[:len(names)-1], ", ") + " and " + names[len(names)-1]
}

// Grid is a table of numbers as people read it; a table of three axes is several.
type Grid struct {
	Caption string
	Corner  string // what stands above the first column
	Head    []string
	Rows    []GridRow
}

// GridRow is a row with its label.
type GridRow struct {
	Label string
	Cells []string
	Note  string
}

// hasNotes says that a row has one, so that the table needs a column for them.
func (g Grid) hasNotes() bool {
	return slices.ContainsFunc(g.Rows, func(r GridRow) bool { return r.Note != "" })
}

// Grids lays a table out: words down, or the last axis across and the one before it down.
func (t Table) Grids() []Grid {
	switch len(t.Axes) {
	case 0:
		return []Grid{t.byWords()}
	case 1:
		g := Grid{Corner: t.Axes[0].heading(), Head: []string{t.Unit}}
		for i, at := range t.Axes[0].At {
			g.Rows = append(g.Rows, GridRow{Label: Number(at), Cells: []string{t.cell(i)}})
		}
		return []Grid{g}
	case 2:
		return []Grid{t.plane(t.Axes[0], t.Axes[1], 0)}
	}
	var grids []Grid
	size := len(t.Axes[1].At) * len(t.Axes[2].At)
	for i, at := range t.Axes[0].At {
		g := t.plane(t.Axes[1], t.Axes[2], i*size)
		g.Caption = t.Axes[0].Label + " " + WithUnit(at, t.Axes[0].Unit)
		grids = append(grids, g)
	}
	return grids
}

func (t Table) byWords() Grid {
	g := Grid{Corner: t.By, Head: []string{t.Unit}}
	row := func(label string, w WordRow) {
		note := w.Why
		if w.Status != t.Status {
			note = strings.TrimSpace(note + w.bracket())
		}
		g.Rows = append(g.Rows, GridRow{Label: label, Cells: []string{Number(w.Value)}, Note: note})
	}
	for _, w := range t.Words {
		row(strings.Join(w.Words, ", "), w)
	}
	if t.Other != nil {
		row("any other", *t.Other)
	}
	return g
}

func (t Table) plane(down, across Axis, from int) Grid {
	g := Grid{Corner: down.heading() + " \\ " + across.heading()}
	for _, at := range across.At {
		g.Head = append(g.Head, Number(at))
	}
	for i, at := range down.At {
		row := GridRow{Label: Number(at)}
		for j := range across.At {
			row.Cells = append(row.Cells, t.cell(from+i*len(across.At)+j))
		}
		g.Rows = append(g.Rows, row)
	}
	return g
}

// cell is a number of the table; one that could not be read is a question mark.
func (t Table) cell(i int) string {
	if i >= len(t.Cells) || t.Cells[i] == nil {
		return "?"
	}
	return Number(*t.Cells[i])
}

func (a Axis) heading() string {
	if a.Unit == "1" || a.Unit == a.Label {
		return a.Label
	}
	return a.Label + ", " + a.Unit
}

// Reading says how a table is read between and beyond its printed levels.
func (t Table) Reading() string {
	if len(t.Axes) == 0 {
		if t.Other == nil {
			return "for any other word the rule is silent"
		}
		return ""
	}
	beyond := "beyond them the rule is silent"
	if t.Beyond == "hold" {
		beyond = "beyond them the edge holds"
	}
	between := map[string]string{
		"straight line": "a straight line between the printed values", "nearest": "the nearest printed value",
		"the one below": "the printed value below", "the one above": "the printed value above", "printed values only": "printed values only",
	}[t.Between]
	reading := between + "; " + beyond
	if slices.Contains(t.Cells, nil) {
		reading += "; ? could not be read in the source, and the rule is silent there"
	}
	return reading
}

// Inputs says an example's inputs in words.
func (e Example) Inputs() string {
	var all []string
	for _, g := range e.Given {
		value := g.Word
		if g.Value != nil {
			value = WithUnit(*g.Value, g.Unit)
		}
		all = append(all, g.Name+" "+value)
	}
	if e.Crop != "" {
		all = append([]string{e.Crop}, all...)
	}
	return strings.Join(all, ", ")
}

// Comes is what must come out, with the digits printed.
func (e Example) Comes(unit string) string {
	if e.Answer == nil {
		return "no answer: " + e.Silent
	}
	number := strings.Replace(printed(*e.Answer, e.Digits), "-", "−", 1)
	text := strings.TrimSuffix(number+" "+unit, " 1")
	if strings.HasPrefix(unit, "$") {
		text = "$" + number + strings.TrimPrefix(unit, "$")
	}
	if e.Rating != "" {
		text += ", " + e.Rating
	}
	return text
}
