package rulebook

import (
	"culm/agronomy/cite"
	"culm/agronomy/rulebook/formula"
	"culm/agronomy/rulebook/quantity"
	"culm/agronomy/unit"
	"culm/agronomy/working"
)

// explainer writes the account of one answer.
type explainer struct {
	r      *Rule
	t      *taken
	w      *Worked
	all    []formula.Slot
	bushel quantity.Bushel
	reads  reads
	// keys are the publications used so far, followed those behind numbers that other rules gave.
	keys     []cite.Key
	followed []cite.Source
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
	x.reads = reads{}
	x.looked(x.r.Answer)
	for i := range x.r.Terms {
		x.looked(x.r.Terms[i].Is)
	}
	for i := range x.r.Steps {
		x.looked(x.r.Steps[i].Is)
	}
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
		x.followed = append(x.followed, x.t.sources[i]...)
		x.w.Inputs = append(x.w.Inputs, e)
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
	x.looked(d.Is)
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
				x.rests(m.Standing)
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
