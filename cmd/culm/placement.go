package main

import (
	"fmt"
	"io"

	"culm/advice"
	"culm/agronomy/cite"
	"culm/agronomy/fertilizer"
	"culm/agronomy/placement"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"
	"culm/server/picture"
)

type placementCommand struct {
	Product      string                   `help:"The liquid." default:"uan-28" placeholder:"KEY"`
	Rate         given[unit.Rate]         `help:"Nitrogen to spread, as 50lb/ac." required:"" placeholder:"RATE"`
	Residue      given[unit.Fraction]     `help:"Ground showing residue, as 45%; from --tillage when not given." placeholder:"SHARE"`
	Green        given[unit.Fraction]     `help:"Ground under green leaf, as 40%." placeholder:"SHARE"`
	Tillage      string                   `help:"no-till, reduced or tilled." enum:",no-till,reduced,tilled" default:""`
	PreviousCrop string                   `help:"What the residue is of." default:"wheat" placeholder:"CROP"`
	Crop         string                   `help:"What grows." enum:"wheat-grain,wheat-grazed,wheat-graze-out,canola" default:"wheat-grain"`
	Price        given[unit.PricePerMass] `help:"What nitrogen costs, delivered, as 0.65$/lb." required:"" placeholder:"PRICE"`
	Herbicide    bool                     `help:"A herbicide is due: fans share its pass, streams take one of their own."`
	Pass         given[unit.MoneyPerArea] `help:"What that pass costs, as 9$/ac." placeholder:"PRICE"`
	Lost         given[unit.Fraction]     `help:"Lost as ammonia by either way, as 8%; see culm days." placeholder:"SHARE"`
	LostStreams  given[unit.Fraction]     `help:"Lost by streams, where you know it apart." placeholder:"SHARE"`
	SVG          string                   `name:"svg" help:"Draw the line between fans and streams into this file." placeholder:"FILE"`
	Units        string                   `enum:"us,metric" default:"us" help:"Units to read: us or metric."`
	Working      bool                     `help:"Print how each number came about."`
	JSON         bool                     `name:"json" help:"Print the weighing as JSON."`
}

// placementJSON is the machine-readable weighing. Amounts are in base units: kg/ha, currency/ha, currency/kg; shares are of 1.
type placementJSON struct {
	Version     string         `json:"version"` // culm.placement/1
	Saved       float64        `json:"saved_kg_ha"`
	Worth       float64        `json:"worth_per_ha"`
	Pass        float64        `json:"pass_per_ha"`
	Net         float64        `json:"net_per_ha"`
	FromResidue *float64       `json:"fromResidue,omitempty"`
	FromPrice   *float64       `json:"fromPrice_per_kg,omitempty"`
	Practice    string         `json:"practice"`
	AsPractice  bool           `json:"asPractice"`
	Curve       []pointJSON    `json:"curve"`
	Fans        []sourcedNote  `json:"fans"`
	Streams     []sourcedNote  `json:"streams"`
	Figures     working.Ledger `json:"figures"`
}

type pointJSON struct {
	Price   float64  `json:"price_per_kg"`
	Residue *float64 `json:"fromResidue,omitempty"` // absent where no residue is enough
}

type sourcedNote struct {
	Text   string      `json:"text"`
	Source cite.Key    `json:"source"`
	Status cite.Status `json:"status"`
}

// linePoints is in how many points the line is drawn and told: prices up to four times the one given.
const linePoints = 97

// Run weighs streams against fans.
func (c *placementCommand) Run(d *door) error {
	w, err := c.weighing()
	if err != nil {
		return exitError{exitBadInput, err}
	}
	v, err := w.Weigh()
	if err != nil {
		return exitError{exitBadInput, err}
	}
	var l working.Ledger
	why := v.Work(&l, w)
	curve := w.Curve(w.Price/4, 4*w.Price, linePoints)
	units := unit.System(c.Units)
	err = writeIf(c.SVG, func(out io.Writer) error {
		return picture.BreakEven(out, "Where streams pay for the pass they take", curve, w.Price, v.Fans.Residue.Value, units)
	})
	if err != nil {
		return err
	}
	if c.JSON {
		return printJSON(d.out, placementDocument(&v, curve, l))
	}
	t := terminal{w: d.out, units: units}
	t.wrap("", "  ", why.Read(&l, units))
	t.placement(&v, curve)
	if c.Working {
		t.figures(&advice.Plan{Figures: l})
	}
	return nil
}

