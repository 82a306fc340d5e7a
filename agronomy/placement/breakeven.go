package placement

import (
	"errors"
	"fmt"
	"math"

	"culm/agronomy/cite"
	"culm/agronomy/cover"
	"culm/agronomy/fertilizer"
	"culm/agronomy/unit"
	"culm/agronomy/working"
)

// Weighing sets streams against flat fans for a liquid on a field: what streams keep of the nitrogen, against the pass
// that they may take for themselves.
type Weighing struct {
	Question
	Rate unit.Rate
	// Price is what a mass of nitrogen costs, delivered.
	Price unit.PricePerMass
	// Pass is what a pass of the herbicide alone would cost, charged to streams where a herbicide is due, because
	// streams cannot carry it.
	Pass unit.MoneyPerArea
	// LostFans and LostStreams are the shares of the nitrogen lost as ammonia, by product, ground, residue and weather
	// of the day: what the table of days says. No published trial tells fans and streams apart; who has none of their
	// own gives the same for both.
	LostFans, LostStreams unit.Fraction
}

// Verdict is what comes of a weighing. Money is per area.
type Verdict struct {
	Fans, Streams Result
	// Saved is the nitrogen that streams bring to the crop over fans at the same rate; it can be below zero where the
	// streams' own loss is given higher.
	Saved unit.Rate
	// Worth is what replacing it would cost, Pass the extra pass, Net the one less the other.
	Worth, Pass, Net unit.MoneyPerArea
	// FromResidue is the residue from which streams pay. HasFromResidue is false where no residue is enough; it is zero
	// where they pay on bare ground.
	FromResidue    unit.Fraction
	HasFromResidue bool
	// FromPrice is the price of nitrogen from which they pay on this field; false where they save nothing.
	FromPrice    unit.PricePerMass
	HasFromPrice bool
	// Practice is what common practice does: streams above 30 % residue, either from 25 %, fans below. AsPractice says
	// that the money says the same.
	Practice   string
	AsPractice bool
}

// StreamsPay says that streams bring more than they cost.
func (v *Verdict) StreamsPay() bool { return v.Net > 0 }

// Weigh fails for a product that is not liquid and for figures that cannot be.
func (w Weighing) Weigh() (Verdict, error) {
	if err := w.check(); err != nil {
		return Verdict{}, err
	}
	var v Verdict
	var err error
	if v.Fans, err = Judge(FlatFan, w.Question); err != nil {
		return Verdict{}, err
	}
	if v.Streams, err = Judge(Stream, w.Question); err != nil {
		return Verdict{}, err
	}
	v.Saved = v.Fans.TiedUp - v.Streams.TiedUp + w.lossSaved()
	if v.Streams.ExtraPass {
		v.Pass = w.Pass
	}
	v.Worth = unit.MoneyPerArea(float64(v.Saved) * float64(w.value(w.Price)))
	v.Net = v.Worth - v.Pass
	v.FromResidue, v.HasFromResidue = w.BreakEvenResidue(w.Price)
	if v.Saved > 0 {
		v.FromPrice, v.HasFromPrice = unit.PricePerMass(float64(v.Pass)/float64(v.Saved))*unit.PricePerMass(1-w.LostStreams), true
	}
	v.practice()
	return v, nil
}

func (w Weighing) check() error {
	var errs []error
	if w.Product.Form != fertilizer.Liquid {
		errs = append(errs, fmt.Errorf("placement: %s is dry; streams and fans are ways of a liquid", w.Product.Name))
	}
	for _, f := range []struct {
		name string
		v    float64
		most float64
	}{
		{"rate", float64(w.Rate), 1000},
		{"price of nitrogen", float64(w.Price), math.MaxFloat64},
		{"cost of the pass", float64(w.Pass), math.MaxFloat64},
		{"loss by fans", float64(w.LostFans), 0.99},
		{"loss by streams", float64(w.LostStreams), 0.99},
	} {
		if !(f.v >= 0 && f.v <= f.most) {
			errs = append(errs, fmt.Errorf("placement: the %s is %.4g; expected 0 or more, and an amount that can be", f.name, f.v))
		}
	}
	return errors.Join(errs...)
}

// lossSaved is what streams lose less as ammonia.
func (w Weighing) lossSaved() unit.Rate { return w.Rate * unit.Rate(w.LostFans-w.LostStreams) }

// value is what bringing a mass of nitrogen to the crop costs: some of what is bought for it is lost on the way.
func (w Weighing) value(price unit.PricePerMass) unit.PricePerMass {
	return price / unit.PricePerMass(1-w.LostStreams)
}

