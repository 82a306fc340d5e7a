package main

import (
	"fmt"

	"culm/advice"
	"culm/agronomy/fertilizer"
	"culm/agronomy/unit"
	"culm/agronomy/working"
)

type productsCommand struct {
	fieldsAsked

	Delivery given[unit.PricePerMass] `help:"Delivery charged for the product, as 15$/ton." placeholder:"PRICE"`
	Sulfur   given[unit.PricePerMass] `help:"What sulfur is worth to the field, as 0.30$/lb; nothing when not given." placeholder:"PRICE"`
	Working  bool                     `help:"Print how each number came about."`
	JSON     bool                     `name:"json" help:"Print the comparison as JSON."`
}

// fieldProducts is the comparison of one field in JSON. Amounts are in base units: kg/ha, currency/ha, currency/kg.
type fieldProducts struct {
	Field    string               `json:"field"`
	Products []advice.ProductCost `json:"products"`
	Figures  working.Ledger       `json:"figures"`
}

// Run compares the products for every field asked for.
func (c *productsCommand) Run(d *door) error {
	o, err := c.open(d)
	if err != nil {
		return err
	}
	t := terminal{w: d.out, units: o.units, working: c.Working}
	var out []fieldProducts
	for _, fs := range o.fields {
		plan := o.advisor.Advise(fs)
		f := fieldProducts{Field: fs.Field.ID}
		f.Products = advice.CompareProducts(&plan, fs, advice.Charges{Delivery: c.Delivery.Value, Sulfur: c.Sulfur.Value}, &f.Figures)
		if out = append(out, f); !c.JSON {
			t.products(&plan, &f)
		}
	}
	if c.JSON {
		return printJSON(d.out, map[string]any{"version": "culm.products/1", "fields": out})
	}
	return nil
}

// products prints what nitrogen costs that reaches the crop.
func (t terminal) products(p *advice.Plan, f *fieldProducts) {
	fmt.Fprintf(t.w, "%s — %s, %s\n", p.Field.Name, p.Producer.Name, p.Field.Crop)
	if len(f.Products) == 0 {
		t.wrap("  ", "  ", "No products to compare: "+p.Sentence.Read(&p.Figures, t.units))
		fmt.Fprintln(t.w)
		return
	}
	show := func(k unit.Kind, base float64) string { return unit.Show(k, base, t.units).String() }
	reaching := f.Products[0].Cost.Reaching
	t.wrap("  ", "  ", "For "+show(unit.KindRate, float64(reaching))+" of nitrogen that reaches the crop (> as advised):")
	for _, c := range f.Products {
		mark := " "
		if c.Chosen {
			mark = ">"
		}
		fmt.Fprintf(t.w, "   %s %s, %s\n", mark, c.Name, c.Placement)
		t.wrap("       ", "       ", fmt.Sprintf("%s; buy %s, %s lost, %s tied up; nitrogen %s bought, %s reaching the crop",
			show(unit.KindPassPrice, float64(c.Cost.Total)), show(unit.KindRate, float64(c.Cost.Rate)), show(unit.KindFraction, float64(c.Fate.Lost)), show(unit.KindRate, float64(c.Fate.TiedUp)),
			show(unit.KindNutrientPrice, float64(c.Cost.PerBought)), show(unit.KindNutrientPrice, float64(c.Cost.PerReached))))
		if c.HasSwitchOver {
			words := "cheaper than what is advised below " + show(unit.KindProductPrice, float64(c.SwitchOver)) + "; now " + show(unit.KindProductPrice, float64(c.Offer.Price))
			if c.SwitchOver <= 0 {
				words = "dearer than what is advised at any price: its pass alone costs more"
			}
			t.wrap("       ", "       ", words)
		}
	}
	t.wrap("  ", "  ", "Each is bought so that the same nitrogen reaches the crop, on its own best day; a plan spreads the published rate of any and does not raise it for what is lost.")
	if t.working {
		t.figures(&advice.Plan{Figures: f.Figures})
	}
	fmt.Fprintln(t.w)
}

