package rulebook

import (
	"strings"

	"culm/agronomy/cite"
	"culm/agronomy/rulebook/formula"
	"culm/agronomy/rulebook/quantity"
	"culm/agronomy/unit"
	"culm/agronomy/working"
)

// Worked is an answer with all that a reader may ask about it.
type Worked struct {
	Rule *Rule
	// Why says why there is no answer; empty when there is one.
	Why string
	// Value is the answer in the rule's unit, bounded and rounded as the publication does; Exact is it before
	// both. Amount is Value as a typed amount, where the unit has a kind; the zero Amount where it has none.
	Value, Exact float64
	Amount       working.Amount
	// Low and High follow from the spans the publication gives for its numbers, if HasRange; in the rule's unit.
	Low, High float64
	HasRange  bool
	// Rating is the word for the answer, such as "low"; empty where the rule has no classes.
	Rating string
	// Expression is the formula in words and signs; Numbers writes the same with the numbers put in.
	Expression string
	Inputs     []Entry
	// Used are the constants and table rows the answer rests on.
	Used  []Entry
	Steps []Entry
	// Terms are the parts of the sum with their signs; their sum is Exact. Empty where the rule is not a sum.
	Terms []Part
	// Floored and Capped say that a bound holds.
	Floored, Capped bool
	// Assumed says of each input that nobody observed what stands in and why; Notes are remarks on the answer.
	Assumed []string
	Notes   []string
	// Status is that of the weakest number used. What Culm or the book assumes by common practice where an input
	// is missing stands under Assumed and does not count here. Sources are the publications of all, each once.
	Status  cite.Status
	Sources []cite.Source

	slots *Slots
}

// Entry is a number or a word on the way to an answer.
type Entry struct {
	Name  string // key of the input, constant, table or step
	Label string
	Value float64 // in the book's unit
	Unit  string  // as the book writes it
	Word  string  // for words, and for yes and no
	// Amount is Value as a typed amount, where the unit has a kind; the zero Amount where it has none.
	Amount working.Amount
	Origin working.Origin
	// Absent marks an optional input that is missing and counts nothing.
	Absent bool
	Standing
}

// Part is a term of a sum, in the rule's unit.
type Part struct {
	For     What
	Label   string
	Value   float64
	Amount  working.Amount
	Assumed bool // an input of it was observed by nobody
}

// Numbers writes the formula with the numbers put in: "2.5 × 60 − 40 − 20". Empty where there is no answer.
func (w Worked) Numbers() string {
	if w.Why != "" {
		return ""
	}
	return w.Rule.withNumbers(w.slots.all)
}

// Step finds a number on the way by its key.
func (w Worked) Step(key string) (Entry, bool) {
	for _, s := range w.Steps {
		if s.Name == key {
			return s, true
		}
	}
	return Entry{}, false
}

// Input finds an input by its name; false where the rule does not ask for it or it is not known.
func (w Worked) Input(name What) (Entry, bool) {
	for _, in := range w.Inputs {
		if in.Name == string(name) {
			return in, true
		}
	}
	return Entry{}, false
}

// Rate is the answer as a rate of nutrient; 0 where it is none.
func (w Worked) Rate() unit.Rate {
	if w.Why != "" || w.Amount.Kind != unit.KindRate {
		return 0
	}
	return unit.Rate(w.Amount.Base)
}

// Slots are the inputs the answer was worked out on, without defaults, so that one can be moved and the rule
// asked anew. They belong to the caller. Nil where the rule was not asked at all.
func (w Worked) Slots() *Slots {
	if w.slots == nil {
		return nil
	}
	return w.slots.Clone()
}

// Work finds a rule's answer for a field and explains it.
func (r *Rule) Work(f *Facts) Worked {
	w := Worked{Rule: r, Expression: r.InWords()}
	if f.Crop != "" && !r.For(f.Crop) {
		if w.Why = r.Refuses[f.Crop]; w.Why == "" {
			w.Why = "is not for " + f.Crop.String()
		}
		return w
	}
	t := r.take(f)
	w.slots = t.slots
	exact, silence := r.exact(t.slots)
	if w.Why = t.whyRefused(r); w.Why != "" {
		return w
	}
	if w.Why = r.Why(t.slots, silence); w.Why != "" {
		return w
	}
	x := &explainer{r: r, t: t, w: &w, all: t.slots.all, bushel: bushelOf(f.Crop)}
	x.answer(exact)
	x.inputs()
	x.used()
	x.steps()
	x.terms()
	x.span()
	x.notes()
	x.sources()
	return w
}