func (v *Verdict) practice() {
	switch r := v.Fans.Residue.Value; {
	case r > streamsRule:
		v.Practice, v.AsPractice = "streams, above 30 % residue", v.StreamsPay()
	case r >= streamsConsidered:
		v.Practice, v.AsPractice = "either, at 25 to 30 % residue", true
	default:
		v.Practice, v.AsPractice = "fans, below 25 % residue", !v.StreamsPay()
	}
}

// BreakEvenResidue is the residue from which streams pay at a price of nitrogen. The mass of the residue goes with its
// cover, whatever mass was seen.
//
// What must be saved is x = pass ÷ value − loss saved. With r the cover, F the 10 lb/ac of ground wholly covered, s the
// most that the residue of a cover can take up for each of −ln(1 − r), and streams touching a fifth of what fans do
// (two fifths at most):
//
//	neither way bounded by the residue's carbon   x = 0.8 F r
//	both bounded                                  x = −0.6 s ln(1 − r)
//	fans alone bounded                            x = −s ln(1 − r) − 0.2 F r
//
// The third has no closed form and is halved into. It is false where all the ground covered would not be enough.
func (w Weighing) BreakEvenResidue(price unit.PricePerMass) (unit.Fraction, bool) {
	need := w.needed(price)
	if need <= 0 {
		return 0, true
	}
	if need > w.saved(1) || math.IsNaN(need) {
		return 0, false
	}
	f, fans, streams := float64(fullTieUp), 1.0, 0.2
	slope := w.slope()
	_, most := touch(Stream)
	if r := need / ((fans - streams) * f); r <= 1 && w.bounds(r) == (bounded{}) {
		return unit.Fraction(r), true
	}
	if r := -math.Expm1(-need / ((1 - float64(most)) * slope)); w.bounds(r) == (bounded{true, true}) {
		return unit.Fraction(r), true
	}
	low, high := 0.0, 1.0 // what is saved grows with residue
	for range 60 {
		if m := (low + high) / 2; w.saved(m) < need {
			low = m
		} else {
			high = m
		}
	}
	return unit.Fraction(high), true
}

// needed is the nitrogen in kg/ha that less tie-up must save, for the pass to be paid.
func (w Weighing) needed(price unit.PricePerMass) float64 {
	if !w.HerbicideDue || w.Pass == 0 {
		return -float64(w.lossSaved())
	}
	return float64(w.Pass)/float64(w.value(price)) - float64(w.lossSaved())
}

// saved is the tie-up in kg/ha that streams save at a cover.
func (w Weighing) saved(residue float64) float64 {
	at := w.at(residue)
	fans, streams := Result{Way: FlatFan, Residue: at.Residue}, Result{Way: Stream, Residue: at.Residue}
	fans.tieUp(at)
	streams.tieUp(at)
	return float64(fans.TiedUp - streams.TiedUp)
}

// at is the question with another cover of residue.
func (w Weighing) at(residue float64) Question {
	q := w.Question
	q.Residue = working.Fact[unit.Fraction]{Value: unit.Fraction(residue), Origin: working.Origin{Kind: working.Setting}}
	q.ResidueMass = working.Fact[unit.Biomass]{}
	return q
}

// slope is the most nitrogen in kg/ha that residue can take up for each of −ln(1 − cover).
func (w Weighing) slope() float64 {
	perCover := unit.Biomass(1 / float64(cover.Coefficient(w.PreviousCrop)))
	return max(0, float64(Immobilized(perCover, decayedByMaturity, CarbonToNitrogen(w.PreviousCrop))))
}

// bounded says for which ways the residue's carbon bounds the tie-up.
type bounded struct{ fans, streams bool }

func (w Weighing) bounds(residue float64) bounded {
	bound := w.at(residue).bound(unit.Fraction(residue))
	is := func(way Way) bool {
		expected, most := touch(way)
		return fullTieUp*expected*unit.Rate(residue) > most*bound
	}
	return bounded{is(FlatFan), is(Stream)}
}

// PracticeBand is the residue at which common practice changes from fans to streams: from a quarter either will do, above
// 30 % it is streams. Common practice, no source.
func PracticeBand() (low, high unit.Fraction) { return streamsConsidered, streamsRule }

// Point is a place on the line between fans and streams: at this price of nitrogen streams pay from this residue on.
type Point struct {
	Price   unit.PricePerMass
	Residue unit.Fraction
	// Never says that no residue is enough.
	Never bool
}

// Curve draws the line over prices of nitrogen from low to high, in so many points.
func (w Weighing) Curve(low, high unit.PricePerMass, points int) []Point {
	curve := make([]Point, 0, max(0, points))
	for i := range points {
		price := low
		if points > 1 {
			price += (high - low) * unit.PricePerMass(i) / unit.PricePerMass(points-1)
		}
		r, ok := w.BreakEvenResidue(price)
		curve = append(curve, Point{Price: price, Residue: r, Never: !ok})
	}
	return curve
}

