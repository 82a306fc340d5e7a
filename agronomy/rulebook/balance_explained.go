package rulebook

import (
	"strconv"
	"strings"

	"culm/agronomy/cite"
	"culm/agronomy/unit"
	"culm/agronomy/working"
)

func (f *Balance) explain(b *Book, in *Inputs, w *Worked) {
	t := f.terms(b, in, f.PerYield.Value, f.perPercent())
	w.Inputs = make([]working.Input, 0, 12)
	w.Balance.Supplies = make([]Supply, 0, 8)
	f.explainYield(b, in, w)
	f.explainSoil(b, in, w, t)
	f.explainHistory(b, in, w, t)
	f.explainCattle(b, in, w, t)
	f.explainApplied(b, in, w, t)
	if low, high, ok := f.span(b, in); ok {
		w.Low, w.High, w.HasRange = low, high, true
	}
}

// supplies enters a signed term of the balance in the account.
func (w *Worked) supplies(b *Book, what What, label string, term float64, assumed bool) {
	w.Balance.Supplies = append(w.Balance.Supplies, Supply{what, label, unit.Rate(0-term) * b.Units.Rate.rate(), assumed})
}

func (f *Balance) explainYield(b *Book, in *Inputs, w *Worked) {
	perUnit := float64(b.Units.Rate.rate()) / float64(b.Units.Yield.yield())
	w.Balance.Known = true
	w.Balance.PerYield = unit.NitrogenPerYield(f.PerYield.Value * perUnit)
	w.Balance.Yield = in.YieldGoal.Value
	inputAs(w, "yield goal", in.YieldGoal, in.Crop.YieldKind())
	numberAs(w, b, "nitrogen counted for the yield", w.Balance.PerYield, f.PerYield, perYieldKind(in))
	if f.Constant != nil {
		number(w, b, "constant", unit.Rate(f.Constant.Value)*b.Units.Rate.rate(), *f.Constant)
		w.supplies(b, Constant, "the constant of the form", f.Constant.Value, false)
	}
}

func (f *Balance) explainSoil(b *Book, in *Inputs, w *Worked, t balanceTerms) {
	if f.Nitrate != nil {
		input(w, f.Nitrate.label("nitrate"), in.Nitrate)
		w.rests(f.Nitrate.Credit.Status)
		w.supplies(b, Nitrate, "soil nitrate", t.nitrate, isAssumed(in.Nitrate))
	}
	if f.Ammonium != nil {
		input(w, f.Ammonium.label("ammonium"), in.Ammonium)
		w.rests(f.Ammonium.Credit.Status)
		w.supplies(b, Ammonium, "soil ammonium", t.ammonium, isAssumed(in.Ammonium))
	}
	if o := f.OrganicMatter; o != nil {
		inputAs(w, "organic matter", in.OrganicMatter, unit.KindShare)
		if o.Credit != nil {
			number(w, b, "credit for each 1 % of organic matter", unit.Rate(o.Credit.Value)*b.Units.Rate.rate(), *o.Credit)
		}
		for _, s := range o.Steps {
			w.rests(s.Status)
		}
		w.supplies(b, OrganicMatter, "organic matter", t.organic, isAssumed(in.OrganicMatter))
	}
}

func (f *Balance) explainHistory(b *Book, in *Inputs, w *Worked, t balanceTerms) {
	if f.PreviousCrop != nil {
		known := w.choice(b, f.PreviousCrop, "previous crop", in.PreviousCrop, t.previous)
		w.supplies(b, PreviousCrop, "previous crop", t.previous, !known)
	}
	if f.Tillage != nil {
		known := w.choice(b, f.Tillage, "tillage", string(in.Tillage), t.tillage)
		w.supplies(b, Tillage, "tillage", t.tillage, !known)
	}
	switch {
	case f.Stubble == nil:
	case in.Stubble.Known():
		input(w, "stubble", in.Stubble)
		number(w, b, "nitrogen for each thousand of stubble", unit.Rate(f.Stubble.Value)*b.Units.Rate.rate(), *f.Stubble)
		w.supplies(b, Stubble, "stubble", t.stubble, false)
	default:
		w.assume("stubble", "not measured; nothing is added for it")
	}
}

