package folder

import (
	"culm/agronomy/unit"
	"culm/season"

	"go.yaml.in/yaml/v3"
)

// rigKeys are the keys of a rig in season.yaml. All but id and kind may be left out.
func rigKeys() []property[stamped[season.Rig]] {
	type item = stamped[season.Rig]
	of := func(scales []scale) func(*item) []scale { return func(*item) []scale { return scales } }
	return []property[item]{
		textKey("id", func(r *item) *string { return &r.body.ID }).must(),
		textKey("name", func(r *item) *string { return &r.body.Name }),
		choiceKey("kind", func(r *item) *season.Machine { return &r.body.Machine }, season.Sprayer, season.Spreader).must(),
		givenAmountKey("width", of(distances()), func(r *item) *unit.Length { return &r.body.Width }),
		wholeKey("nozzles", func(r *item) *int { return &r.body.Nozzles }),
		givenAmountKey("spacing", of(depths()), func(r *item) *unit.Length { return &r.body.Spacing }),
		givenAmountKey("tank", of(tanks()), func(r *item) *unit.Volume { return &r.body.Tank }),
		givenAmountKey("hopper", of(hoppers()), func(r *item) *unit.Mass { return &r.body.Hopper }),
		givenAmountKey("speed", of(winds()), func(r *item) *unit.Speed { return &r.body.Speed }),
		choiceKey("monitor", func(r *item) *season.Monitor { return &r.body.Monitor },
			season.GallonsAnAcre, season.PoundsAnAcre, season.LitresAHectare, season.KilogramsAHectare, season.ThousandSquareFeet),
		itemsKey("tips", "tip", tipKeys(), func(r *item) *[]season.Tip { return &r.body.Tips }),
		textKey("note", func(r *item) *string { return &r.body.Note }),
		entryKey[season.Rig](),
	}
}

func tipKeys() []property[season.Tip] {
	type tip = season.Tip
	flows := func(*tip) []scale { return flows() }
	pressures := func(*tip) []scale { return pressures() }
	return []property[tip]{
		textKey("name", func(t *tip) *string { return &t.Name }).must(),
		amountKey("flow", flows, func(t *tip) *unit.Flow { return &t.Flow }).must(),
		amountKey("at", pressures, func(t *tip) *unit.Pressure { return &t.At }).must(),
		givenAmountKey("low", pressures, func(t *tip) *unit.Pressure { return &t.Low }),
		givenAmountKey("high", pressures, func(t *tip) *unit.Pressure { return &t.High }),
		yesKey("streams", func(t *tip) *bool { return &t.Streams }),
	}
}

// itemsKey is a list of mappings.
func itemsKey[T, I any](key, what string, keys []property[I], at func(*T) *[]I) property[T] {
	return property[T]{
		key: key,
		read: func(v *value, to *T) {
			if v.node.Kind != yaml.SequenceNode {
				v.wrong("this cannot be read", kindOf(v.node), "a list, with - before each item")
				return
			}
			for _, n := range v.node.Content {
				var item I
				if readMapping(n, keys, &item, v.report, what) {
					*at(to) = append(*at(to), item)
				} else {
					*v.failed = true
				}
			}
		},
		write: func(of *T, system unit.System) *yaml.Node {
			if len(*at(of)) == 0 {
				return nil
			}
			list := &yaml.Node{Kind: yaml.SequenceNode}
			for i := range *at(of) {
				list.Content = append(list.Content, writeMapping(&(*at(of))[i], keys, system))
			}
			return list
		},
	}
}

func tanks() []scale {
	return []scale{newScale("gal", "gal", us, 3785411784, 1000000000), newScale("l", "L", metric, 1, 1)}
}

func hoppers() []scale {
	return append(masses(), newScale("ton", "ton", us, 2000*poundNum, poundDen))
}

func flows() []scale {
	return []scale{newScale("gal_min", "gal/min", us, 3785411784, 1000000000), newScale("l_min", "L/min", metric, 1, 1)}
}

// pressures are above that of the air. A pound-force on a square inch is 0.45359237 × 9.80665 ÷ 0.0254² Pa.
func pressures() []scale {
	return []scale{
		newScale("psi", "psi", us, 44482216152605, 6451600000000),
		newScale("bar", "bar", metric, 100, 1),
		newScale("kpa", "kPa", metric, 1, 1),
	}
}