// whyRefused says why an input that the answer rests on could not be taken although a field has it.
func (t *taken) whyRefused(r *Rule) string {
	for i, why := range t.refused {
		if why != "" && r.needed[i] {
			return why
		}
	}
	return ""
}

// explainer writes the account of one answer.
type explainer struct {
	r      *Rule
	t      *taken
	w      *Worked
	all    []formula.Slot
	bushel quantity.Bushel
	// keys are the publications used so far.
	keys []cite.Key
}

func (x *explainer) answer(exact float64) {
	bounded := x.r.bounded(exact)
	x.w.Exact, x.w.Value = exact, x.r.rounded(bounded)
	x.w.Floored, x.w.Capped = bounded > exact, bounded < exact
	x.w.Amount = x.amount(x.w.Value, x.r.Unit, "")
	x.w.Rating = x.r.rate(x.t.slots, x.w.Value)
	x.w.Notes = append(x.w.Notes, x.r.Notes...)
	x.rests(x.r.Form)
	x.cite(x.r.Source)
}

// amount gives a number of the book as a typed amount, plain numbers as the kind that suits the input.
func (x *explainer) amount(v float64, u quantity.Unit, name What) working.Amount {
	m := x.r.measure(u, x.bushel)
	if m.kind == "" {
		return working.Amount{}
	}
	if kind := kindOf(name); kind != "" && (m.kind == unit.KindCoefficient || kind == unit.KindFraction) {
		m.kind = kind // of the same base: a plain number
	}
	return working.Amount{Base: m.Of(v), Kind: m.kind}
}

// rests lowers the standing of the answer to that of a number it rests on.
func (x *explainer) rests(s Standing) {
	x.w.Status = weaker(x.w.Status, s.Status)
	x.cite(s.Source)
}

func (x *explainer) cite(k cite.Key) {
	for _, have := range x.keys {
		if have == k {
			return
		}
	}
	if k != "" {
		x.keys = append(x.keys, k)
	}
}

func (x *explainer) assume(label, why string) {
	x.w.Assumed = append(x.w.Assumed, label+": "+why)
}

// counts says that an input bears on the answer: the answer rests on it, a default in use does, or the book
// has something to say of it.
func (x *explainer) counts(i int) bool {
	if x.r.needed[i] || x.r.Inputs[i].Usual != nil {
		return true
	}
	for k := range x.r.Inputs {
		d := x.r.Inputs[k].Default
		if d == nil || x.t.slots.in[k].Given || !x.r.needed[k] {
			continue
		}
		for _, rest := range d.rests.inputs {
			if rest == i {
				return true
			}
		}
	}
	return false
}

func (x *explainer) inputs() {
	for i := range x.r.Inputs {
		in := &x.r.Inputs[i]
		if !x.counts(i) || !x.t.slots.present[i] && !in.Optional {
			continue
		}
		e := Entry{Name: string(in.Name), Label: in.Label, Value: x.all[i].Number, Unit: in.Unit.String(), Origin: x.t.origins[i]}
		switch {
		case !x.t.slots.present[i]:
			e.Absent = true
		case in.Sort == Word:
			e.Word, e.Unit = x.word(i), ""
		case in.Sort == YesNo:
			e.Word, e.Unit = yesNo(e.Value), ""
		default:
			e.Amount = x.amount(e.Value, in.Unit, in.Name)
		}
		if !x.t.slots.in[i].Given && !e.Absent {
			x.byDefault(in, &e)
		}
		if e.Origin.Kind == working.Assumed {
			x.assume(in.Label, e.Origin.Why)
		}
		for k, doubt := range x.t.doubts {
			if x.t.doubtOf[k] == i {
				x.w.Assumed = append(x.w.Assumed, doubt)
			}
		}
		x.assumeRows(i)
		if s := x.t.standing[i]; s.Status != "" {
			e.Standing = s
			x.rests(s)
		}
		x.w.Inputs = append(x.w.Inputs, e)
	}
}

