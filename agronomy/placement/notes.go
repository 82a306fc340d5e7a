package placement

import (
	"fmt"

	"culm/agronomy/cite"
	"culm/agronomy/fertilizer"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"
)

// note adds the cautions that go with a way on this crop.
func (r *Result) note(q Question) {
	if r.Residue.Origin.Kind == working.Assumed {
		r.say("residue was not looked at: "+r.Residue.Origin.Why, cite.Practice, cite.CommonPractice)
	}
	if q.Product.BlendOnly {
		r.say("goes on only in a blend: "+q.Product.BlendWhy, cite.Practice, cite.CommonPractice)
	}
	switch r.Way {
	case FlatFan:
		r.noteFlatFan(q)
	case Stream:
		r.say("keep the boom at its height: streams that wander stripe the crop and burn it", cite.OntarioBurn, cite.Confirmed)
		r.say("streamed bands beat broadcast by 0.21 t/ha on no-till wheat, but preplant and not top-dressed", cite.KelleySweeney2007, cite.Confirmed)
	}
	if r.ExtraPass {
		r.noteExtraPass()
	}
}

// mostlyLeaf is the green cover from which leaf burn is remarked on. Common practice, no source.
const mostlyLeaf = unit.Fraction(0.5)

func (r *Result) noteFlatFan(q Question) {
	if !isSolution(q.Product) {
		return
	}
	r.say("burns leaves, most after frost, dew or a cold cloudy spell; spray a dry crop in cool hours", cite.OntarioBurn, cite.Confirmed)
	if q.Green.Known() && q.Green.Value >= mostlyLeaf {
		r.say(fmt.Sprintf("%.0f %% of the ground is green leaf, which fans wet: the more leaf the more burn", 100*float64(q.Green.Value)), cite.Practice, cite.CommonPractice)
	}
	switch {
	case q.Crop.IsWheat():
		r.say("North Dakota advises against broadcasting UAN on winter wheat in spring and for stream bars", cite.NorthDakotaSF1448, cite.Confirmed)
		r.say("Ontario has UAN on winter wheat through streamer nozzles only", cite.OntarioTrips2019, cite.Confirmed)
	case q.Crop == season.Canola:
		r.say("canola leaves burn too; no published limit was found", cite.Practice, cite.CommonPractice)
	}
	if q.HerbicideDue {
		r.say("with a herbicide at 40 lb N/ac, 2 to 7 bu/ac were lost in about 40 % of cases, chiefly past tillering (Zadoks 29) and on stressed wheat; the herbicide's label rules", cite.NebraskaLeafBurn, cite.Confirmed)
	}
}

func (r *Result) noteExtraPass() {
	if r.Way == Stream {
		r.say("streams cannot carry the herbicide: it needs a pass of its own", cite.OntarioTrips2019, cite.Confirmed)
		return
	}
	r.say("a spreader cannot carry the herbicide: it needs a pass of its own", cite.Practice, cite.CommonPractice)
}

func (r *Result) say(text string, source cite.Key, status cite.Status) {
	r.Notes = append(r.Notes, Note{text, source, status})
}

func isSolution(p fertilizer.Product) bool {
	return p.Key == fertilizer.UAN28Key || p.Key == fertilizer.UAN32Key
}
