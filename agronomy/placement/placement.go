// Package placement answers how a product is best put on a standing crop: spread dry, sprayed through flat
// fans, or let down in streams; how much of its nitrogen the residue ties up each way; and whether it costs
// a pass of its own.
//
// No published trial of streams against flat fans on top-dressed wheat was found that could be used. What
// is here is common practice, held under a bound from the carbon and nitrogen of the residue, with the
// direction confirmed by preplant trials (Kelley and Sweeney 2007). Every result says so.
//
// Injection and banding below the surface are left out: they are not for a standing crop. Nozzle sizes and
// the spread pattern of machines are other questions.
package placement

import (
	"fmt"

	"culm/agronomy/cite"
	"culm/agronomy/cover"
	"culm/agronomy/fertilizer"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"
)

// Way is a way of placing a product on the surface.
type Way = string

// The ways.
const (
	Broadcast Way = "broadcast" // dry, from a spreader
	FlatFan   Way = "flat-fan"  // liquid, covering leaves, residue and ground
	Stream    Way = "stream"    // liquid, in separate streams from bars or stream nozzles
)

// Ways lists them all.
func Ways() [3]Way { return [3]Way{Broadcast, FlatFan, Stream} }

// Question is a product for a field.
type Question struct {
	Product fertilizer.Product
	Crop    season.Crop
	// Residue is the share of ground showing residue; where it is missing, Tillage gives an assumption.
	Residue working.Fact[unit.Fraction]
	Tillage season.Tillage
	// PreviousCrop is what the residue is of; see CarbonToNitrogen and cover.Coefficient for crops they do
	// not list.
	PreviousCrop string
	// ResidueMass is dry residue lying; where it is missing it is reckoned from the cover.
	ResidueMass working.Fact[unit.Biomass]
	// Green is the share of ground under green leaf. Fans wet it; and where residue was not seen, what tillage lets one
	// expect of it shows only where no leaf hides it.
	Green working.Fact[unit.Fraction]
	// HerbicideDue says that a herbicide is to be sprayed anyhow at about this time.
	HerbicideDue bool
}

// Note is a remark with its source.
type Note struct {
	Text   string
	Source cite.Key
	Status cite.Status
}

// Result judges one way for a product on a field.
type Result struct {
	Way  Way
	Name string
	// Possible is false when the product cannot be placed so; Why says why. Then nothing else is set.
	Possible bool
	// Discouraged is set when it can, but practice is against it here; Why says why.
	Discouraged bool
	Why         string
	// Residue is the cover that was used, observed or assumed.
	Residue working.Fact[unit.Fraction]
	// TiedUp is the N that residue takes up this season, with its range.
	TiedUp, TiedUpLow, TiedUpHigh unit.Rate
	// ExtraPass is set when a herbicide is due and this way cannot carry it, so that a pass is driven which
	// flat fans would have shared.
	ExtraPass bool
	Notes     []Note
	// Source and Status are those of TiedUp.
	Source cite.Key
	Status cite.Status
}

// Judge answers for one way. It fails for an unknown way and for impossible figures.
func Judge(w Way, q Question) (Result, error) {
	name := nameOf(w)
	if name == "" {
		return Result{}, fmt.Errorf("placement: %q is not a way of placing; expected %q, %q or %q", w, Broadcast, FlatFan, Stream)
	}
	if v := q.Residue.Value; q.Residue.Known() && !(v >= 0 && v <= 1) {
		return Result{}, fmt.Errorf("placement: residue cover is %v; expected a share of ground from 0 to 1", v)
	}
	if v := q.Green.Value; q.Green.Known() && !(v >= 0 && v <= 1) {
		return Result{}, fmt.Errorf("placement: green cover is %v; expected a share of ground from 0 to 1", v)
	}
	if g, r := q.Green.Value, q.Residue.Value; q.Green.Known() && q.Residue.Known() && g+r > 1+coverSlack {
		return Result{}, fmt.Errorf("placement: %.0f %% green and %.0f %% residue; expected no more than all of the ground together", 100*float64(g), 100*float64(r))
	}
	if v := q.ResidueMass.Value; q.ResidueMass.Known() && !(v >= 0 && v <= cover.MostResidue) {
		return Result{}, fmt.Errorf("placement: residue is %v kg/ha; expected 0 to %v", float64(v), float64(cover.MostResidue))
	}
	r := Result{Way: w, Name: name}
	if why := impossible(w, q.Product); why != "" {
		r.Why = why
		return r, nil
	}
	r.Possible = true
	r.Residue = q.residue()
	r.tieUp(q)
	r.residueRule()
	r.ExtraPass = q.HerbicideDue && w != FlatFan
	r.note(q)
	return r, nil
}

// coverSlack is how far two covers seen by eye may add up over the whole.
const coverSlack = 0.05

// All judges the three ways.
func All(q Question) ([]Result, error) {
	var all []Result
	for _, w := range Ways() {
		r, err := Judge(w, q)
		if err != nil {
			return nil, err
		}
		all = append(all, r)
	}
	return all, nil
}

func nameOf(w Way) string {
	switch w {
	case Broadcast:
		return "broadcast"
	case FlatFan:
		return "flat fans"
	case Stream:
		return "streams"
	default:
		return ""
	}
}

func impossible(w Way, p fertilizer.Product) string {
	switch {
	case p.Form == fertilizer.Liquid && w == Broadcast:
		return p.Name + " is liquid; a dry spreader cannot carry it"
	case p.Form == fertilizer.Dry && w != Broadcast:
		return p.Name + " is dry; nozzles cannot carry it"
	default:
		return ""
	}
}

// Residue cover at which practice moves liquid from flat fans to streams: from about a quarter it is
// considered, above 30 % it is done. Common practice, no source.
const (
	streamsConsidered = unit.Fraction(0.25)
	streamsRule       = unit.Fraction(0.30)
)

func (r *Result) residueRule() {
	if r.Way != FlatFan {
		return
	}
	switch {
	case r.Residue.Value > streamsRule:
		r.Discouraged = true
		r.Why = fmt.Sprintf("%.0f %% of the ground shows residue; above about 30 %% liquid goes on in streams", 100*float64(r.Residue.Value))
	case r.Residue.Value >= streamsConsidered:
		r.Notes = append(r.Notes, Note{"at 25 to 30 % residue either flat fans or streams will do", cite.Practice, cite.CommonPractice})
	}
}