// assumeRows tells where a table knows nothing of the word given and something of Culm's stands in.
func (x *explainer) assumeRows(i int) {
	if x.r.Inputs[i].Sort != Word || !x.t.slots.in[i].Given {
		return
	}
	for k := range x.r.Tables {
		t := &x.r.Tables[k]
		word := x.word(i)
		if t.By != x.r.Inputs[i].Name || t.Other == nil || t.Other.Status != cite.CommonPractice || t.rowOf(strings.ToLower(word)) != t.Other {
			continue
		}
		x.assume(x.r.Inputs[i].Label, "no figure for "+word+" in this book; "+t.Other.Why)
	}
}

// byDefault tells where a default comes from.
func (x *explainer) byDefault(in *Input, e *Entry) {
	d := in.Default
	e.Standing = d.Standing
	switch {
	case x.r.isOwn(string(in.Name)):
		e.Origin, e.Standing = x.r.own, Standing{}
		return
	case d.Published:
		e.Origin = working.Origin{Kind: working.Rulebook, Source: d.Source, Why: d.Why}
	default:
		e.Origin = working.Origin{Kind: working.Assumed, Why: d.Why, Source: d.Source}
	}
	if d.Published || d.Status != cite.CommonPractice {
		x.rests(d.Standing)
	}
	for _, i := range d.rests.constants {
		x.rests(x.r.Constants[i].Standing)
	}
	for _, i := range d.rests.tables {
		x.row(&x.r.Tables[i])
	}
}

// word is a word input as it was given, or its default.
func (x *explainer) word(i int) string {
	if x.t.slots.in[i].Given {
		return x.t.slots.texts[i]
	}
	return x.r.Inputs[i].Default.Word
}

func yesNo(v float64) string {
	if v != 0 {
		return "yes"
	}
	return "no"
}

// used enters the constants and table rows that the answer rests on.
func (x *explainer) used() {
	for _, i := range x.r.rests.constants {
		c := &x.r.Constants[i]
		e := Entry{
			Name: c.Name, Label: c.Label, Value: c.Value, Unit: c.Unit.String(), Amount: x.amount(c.Value, c.Unit, ""),
			Origin: working.Origin{Kind: working.Rulebook, Source: c.Source}, Standing: c.Standing,
		}
		if x.r.isOwn(c.Name) {
			e.Origin, e.Standing = x.r.own, Standing{}
		} else {
			x.rests(c.Standing)
		}
		x.w.Used = append(x.w.Used, e)
	}
	for _, i := range x.r.rests.tables {
		x.row(&x.r.Tables[i])
	}
}

// row enters the row of a table of words, or that a table of numbers was read.
func (x *explainer) row(t *Table) {
	if t.By == "" {
		x.rests(t.Standing)
		return
	}
	i := x.r.Slot(t.By)
	if i < 0 || !x.t.slots.present[i] {
		return
	}
	word := x.word(i)
	row := t.rowOf(strings.ToLower(word))
	if row == nil { // then the table was silent, and so is the rule
		return
	}
	if row == t.Other && row.Value == 0 { // adds nothing, and Assumed has told of it
		x.rests(Standing{Source: row.Source})
		return
	}
	label := x.r.Inputs[i].Label + ": " + word
	if row.Value != 0 || row.Status != cite.CommonPractice {
		x.rests(row.Standing)
	}
	x.w.Used = append(x.w.Used, Entry{
		Name: t.Name, Label: label, Value: row.Value, Unit: t.Unit.String(), Amount: x.amount(row.Value, t.Unit, ""),
		Origin: working.Origin{Kind: working.Rulebook, Source: row.Source}, Standing: row.Standing,
	})
}

func (x *explainer) steps() {
	first := len(x.r.Inputs) + len(x.r.Constants)
	for i := range x.r.Steps {
		s := &x.r.Steps[i]
		e := Entry{Name: s.Key, Label: s.Label, Value: x.all[first+i].Number, Origin: working.Origin{Kind: working.Computed}}
		if s.Is.Value().Kind == formula.YesNo {
			e.Word = yesNo(e.Value)
		} else {
			e.Unit, e.Amount = s.Unit.String(), x.amount(e.Value, s.Unit, "")
		}
		x.w.Steps = append(x.w.Steps, e)
	}
}