// choice notes what previous crop or tillage added, or that it added nothing for want of an answer.
func (w *Worked) choice(b *Book, c *Choices, label, name string, term float64) (known bool) {
	if name == "" {
		w.assume(label, "not noted; nothing is added or taken off")
		return false
	}
	row := c.row(name)
	if row == nil {
		w.assume(label, "no figure for "+name+" in this book; nothing is added or taken off")
		return false
	}
	status := c.Status
	if row.Status != "" {
		status = row.Status
	}
	number(w, b, label+": "+name, unit.Rate(term)*b.Units.Rate.rate(), Coefficient{Source: c.Source, Status: status})
	return true
}

func (f *Balance) explainCattle(b *Book, in *Inputs, w *Worked, t balanceTerms) {
	switch {
	case !in.Crop.IsGrazed():
	case f.Grazing == nil:
		w.Notes = append(w.Notes, "This way makes no allowance for what the cattle took.")
	case in.Gain.Known():
		input(w, "live weight gained", in.Gain)
		// Nitrogen per gain has no kind of its own; the number is given for a hundred, as it is printed.
		number(w, b, "nitrogen for each hundred of gain", unit.Rate(100*f.Grazing.Value)*b.Units.Rate.rate(), *f.Grazing)
		w.supplies(b, LiveGain, "grazing", t.grazing, false)
	default:
		w.assume("live weight gained", "not recorded; nothing is added for grazing")
	}
}

func (f *Balance) explainApplied(b *Book, in *Inputs, w *Worked, t balanceTerms) {
	if !in.Applied.Known() {
		return
	}
	input(w, "nitrogen already applied", in.Applied)
	if most := f.MostApplied; most != nil && in.AppliedInFall > unit.Rate(most.Value)*b.Units.Rate.rate() {
		number(w, b, "most that is subtracted of what was applied in fall", unit.Rate(most.Value)*b.Units.Rate.rate(), *most)
	}
	w.supplies(b, Applied, "nitrogen already applied", t.applied, isAssumed(in.Applied))
}

func perYieldKind(in *Inputs) unit.Kind {
	if in.Crop.IsWheat() {
		return unit.KindPerWheat
	}
	return unit.KindPerCanola
}

func (f *Balance) words(b *Book) string {
	var s formula
	s.term(f.PerYield.Value, "yield goal")
	if f.Constant != nil {
		s.term(f.Constant.Value, "")
	}
	if f.Nitrate != nil {
		s.term(-f.Nitrate.Credit.Value, "soil nitrate")
	}
	if f.Ammonium != nil {
		s.term(-f.Ammonium.Credit.Value, "soil ammonium")
	}
	switch o := f.OrganicMatter; {
	case o == nil:
	case o.Credit == nil:
		s.text(" ± step for organic matter")
	case o.Base != 0:
		s.term(-o.Credit.Value, "(organic matter % − "+plain(o.Base)+")")
	default:
		s.term(-o.Credit.Value, "organic matter %")
	}
	if f.PreviousCrop != nil {
		s.text(" + previous crop")
	}
	if f.Tillage != nil {
		s.text(" + tillage")
	}
	if f.Grazing != nil {
		s.term(f.Grazing.Value, "live weight gained")
	}
	if f.Stubble != nil {
		s.term(f.Stubble.Value, "stubble ÷ 1,000")
	}
	s.text(" − nitrogen already applied")
	if f.MostApplied != nil {
		s.text(" (in fall at most " + plain(f.MostApplied.Value) + ")")
	}
	s.text(", not below 0; in " + string(b.Units.Rate) + ", yield in " + b.Units.Yield.short())
	return s.String()
}

// formula writes signed terms one after the other.
type formula struct{ strings.Builder }

func (s *formula) text(t string) { s.WriteString(t) }

func (s *formula) term(v float64, name string) {
	switch {
	case v < 0 && s.Len() == 0:
		s.text("−")
	case v < 0:
		s.text(" − ")
	case s.Len() > 0:
		s.text(" + ")
	}
	v = max(v, -v)
	switch {
	case name == "":
		s.text(plain(v))
	case v == 1:
		s.text(name)
	default:
		s.text(plain(v) + " × " + name)
	}
}

// plain writes a number as it is printed: 2.4, 0.05, 13.
func plain(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// weaker picks the status that carries less.
func weaker(a, b cite.Status) cite.Status {
	if strength(b) < strength(a) {
		return b
	}
	return a
}

func strength(s cite.Status) int {
	switch s {
	case cite.Confirmed:
		return 5
	case cite.Quoted:
		return 4
	case cite.Derived:
		return 3
	case cite.FromMemory:
		return 2
	case cite.CommonPractice:
		return 1
	default:
		return 6 // nothing stated yet
	}
}
