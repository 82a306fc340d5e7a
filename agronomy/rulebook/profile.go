package rulebook

import (
	"math"
	"strconv"
	"strings"

	"culm/agronomy/unit"
	"culm/agronomy/working"
)

// Layer is a slice of the soil and the nitrogen a laboratory found in it.
type Layer struct {
	Top, Bottom unit.Length
	N           working.Fact[unit.Concentration] // NO3-N or NH4-N
}

// Soil says to what depth a book counts what is in the soil, and on what mass of soil.
type Soil struct {
	Depth Depth `yaml:"depth"`
	// PerAcreInch is the convention for the mass of soil, million lb per acre-inch.
	PerAcreInch unit.PoundsPerMillion `yaml:"millionPoundsPerAcreInch"`
}

// Depth is a depth as a book writes it: "24 in", "90 cm", or "as sampled" for however deep the samples go.
type Depth string

const asSampled Depth = "as sampled"

func (d Depth) length() (unit.Length, bool) {
	number, name, _ := strings.Cut(string(d), " ")
	v, err := strconv.ParseFloat(number, 64)
	switch {
	case d == asSampled:
		return unit.Length(math.Inf(1)), true
	case err != nil || !(v > 0 && v < 1000):
		return 0, false
	case name == "in":
		return unit.Length(v) * unit.Inch, true
	case name == "cm":
		return unit.Length(v) * 0.01 * unit.Metre, true
	default:
		return 0, false
	}
}

// held is what a profile holds down to a depth.
type held struct {
	rate    unit.Rate
	mean    unit.Concentration
	missing unit.Length // thickness that no sample covers
	origin  working.Origin
}

// shortfall is how much of the depth may go unsampled before it is worth a word: half an inch of soil is
// within the care with which a probe is pushed.
const shortfall = 0.0127 * unit.Metre

// hold adds up layers from the surface to the depth of the soil. Layers are in order of depth; where two
// overlap, the one that starts higher counts. It returns false when no layer is known.
func (s Soil) hold(layers []Layer) (held, bool) {
	depth, _ := s.Depth.length()
	var h held
	var at, covered unit.Length
	var ppmMetres float64 // mg/kg × m
	for _, l := range layers {
		top, bottom := max(l.Top, at), min(l.Bottom, depth)
		if !l.N.Known() || !(bottom > top) {
			continue
		}
		if covered == 0 {
			h.origin = l.N.Origin
		}
		h.rate += l.N.Value.InSoil(bottom-top, s.PerAcreInch)
		ppmMetres += float64(l.N.Value) * float64(bottom-top)
		covered += bottom - top
		at = bottom
	}
	if covered == 0 {
		return held{}, false
	}
	h.mean = unit.Concentration(ppmMetres / float64(covered))
	if s.Depth == asSampled {
		depth = at
	}
	if h.missing = depth - covered; h.missing < shortfall {
		h.missing = 0
	}
	return h, true
}

// label names what lies in the book's depth of soil: "nitrate in the soil, 0–24 in".
func (s Soil) label(what string) string {
	if s.Depth == asSampled {
		return what + " in the soil, all depths sampled"
	}
	return what + " in the soil, 0–" + string(s.Depth)
}

// TakeSoil fills in what the soil holds from layers in order of depth, as the book counts it. Where the
// samples do not reach the book's depth, the nitrogen below them counts as none in a mass balance, and
// their mean stands for the whole depth in a table that asks for a mean: either is an assumption and shows
// as one.
func (b *Book) TakeSoil(in *Inputs, nitrate, ammonium []Layer) {
	var forNitrate, forAmmonium *Soil
	switch {
	case b.Balance != nil:
		if b.Balance.Nitrate != nil {
			forNitrate = &b.Balance.Nitrate.Soil
		}
		if b.Balance.Ammonium != nil {
			forAmmonium = &b.Balance.Ammonium.Soil
		}
	case b.PriceTable != nil:
		forNitrate = &b.PriceTable.Soil
	case b.GreenArea != nil:
		forNitrate, forAmmonium = &b.GreenArea.Soil, &b.GreenArea.Soil
	}
	if forNitrate != nil {
		if h, ok := forNitrate.hold(nitrate); ok {
			in.Nitrate = working.Fact[unit.Rate]{Value: h.rate, Origin: h.origin}
			in.NitrateMean = working.Fact[unit.Concentration]{Value: h.mean, Origin: h.origin}
			in.doubt(h, forNitrate.label("nitrate"), b.PriceTable != nil)
		}
	}
	if forAmmonium != nil {
		if h, ok := forAmmonium.hold(ammonium); ok {
			in.Ammonium = working.Fact[unit.Rate]{Value: h.rate, Origin: h.origin}
			in.doubt(h, forAmmonium.label("ammonium"), false)
		}
	}
}

func (in *Inputs) doubt(h held, label string, meanCounts bool) {
	switch {
	case h.missing == 0:
	case meanCounts:
		in.doubts = append(in.doubts, label+": not sampled to that depth; the mean of what was sampled stands for all of it")
	default:
		in.doubts = append(in.doubts, label+": not sampled to that depth; what lies below the samples is counted as none")
	}
}