func (c *placementCommand) weighing() (placement.Weighing, error) {
	p, ok := fertilizer.Find(c.Product)
	if !ok {
		return placement.Weighing{}, fmt.Errorf("there is no product %q; expected uan-28 or uan-32", c.Product)
	}
	if c.Herbicide && !c.Pass.Given {
		return placement.Weighing{}, fmt.Errorf("with --herbicide streams take a pass of their own; give its cost with --pass, as 9$/ac")
	}
	seen := func(g given[unit.Fraction]) working.Fact[unit.Fraction] {
		if !g.Given {
			return working.Fact[unit.Fraction]{}
		}
		return working.Fact[unit.Fraction]{Value: g.Value, Origin: working.Origin{Kind: working.Setting}}
	}
	w := placement.Weighing{
		Question: placement.Question{
			Product: p, Crop: season.Crop(c.Crop), Residue: seen(c.Residue), Green: seen(c.Green), Tillage: season.Tillage(c.Tillage),
			PreviousCrop: c.PreviousCrop, HerbicideDue: c.Herbicide,
		},
		Rate: c.Rate.Value, Price: c.Price.Value, Pass: c.Pass.Value, LostFans: c.Lost.Value, LostStreams: c.Lost.Value,
	}
	if c.LostStreams.Given {
		w.LostStreams = c.LostStreams.Value
	}
	return w, nil
}

func placementDocument(v *placement.Verdict, curve []placement.Point, l working.Ledger) placementJSON {
	number := func(x float64, known bool) *float64 {
		if !known {
			return nil
		}
		return &x
	}
	doc := placementJSON{
		Version: "culm.placement/1", Saved: float64(v.Saved), Worth: float64(v.Worth), Pass: float64(v.Pass), Net: float64(v.Net),
		FromResidue: number(float64(v.FromResidue), v.HasFromResidue), FromPrice: number(float64(v.FromPrice), v.HasFromPrice),
		Practice: v.Practice, AsPractice: v.AsPractice, Figures: l,
	}
	for _, p := range curve {
		doc.Curve = append(doc.Curve, pointJSON{float64(p.Price), number(float64(p.Residue), !p.Never)})
	}
	for _, n := range v.Fans.Notes {
		doc.Fans = append(doc.Fans, sourcedNote(n))
	}
	for _, n := range v.Streams.Notes {
		doc.Streams = append(doc.Streams, sourcedNote(n))
	}
	return doc
}

// placement prints the break-evens, the line, and what to mind of either way.
func (t terminal) placement(v *placement.Verdict, curve []placement.Point) {
	if v.HasFromResidue {
		t.wrap("", "  ", fmt.Sprintf("At this price of nitrogen streams pay from %.0f %% residue on.", 100*float64(v.FromResidue)))
	} else {
		t.wrap("", "  ", "At this price of nitrogen streams never pay, whatever the residue.")
	}
	t.wrap("", "  ", "Common practice, no source: "+v.Practice+"; 10 lb N/ac lost to residue that covers the ground.")
	fmt.Fprintln(t.w, "\n  nitrogen     streams pay from")
	for i, p := range curve {
		if i%12 > 0 {
			continue
		}
		from := fmt.Sprintf("%.0f %% residue", 100*float64(p.Residue))
		if p.Never {
			from = "never, whatever the residue"
		}
		fmt.Fprintf(t.w, "  %-11s  %s\n", unit.Show(unit.KindNutrientPrice, float64(p.Price), t.units), from)
	}
	for _, r := range []*placement.Result{&v.Fans, &v.Streams} {
		for _, n := range r.Notes {
			t.wrap("  "+r.Name+": ", "       ", n.Text+" ["+string(n.Status)+"]")
		}
	}
}
