package fertility

import (
	"cmp"

	"culm/agronomy/rulebook"
)

// rank orders needs. Soil too acid for the crop comes first, because it keeps roots from all the rest; then
// what is short, by how far its test lies below the critical level, since yield follows what is scarcest
// (the law of the minimum); then what a book asks for all the same, or calls low without a rate; then what no one
// knows; then what there is enough of. That order is Culm's own.
type rank struct {
	group int
	share float64 // of the critical level; 1 where none is known
}

const (
	acid = iota
	short
	spare
	low
	unknown
	enough
)

func rankOf(need *Need) rank {
	r := rank{group: enough, share: 1}
	switch need.Standing {
	case Short:
		r.group = short
		if need.Answer == rulebook.Lime {
			r.group = acid
		}
	case Spare:
		r.group = spare
	case Low:
		r.group = low
	case Untested, Silent:
		r.group = unknown
	}
	if t, ok := need.held(); ok {
		r.share = t.Result.Value / t.Critical.Level
	}
	return r
}

func (r rank) compare(other rank) int {
	return cmp.Or(cmp.Compare(r.group, other.group), cmp.Compare(r.share, other.share))
}
