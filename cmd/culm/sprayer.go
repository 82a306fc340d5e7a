package main

import (
	"fmt"
	"time"

	"culm/advice"
	"culm/agronomy/cite"
	"culm/agronomy/equipment"
	"culm/agronomy/fertilizer"
	"culm/agronomy/unit"
	"culm/agronomy/working"
)

// sprayerCommand groups what is reckoned for a sprayer.
type sprayerCommand struct {
	Set     sprayerSetCommand     `cmd:"" default:"withargs" help:"Choose nozzle and pressure for a rate, a speed and a spacing."`
	Strip   sprayerStripCommand   `cmd:"" help:"Calibrate on 1/128 acre: how far to drive, or the rate from what was caught."`
	Recount sprayerRecountCommand `cmd:"" help:"Correct the number by which a rate controller counts."`
}

type sprayerSetCommand struct {
	Rate     given[unit.VolumePerArea] `help:"Rate of the liquid, as 15gal/ac." placeholder:"RATE" xor:"rate" required:""`
	Nitrogen given[unit.Rate]          `help:"Rate of nitrogen in place of the liquid's, as 30lb/ac; needs --product." placeholder:"RATE" xor:"rate" required:""`
	Speed    given[unit.Speed]         `help:"Speed, as 6mph." required:"" placeholder:"SPEED"`
	Spacing  given[unit.Length]        `help:"Spacing of the nozzles on the boom, as 20in." required:"" placeholder:"LENGTH"`
	Product  string                    `help:"The liquid, such as uan-28; its density is known." xor:"density" placeholder:"KEY"`
	Density  given[unit.Density]       `help:"Density of the liquid, as 10.65lb/gal; water when neither is given." xor:"density" placeholder:"DENSITY"`
	Streams  bool                      `help:"The nozzles make streams, not fans."`
	Nozzle   []givenNozzle             `help:"A nozzle you own: [NAME=]FLOW@PRESSURE[:LOW-HIGH], flow of water, as tip=0.4gal/min@40psi:15psi-60psi. More of them: --nozzle again. The standard sizes when none is given." placeholder:"NOZZLE" sep:"none"`
	Units    string                    `enum:"us,metric" default:"us" help:"Units to read: us or metric."`
	Working  bool                      `help:"Print how each number came about."`
	JSON     bool                      `name:"json" help:"Print the settings as JSON."`
}

// sprayerJSON is the machine-readable answer. Amounts are in base units: L/ha, m/s, m, kg/L, L/min, kPa.
type sprayerJSON struct {
	Version  string         `json:"version"` // culm.sprayer/1
	Rate     float64        `json:"rate_l_ha"`
	Speed    float64        `json:"speed_m_s"`
	Spacing  float64        `json:"spacing_m"`
	Density  float64        `json:"density_kg_l"`
	Flow     float64        `json:"flow_l_min"`
	Water    float64        `json:"flow_in_water_l_min"`
	Streams  bool           `json:"streams"`
	Settings []settingJSON  `json:"settings"`
	Figures  working.Ledger `json:"figures"`
}

type settingJSON struct {
	Nozzle     string     `json:"nozzle"`
	Standard   bool       `json:"standard,omitempty"`
	Pressure   float64    `json:"pressure_kpa"`
	Low        float64    `json:"lowest_pressure_kpa"`
	High       float64    `json:"highest_pressure_kpa"`
	RangeKnown bool       `json:"rangeKnown"`
	Fits       bool       `json:"fits"`
	Why        string     `json:"why,omitempty"`
	Slowest    float64    `json:"slowest_m_s"`
	Fastest    float64    `json:"fastest_m_s"`
	Least      float64    `json:"least_l_ha"`
	Most       float64    `json:"most_l_ha"`
	Notes      []noteJSON `json:"notes,omitempty"`
}

type noteJSON struct {
	Text   string      `json:"text"`
	Source cite.Key    `json:"source"`
	Status cite.Status `json:"status"`
}

func notesJSON(notes []equipment.Note) []noteJSON {
	var out []noteJSON
	for _, n := range notes {
		out = append(out, noteJSON(n))
	}
	return out
}

