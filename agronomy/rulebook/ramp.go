package rulebook

import (
	"culm/agronomy/cite"
	"culm/agronomy/unit"
	"culm/agronomy/working"
)

// Ramp reads a row of strips with stepped nitrogen: the highest rate whose strip still looks better than the
// one before it, less what the field already got.
type Ramp struct {
	// FewestStrips is how many strips make a ramp.
	FewestStrips int         `yaml:"fewestStrips"`
	Status       cite.Status `yaml:"status"`
}

func (f *Ramp) family(*Book) string { return FamilyRamp }

func (f *Ramp) uses() Uses { return Uses{Applied} }

func (f *Ramp) fill(*Book, *Inputs) {}

func (f *Ramp) refuse(_ *Book, in *Inputs) string {
	if len(in.Strips) == 0 {
		return "needs a ramp of strips, and none was looked at"
	}
	if len(in.Strips) < f.FewestStrips {
		return "needs a ramp of at least " + plain(float64(f.FewestStrips)) + " strips"
	}
	for i, s := range in.Strips {
		if !(s.Rate >= 0 && s.Rate < 1e5) || i > 0 && s.Rate <= in.Strips[i-1].Rate {
			return "needs strips whose rates rise from one to the next"
		}
	}
	return ""
}

// lastGain is the strip that looked better than the one before it, at the highest rate; −1 when none did.
// The first strip has none before it.
func lastGain(in *Inputs) int {
	for i := len(in.Strips) - 1; i > 0; i-- {
		if in.Strips[i].Better {
			return i
		}
	}
	return -1
}

func (f *Ramp) rate(_ *Book, in *Inputs) unit.Rate {
	i := lastGain(in)
	if i < 0 {
		return 0
	}
	return max(0, in.Strips[i].Rate-in.Applied.Value)
}

func (f *Ramp) explain(_ *Book, in *Inputs, w *Worked) {
	i := lastGain(in)
	last := unit.Rate(0)
	if i >= 0 {
		last = in.Strips[i].Rate
	} else {
		w.Notes = append(w.Notes, "No strip looked better than the one with less nitrogen.")
	}
	const label = "highest rate that still looked better"
	w.Steps = append(w.Steps, Step{"last gain", label, working.Of(last)})
	w.Inputs = append(w.Inputs, working.Input{Label: label, Amount: working.Of(last), Origin: in.StripsOrigin})
	if in.Applied.Known() {
		input(w, "nitrogen already applied", in.Applied)
	}
	if i == len(in.Strips)-1 {
		w.Notes = append(w.Notes, "The strip with the most nitrogen still looked better: the need may be greater than the ramp can show.")
	}
	for k := 1; k < i; k++ {
		if !in.Strips[k].Better {
			w.Notes = append(w.Notes, "The strips did not improve step by step; look at the ramp again.")
			break
		}
	}
	w.rests(f.Status)
}

func (f *Ramp) words(*Book) string {
	return "highest rate on the ramp whose strip still looked better − nitrogen already applied, not below 0"
}

func (f *Ramp) check(c *checker, _ *Book) {
	c.status(f.Status, "ramp", "status")
	if f.FewestStrips < 2 {
		c.problem("needs at least 2 strips", "ramp", "fewestStrips")
	}
}