type blendCommand struct {
	Base    string             `arg:"" help:"The product that carries the nitrogen, such as uan-28."`
	Carrier string             `arg:"" help:"The product that carries the sulfur, such as ammonium-thiosulfate."`
	NToS    float64            `name:"n-to-s" help:"Parts of nitrogen to one of sulfur, by mass." default:"8"`
	N       given[unit.Rate]   `name:"n" help:"Nitrogen to spread, as 40lb/ac; tells the gallons." placeholder:"RATE"`
	Tank    given[unit.Volume] `help:"A tank to fill, as 1000gal; tells what goes into it." placeholder:"VOLUME"`
	Units   string             `enum:"us,metric" default:"us" help:"Units to read: us or metric."`
	JSON    bool               `name:"json" help:"Print the blend as JSON."`
}

// Run mixes and prints.
func (c *blendCommand) Run(d *door) error {
	var parts [2]fertilizer.Product
	for i, key := range []string{c.Base, c.Carrier} {
		p, ok := fertilizer.Find(key)
		if !ok {
			return failWith(exitBadInput, "there is no product %q; expected urea, urea-inhibitor, uan-28, uan-32, ammonium-sulfate or ammonium-thiosulfate", key)
		}
		parts[i] = p
	}
	blend, shares, err := fertilizer.ForSulfur(parts[0], parts[1], unit.Ratio(c.NToS))
	if err != nil {
		return exitError{exitBadInput, err}
	}
	volumes := fertilizer.VolumeShare(shares)
	if c.JSON {
		return printJSON(d.out, map[string]any{
			"version": "culm.blend/1", "nToS": c.NToS, "nitrogen": float64(blend.Nitrogen.Value), "sulfur": float64(blend.Sulfur.Value),
			"urea": float64(blend.Urea.Value), "density_kg_l": float64(blend.Density.Value), "densityStatus": blend.Density.Status, "saltOutKnown": blend.SaltOut.Known(),
			"massShares": []float64{float64(shares[0].Share), float64(shares[1].Share)}, "volumeShares": []float64{float64(volumes[0]), float64(volumes[1])}, "cautions": blend.Cautions,
		})
	}
	c.print(d, blend, shares, volumes)
	return nil
}

func (c *blendCommand) print(d *door, blend fertilizer.Product, shares []fertilizer.Part, volumes []unit.Fraction) {
	t := terminal{w: d.out, units: unit.System(c.Units)}
	show := func(k unit.Kind, base float64) string { return unit.Show(k, base, t.units).String() }
	t.wrap("", "  ", fmt.Sprintf("%.1f %% of the mass %s, %.1f %% %s: %.2f %% N, %.2f %% S.", 100*float64(shares[0].Share), shares[0].Product.Name,
		100*float64(shares[1].Share), shares[1].Product.Name, 100*float64(blend.Nitrogen.Value), 100*float64(blend.Sulfur.Value)))
	if blend.Form == fertilizer.Liquid {
		t.wrap("", "  ", fmt.Sprintf("By volume %.1f and %.1f %%. %s, %s.", 100*float64(volumes[0]), 100*float64(volumes[1]), show(unit.KindDensity, float64(blend.Density.Value)), blend.Density.Note))
	}
	if c.N.Given {
		line := show(unit.KindRate, float64(c.N.Value)) + " of nitrogen takes " + show(unit.KindProductRate, float64(blend.ProductRate(c.N.Value)))
		if v, liquid := blend.Volume(c.N.Value); liquid {
			line = show(unit.KindRate, float64(c.N.Value)) + " of nitrogen takes " + show(unit.KindVolumePerArea, float64(v))
		}
		t.wrap("", "  ", line+" and brings "+show(unit.KindRate, float64(blend.SulfurCarried(c.N.Value)))+" of sulfur.")
	}
	if c.Tank.Given && blend.Form == fertilizer.Liquid {
		t.wrap("", "  ", fmt.Sprintf("Into %s: %s of %s, then %s of %s.", show(unit.KindVolume, float64(c.Tank.Value)),
			show(unit.KindVolume, float64(c.Tank.Value)*float64(volumes[0])), shares[0].Product.Name, show(unit.KindVolume, float64(c.Tank.Value)*float64(volumes[1])), shares[1].Product.Name))
	}
	for _, w := range blend.Cautions {
		t.wrap("  caution ", "          ", w.Text)
	}
}