// Run chooses and prints.
func (c *sprayerSetCommand) Run(d *door) error {
	spray, origins, err := c.spray()
	if err != nil {
		return exitError{exitBadInput, err}
	}
	nozzles := equipment.StandardSizes()
	if len(c.Nozzle) > 0 {
		nozzles = nil
	}
	for _, n := range c.Nozzle {
		n.Streams = c.Streams
		nozzles = append(nozzles, n.Nozzle)
	}
	settings, err := spray.Choose(nozzles)
	if err != nil {
		return exitError{exitBadInput, err}
	}
	var figures working.Ledger
	settings[0].Work(&figures, spray, origins)
	if c.JSON {
		return printJSON(d.out, c.document(spray, settings, figures))
	}
	c.print(d, spray, settings, figures)
	return nil
}

// spray gathers the wish, with the origin of each part.
func (c *sprayerSetCommand) spray() (equipment.Spray, equipment.SprayOrigins, error) {
	set := working.Origin{Kind: working.Setting}
	origins := equipment.SprayOrigins{Rate: set, Speed: set, Spacing: set, Density: set}
	s := equipment.Spray{Rate: c.Rate.Value, Speed: c.Speed.Value, Spacing: c.Spacing.Value, Density: c.Density.Value, Streams: c.Streams}
	switch {
	case c.Product != "":
		p, ok := fertilizer.Find(c.Product)
		if !ok || p.Form != fertilizer.Liquid {
			return s, origins, fmt.Errorf("product is %q; expected one of the liquids uan-28, uan-32 and ammonium-thiosulfate", c.Product)
		}
		s.Density = p.Density.Value
		origins.Density = working.Origin{Kind: working.Rulebook, Source: p.Density.Source, Why: p.Density.Note}
		if c.Nitrogen.Given {
			s.Rate, _ = p.Volume(c.Nitrogen.Value)
			origins.Rate = working.Origin{Kind: working.Computed, Why: unit.Show(unit.KindRate, float64(c.Nitrogen.Value), c.units()).String() + " of nitrogen as " + p.Name}
		}
	case c.Nitrogen.Given:
		return s, origins, fmt.Errorf("--nitrogen needs --product: which liquid holds it")
	case !c.Density.Given:
		s.Density = fertilizer.Water
		origins.Density = working.Origin{Kind: working.Assumed, Why: "no product and no density given, taken as water"}
	}
	return s, origins, nil
}

func (c *sprayerSetCommand) units() unit.System { return unit.System(c.Units) }

func (c *sprayerSetCommand) document(s equipment.Spray, settings []equipment.Setting, figures working.Ledger) sprayerJSON {
	doc := sprayerJSON{
		Version: "culm.sprayer/1", Rate: float64(s.Rate), Speed: float64(s.Speed), Spacing: float64(s.Spacing), Density: float64(s.Density),
		Flow: float64(s.Flow()), Water: float64(s.WaterFlow()), Streams: s.Streams, Figures: figures,
	}
	for _, t := range settings {
		doc.Settings = append(doc.Settings, settingJSON{
			Nozzle: t.Nozzle.Name, Standard: t.Nozzle.Standard, Pressure: float64(t.Pressure), Low: float64(t.Low), High: float64(t.High), RangeKnown: t.RangeKnown,
			Fits: t.Fits, Why: t.Why, Slowest: float64(t.Slowest), Fastest: float64(t.Fastest), Least: float64(t.Least), Most: float64(t.Most), Notes: notesJSON(t.Notes),
		})
	}
	return doc
}

func (c *sprayerSetCommand) print(d *door, s equipment.Spray, settings []equipment.Setting, figures working.Ledger) {
	t := terminal{w: d.out, units: c.units()}
	show := func(q interface{ Kind() unit.Kind }, base float64) string {
		return unit.Show(q.Kind(), base, t.units).String()
	}
	best := settings[0]
	if best.Fits {
		t.wrap("", "  ", fmt.Sprintf("Set %s to %s: %s at %s.", best.Nozzle.Name, show(best.Pressure, float64(best.Pressure)), show(s.Rate, float64(s.Rate)), speedIn(s.Speed, t.units)))
		t.wrap("", "  ", fmt.Sprintf("Drive %s to %s and the rate holds.", speedIn(best.Slowest, t.units), speedIn(best.Fastest, t.units)))
	} else {
		t.wrap("", "  ", fmt.Sprintf("No nozzle fits %s at %s.", show(s.Rate, float64(s.Rate)), speedIn(s.Speed, t.units)))
	}
	t.wrap("", "  ", fmt.Sprintf("Each nozzle lets out %s; look for %s in a table made for water.", show(s.Flow(), float64(s.Flow())), show(s.WaterFlow(), float64(s.WaterFlow()))))
	for _, n := range best.Notes {
		t.wrap("  note ", "       ", n.Text)
	}
	fmt.Fprintln(d.out)
	for _, set := range settings {
		if !set.Fits {
			t.wrap(fmt.Sprintf("  no  %-22s ", set.Nozzle.Name), "      ", set.Why)
			continue
		}
		fmt.Fprintf(d.out, "  yes %-22s %s, %s to %s, %s to %s\n", set.Nozzle.Name, show(set.Pressure, float64(set.Pressure)),
			speedIn(set.Slowest, t.units), speedIn(set.Fastest, t.units), show(set.Least, float64(set.Least)), show(set.Most, float64(set.Most)))
	}
	if c.Working {
		t.figures(&advice.Plan{Figures: figures})
	}
}

