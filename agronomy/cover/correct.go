package cover

import "fmt"

// Correction is what a person says about a patch: what was taken for From is To. Both alike says that it was
// taken rightly. In a patch that is mostly soil with a leaf across it, from soil to residue leaves the leaf.
type Correction struct {
	Patch int   `json:"patch"` // its place in Grid.Patches
	From  Class `json:"from"`
	To    Class `json:"to"`
}

// eyeError is what a person's word about a patch may be off, as a share of the patch. Ours, no source.
const eyeError = 0.05

// Correct gives the photo with corrections made, in their order. Shares move from class to class within the
// patch, and the patch counts as known to within a twentieth, so that the ranges of the photo narrow.
// Unseen ground can be told to be something; nothing can be told to be unseen.
func (p Photo) Correct(corrections []Correction) (Photo, error) {
	patches := append([]Patch(nil), p.Grid.Patches...)
	for _, c := range corrections {
		if c.Patch < 0 || c.Patch >= len(patches) {
			return Photo{}, fmt.Errorf("cover: there is no patch %d; the photo has patches 0 to %d", c.Patch, len(patches)-1)
		}
		if err := patches[c.Patch].correct(c); err != nil {
			return Photo{}, err
		}
	}
	p.Grid.Patches = patches
	p.Cover = p.Grid.cover()
	return p, nil
}

func (p *Patch) correct(c Correction) error {
	ranges := map[Class]*Range{Green: &p.Cover.Green, Residue: &p.Cover.Residue, Soil: &p.Cover.Soil}
	to, ok := ranges[c.To]
	if !ok {
		return fmt.Errorf("cover: patch %d cannot be told to be %q; expected %q, %q or %q", c.Patch, c.To, Green, Residue, Soil)
	}
	from, ok := ranges[c.From]
	switch {
	case ok && from != to:
		to.Value += from.Value
		from.Value = 0
	case c.From == Unseen:
		p.see(to)
	case !ok:
		return fmt.Errorf("cover: patch %d has no %q to correct; expected %q, %q, %q or %q", c.Patch, c.From, Green, Residue, Soil, Unseen)
	}
	p.Told = true
	for _, r := range ranges {
		r.Low, r.High = share(float64(r.Value-eyeError)), share(float64(r.Value+eyeError))
	}
	p.Class = p.Cover.main()
	return nil
}

// see gives the unseen part of a patch to a class.
func (p *Patch) see(to *Range) {
	seen := 1 - p.Cover.Unseen
	for _, r := range []*Range{&p.Cover.Green, &p.Cover.Residue, &p.Cover.Soil} {
		r.Value *= seen
	}
	to.Value += p.Cover.Unseen
	p.Cover.Unseen = 0
}
