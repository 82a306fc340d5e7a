package demo

import (
	"fmt"
	"math/rand/v2"
)

// names hands out the names of fields and producers. Fields are called after whoever farmed them before, as
// they are; the names are invented, and so is everybody who bears one.
type names struct {
	formers   [][2]string // a former owner and a form: "Haldane", "the corner"
	producers []string
	producer  int
	used      map[string]bool
}

func newNames(seed uint64) *names {
	r := chance(seed, "names")
	n := &names{used: map[string]bool{}}
	for _, owner := range formerOwners() {
		for _, form := range []string{"%s Place", "%s Corner", "East %s", "West %s", "North %s", "South %s", "Upper %s", "Lower %s", "Old %s", "%s Home", "%s Bottom", "%s Ridge", "%s"} {
			n.formers = append(n.formers, [2]string{owner, form})
		}
	}
	r.Shuffle(len(n.formers), func(i, j int) { n.formers[i], n.formers[j] = n.formers[j], n.formers[i] })
	for _, given := range givenNames() {
		for _, family := range familyNames() {
			n.producers = append(n.producers, given+" "+family)
		}
	}
	r.Shuffle(len(n.producers), func(i, j int) { n.producers[i], n.producers[j] = n.producers[j], n.producers[i] })
	for _, s := range cast() {
		n.used[slug(s.name)] = true
	}
	return n
}

// next names a field by its size and its former owner, and gives the producer who farms it now. A producer
// has about seven fields, one after the other.
func (n *names) next(r *rand.Rand, acres float64) (field, producer string) {
	if r.Float64() < 1.0/7 {
		n.producer++
	}
	producer = n.producers[n.producer%len(n.producers)]
	former := n.formers[0]
	n.formers = append(n.formers[1:], former)
	field = fmt.Sprintf(former[1], former[0])
	switch u := r.Float64(); {
	case u > 0.5:
	case acres < 45:
		field += " Forty"
	case acres > 60 && acres < 85:
		field += " Eighty"
	case acres > 135:
		field += " Quarter"
	}
	name := field
	for again := 2; n.used[slug(name)]; again++ {
		name = fmt.Sprint(field, " ", again)
	}
	n.used[slug(name)] = true
	return name, producer
}

func formerOwners() []string {
	return []string{
		"Haldane", "Ferris", "Olmstead", "Quist", "Baptiste", "Nyland", "Prewitt", "Sorenson", "Tadlock", "Ubert",
		"Vance", "Wickham", "Yancy", "Zeller", "Amaro", "Brock", "Castle", "Dunning", "Eads", "Fontaine",
		"Gentry", "Hobart", "Ives", "Jarrell", "Kemper", "Lomax", "Mabry", "Neff", "Oxley", "Pardo",
		"Quade", "Rusk", "Stroud", "Truax", "Umber", "Vickery", "Weems", "Yost", "Zink", "Aldous",
		"Birch", "Crane", "Doyle", "Ensign", "Flagg", "Grier", "Holt", "Inman", "Judd", "Kiefer",
		"Lund", "Moss", "Nance", "Orr", "Pike", "Quill", "Reyes", "Sloan", "Thorne", "Usher",
		"Voss", "Ward", "Yoakum", "Zavala", "Arroyo", "Bell", "Cobb", "Dill", "Easley", "Frost",
		"Gage", "Hale",
	}
}

func givenNames() []string {
	return []string{
		"Abigail", "Benedikt", "Carmen", "Dao", "Elias", "Fatima", "Gunnar", "Hyacinth", "Isidro", "Jolene", "Kofi", "Lubna",
		"Magnus", "Noemi", "Otis", "Paloma", "Quentin", "Rosalind", "Sven", "Thandiwe", "Ulrich", "Vera", "Wendell", "Ximena",
		"Yusuf", "Zelda",
	}
}

func familyNames() []string {
	return []string{
		"Adeyemi", "Blomgren", "Cavanagh", "Dragomir", "Espinoza", "Falkenrath", "Gutierrez", "Hashimoto", "Ibarra", "Jankowski",
		"Kettleman", "Lachapelle", "Mabuza-Rowe", "Nordahl", "Obrecht", "Pacheco", "Quennell", "Rasmussen", "Stavros", "Trinh",
		"Urquiza", "Vandermeer", "Whitcomb", "Yamashita", "Zielinski",
	}
}