// speedIn writes a speed with the tenth that a speedometer has.
func speedIn(v unit.Speed, s unit.System) string {
	if s == unit.Metric {
		return fmt.Sprintf("%.1f\u202fkm/h", float64(v/unit.KilometrePerHour))
	}
	return fmt.Sprintf("%.1f\u202fmph", float64(v/unit.MilePerHour))
}

type sprayerStripCommand struct {
	Width  given[unit.Length] `help:"Spacing of the nozzles, or of the rows where the nozzles of a row are caught together, as 20in." required:"" placeholder:"LENGTH"`
	Took   time.Duration      `help:"Time that driving the strip took at the speed of work, as 23s."`
	Caught given[unit.Volume] `help:"What was caught in the same time, standing still, as 14oz." placeholder:"VOLUME"`
	JSON   bool               `name:"json" help:"Print the answer as JSON."`
}

// Run prints how far to drive, and the rate once something was caught.
func (c *sprayerStripCommand) Run(d *door) error {
	length, err := equipment.Strip128(c.Width.Value)
	if err != nil {
		return exitError{exitBadInput, err}
	}
	out := map[string]any{"version": "culm.strip/1", "strip_m": float64(length), "source": cite.LouisianaSprayer}
	if !c.JSON {
		fmt.Fprintf(d.out, "Drive %.0f ft (%.1f m) at the speed of work and time it; catch for the same time. Ounces are gallons an acre.\n", float64(length/unit.Foot), float64(length))
	}
	if c.Took != 0 || c.Caught.Given {
		rate, speed, err := equipment.Run128{Width: c.Width.Value, Took: c.Took, Caught: c.Caught.Value}.Rate()
		if err != nil {
			return exitError{exitBadInput, err}
		}
		out["rate_l_ha"], out["speed_m_s"] = float64(rate), float64(speed)
		if !c.JSON {
			fmt.Fprintf(d.out, "%s (%s) at %s.\n", unit.Show(unit.KindVolumePerArea, float64(rate), unit.US), unit.Show(unit.KindVolumePerArea, float64(rate), unit.Metric), speedIn(speed, unit.US))
		}
	}
	if c.JSON {
		return printJSON(d.out, out)
	}
	return nil
}

type sprayerRecountCommand struct {
	Number  float64            `help:"The controller's number: pulses of its meter to a volume." required:""`
	Counted given[unit.Volume] `help:"What the controller counted, as 105gal." required:"" placeholder:"VOLUME"`
	Caught  given[unit.Volume] `help:"What really ran through, as 100gal." required:"" placeholder:"VOLUME"`
	JSON    bool               `name:"json" help:"Print the answer as JSON."`
}

// Run prints the corrected number.
func (c *sprayerRecountCommand) Run(d *door) error {
	r, err := equipment.Recount{Number: c.Number, Counted: c.Counted.Value, Caught: c.Caught.Value}.Check()
	if err != nil {
		return exitError{exitBadInput, err}
	}
	if c.JSON {
		return printJSON(d.out, map[string]any{"version": "culm.recount/1", "number": r.Number, "countedTooMuch": float64(r.Off), "leave": r.Leave, "expression": "number × counted ÷ caught", "source": cite.ControllerPractice})
	}
	if r.Leave {
		fmt.Fprintf(d.out, "The controller is off by %+.1f %%: nearer than a tank can be read. Leave %g.\n", 100*float64(r.Off), c.Number)
		return nil
	}
	fmt.Fprintf(d.out, "Set %.4g in place of %g: the controller counted %+.1f %% (number × counted ÷ caught).\n", r.Number, c.Number, 100*float64(r.Off))
	fmt.Fprintln(d.out, "Where the number is volume to a pulse and not pulses to a volume, it goes the other way. Catch again after the change.")
	return nil
}