func (x *explainer) terms() {
	for i := range x.r.Terms {
		t := &x.r.Terms[i]
		v, _ := t.Is.Number(x.all) // it had a value in the sum
		if v == 0 {
			v = 0 // and not minus nothing
		}
		p := Part{For: t.For, Label: t.Label, Value: v, Amount: x.amount(v, x.r.Unit, "")}
		for _, k := range t.rests.inputs {
			p.Assumed = p.Assumed || x.isAssumed(k)
		}
		x.w.Terms = append(x.w.Terms, p)
	}
}

func (x *explainer) isAssumed(i int) bool {
	if x.t.slots.in[i].Given {
		return x.t.origins[i].Kind == working.Assumed
	}
	d := x.r.Inputs[i].Default
	return d != nil && !d.Published
}

// mostSpans bounds how many spans are tried against each other.
const mostSpans = 8

// span finds the lowest and highest answer within the spans that the publication gives for its numbers.
func (x *explainer) span() {
	type ends struct {
		slot      int
		isInput   bool
		low, high float64
	}
	var all []ends
	for i, c := range x.r.Constants {
		if c.HasSpan() && !x.r.isOwn(c.Name) {
			all = append(all, ends{slot: len(x.r.Inputs) + i, low: c.Low, high: c.High})
		}
	}
	for i, in := range x.r.Inputs {
		if d := in.Default; d != nil && (d.Low != 0 || d.High != 0) && !x.t.slots.in[i].Given && !x.r.isOwn(string(in.Name)) {
			all = append(all, ends{slot: i, isInput: true, low: d.Low, high: d.High})
		}
	}
	if len(all) == 0 || len(all) > mostSpans {
		return
	}
	low, high := x.w.Value, x.w.Value
	s := x.t.slots.Clone()
	for corner := range 1 << len(all) {
		for k, e := range all {
			v := e.low
			if corner>>k&1 == 1 {
				v = e.high
			}
			if e.isInput {
				s.Set(e.slot, v)
			} else {
				s.all[e.slot].Number = v
			}
		}
		if v, why := x.r.Evaluate(s); why.Answered() {
			low, high = min(low, v), max(high, v)
		}
	}
	x.w.Low, x.w.High, x.w.HasRange = low, high, true
}

// notes are what the book says of this answer.
func (x *explainer) notes() {
	x.w.Notes = append(x.w.Notes, x.t.notes...)
	for i, in := range x.r.Inputs {
		if v := x.all[i].Number; in.Usual != nil && x.t.slots.present[i] && (v < in.Usual.Low-hair || v > in.Usual.High+hair) {
			x.w.Notes = append(x.w.Notes, in.Usual.Note)
		}
	}
	for i := range x.r.Remarks {
		m := &x.r.Remarks[i]
		if x.canAsk(m) {
			if yes, silent := m.When.YesNo(x.all); yes && silent.Why == formula.Answered {
				x.w.Notes = append(x.w.Notes, m.Say)
			}
		}
	}
	if x.w.Capped && x.r.Cap.Why != "" {
		x.w.Notes = append(x.w.Notes, sentence(x.r.Cap.Why))
	}
	if x.w.Floored && x.r.Floor.Why != "" {
		x.w.Notes = append(x.w.Notes, sentence(x.r.Floor.Why))
	}
}

// canAsk says that the condition of a remark names nothing that is missing, optional inputs apart.
func (x *explainer) canAsk(m *Remark) bool {
	for _, n := range m.written.is.Names() {
		if i := x.r.Slot(What(n)); i >= 0 && !x.t.slots.present[i] && !x.r.Inputs[i].Optional {
			return false
		}
	}
	return true
}

func (x *explainer) sources() {
	for _, k := range x.keys {
		if s, ok := x.r.Book.Source(k); ok {
			x.w.Sources = append(x.w.Sources, s)
		}
	}
}

// Text writes the entry's value for a reader: the word, or the number with its unit.
func (e Entry) Text() string {
	switch {
	case e.Word != "":
		return e.Word
	case e.Unit == "" || e.Unit == "1":
		return short(e.Value)
	default:
		return short(e.Value) + " " + e.Unit
	}
}