// The figures of a weighing.
const (
	SavedFigure       working.ID = "placement.saved"
	WorthFigure       working.ID = "placement.worth"
	NetFigure         working.ID = "placement.net"
	FromResidueFigure working.ID = "placement.from-residue"
	FromPriceFigure   working.ID = "placement.from-price"
)

// Work enters a weighing in a ledger and says in one sentence why streams or fans.
func (v *Verdict) Work(l *working.Ledger, w Weighing) working.Sentence {
	computed, set := working.Origin{Kind: working.Computed}, working.Origin{Kind: working.Setting}
	in := func(label string, a working.Amount, o working.Origin) working.Input {
		return working.Input{Label: label, Amount: a, Origin: o}
	}
	residue := v.Fans.Residue.Input("residue showing")
	saved := l.Add(working.Figure{
		ID: SavedFigure, Label: "Nitrogen that streams save", Amount: working.Of(v.Saved),
		Expression: "tied up by fans − tied up by streams + rate × (lost by fans − lost by streams)",
		Inputs: []working.Input{
			residue, in("tied up by fans", working.Of(v.Fans.TiedUp), computed), in("tied up by streams", working.Of(v.Streams.TiedUp), computed),
			in("rate", working.Of(w.Rate), set), in("lost by fans", working.Of(w.LostFans), computed), in("lost by streams", working.Of(w.LostStreams), computed),
		},
		Source: v.Fans.Source, Status: v.Fans.Status,
		Notes: []string{"Common practice says 10 lb N/ac lost to residue that covers the ground; no trial of top-dressed streams against fans was found."},
	})
	price := in("price of nitrogen", working.Of(w.Price).As(unit.KindNutrientPrice), set)
	pass := in("extra pass", working.Of(v.Pass).As(unit.KindPassPrice), set)
	worth := l.Add(working.Figure{
		ID: WorthFigure, Label: "Worth of what streams save", Amount: working.Of(v.Worth).As(unit.KindPassPrice), Expression: "saved × price of nitrogen ÷ (1 − lost)",
		Inputs: []working.Input{saved.Ref(), price, in("lost by streams", working.Of(w.LostStreams), computed)}, Source: cite.Practice, Status: cite.Derived,
	})
	l.Add(working.Figure{
		ID: NetFigure, Label: "Net of streams over fans", Amount: working.Of(v.Net).As(unit.KindPassPrice), Expression: "worth of what they save − extra pass",
		Inputs: []working.Input{worth.Ref(), pass}, Source: cite.Practice, Status: cite.Derived,
	})
	if v.HasFromResidue {
		l.Add(working.Figure{
			ID: FromResidueFigure, Label: "Residue from which streams pay", Amount: working.Of(v.FromResidue), Expression: "the cover at which what they save is worth the extra pass",
			Inputs: []working.Input{price, pass}, Source: v.Fans.Source, Status: v.Fans.Status,
		})
	}
	if v.HasFromPrice {
		l.Add(working.Figure{
			ID: FromPriceFigure, Label: "Price of nitrogen from which streams pay here", Amount: working.Of(v.FromPrice).As(unit.KindNutrientPrice), Expression: "extra pass ÷ saved × (1 − lost)",
			Inputs: []working.Input{pass, saved.Ref()}, Source: v.Fans.Source, Status: v.Fans.Status,
		})
	}
	return v.sentence(l, residue)
}

// sentence says why in one.
func (v *Verdict) sentence(l *working.Ledger, residue working.Input) working.Sentence {
	get := func(id working.ID) working.Figure { f, _ := l.Get(id); return f }
	seen := l.Add(working.Figure{ID: "placement.residue", Label: "Residue showing", Amount: residue.Amount, Origin: residue.Origin})
	s := working.Sentence{working.Words("With "), working.Number(seen), working.Words(" residue showing, streams keep "), working.Number(get(SavedFigure)), working.Words(" more nitrogen for the crop than fans, worth "), working.Number(get(WorthFigure))}
	if v.Pass == 0 {
		return append(s, working.Words(", and take no pass more: streams."))
	}
	pass := l.Add(working.Figure{ID: "placement.pass", Label: "Extra pass", Amount: working.Of(v.Pass).As(unit.KindPassPrice), Origin: working.Origin{Kind: working.Setting}})
	s = append(s, working.Words("; a pass of their own beside the herbicide's costs "), working.Number(pass))
	if v.StreamsPay() {
		return append(s, working.Words(": streams."))
	}
	s = append(s, working.Words(": by the money fans"))
	if v.HasFromPrice {
		s = append(s, working.Words(", unless nitrogen costs "), working.Number(get(FromPriceFigure)))
	}
	if !v.AsPractice {
		return append(s, working.Words("; common practice is "+v.Practice+"."))
	}
	return append(s, working.Words("."))
}
