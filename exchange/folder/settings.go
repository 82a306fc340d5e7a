package folder

import (
	"bytes"
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"

	"go.yaml.in/yaml/v3"
)

const settingsFile = "season.yaml"

// The usual origins in season.yaml: the advisor sets a goal, the producer tells of acres and herd.
func setByAdvisor() working.Origin { return working.Origin{Kind: working.Setting, By: "advisor"} }

func toldByProducer() working.Origin { return working.Origin{Kind: working.Observed, By: "producer"} }

// settingsPage is season.yaml taken apart.
type settingsPage struct {
	season                      *yaml.Node
	producers, stations, fields []*yaml.Node
	rigs                        []*yaml.Node
}

func settingsSections() []property[settingsPage] {
	return []property[settingsPage]{
		{key: "season", read: func(v *value, to *settingsPage) { to.season = v.node }},
		section("producers", func(p *settingsPage) *[]*yaml.Node { return &p.producers }),
		section("stations", func(p *settingsPage) *[]*yaml.Node { return &p.stations }),
		section("fields", func(p *settingsPage) *[]*yaml.Node { return &p.fields }),
		section("rigs", func(p *settingsPage) *[]*yaml.Node { return &p.rigs }),
	}
}

func section(key string, at func(*settingsPage) *[]*yaml.Node) property[settingsPage] {
	return property[settingsPage]{
		key: key,
		read: func(v *value, to *settingsPage) {
			switch {
			case v.node.Kind == yaml.SequenceNode:
				*at(to) = v.node.Content
			case v.node.Kind != yaml.ScalarNode || v.node.ShortTag() != "!!null":
				v.wrong("this cannot be read", kindOf(v.node), "a list, with - before each item")
			}
		},
	}
}

// readSettings reads season.yaml, and gives with its entries what the tables lean on.
func readSettings(data []byte, r *report) ([]made, *known) {
	k := &known{habits: habitsOf(&season.Settings{}), crops: map[string]season.Crop{}, stations: map[string]*season.Station{}}
	root := parseYAML(data, r)
	if root == nil {
		return nil, k
	}
	var page settingsPage
	readMapping(root, settingsSections(), &page, r, settingsFile)
	var entries []made
	if page.season != nil {
		for _, s := range readItems([]*yaml.Node{page.season}, settingsKeys(), "season", r) {
			k.habits = habitsOf(s.body)
			entries = append(entries, s.made(k, r)...)
		}
	}
	for _, p := range readItems(page.producers, producerKeys(), "producer", r) {
		entries = append(entries, p.made(k, r)...)
	}
	for _, s := range readItems(page.stations, stationKeys(), "station", r) {
		k.stations[s.body.ID] = s.body
		entries = append(entries, s.made(k, r)...)
	}
	for _, f := range readItems(page.fields, fieldKeys(), "field", r) {
		k.crops[f.body.ID] = f.body.Crop
		entries = append(entries, f.made(k, r)...)
	}
	for _, rig := range readItems(page.rigs, rigKeys(), "rig", r) {
		entries = append(entries, rig.made(k, r)...)
	}
	return entries, k
}

// stamped is a body with the stamp and the place that it was written with.
type stamped[B any] struct {
	body  *B
	stamp stamp
	node  *yaml.Node
	// faulty says that something was wrong with it.
	faulty bool
}

// readItems reads the items of a list. One with something wrong in it is kept without that: what refers to it
// would otherwise be reported as well, hiding the one mistake behind a hundred that are none.
func readItems[B any](nodes []*yaml.Node, keys []property[stamped[B]], what string, r *report) []*stamped[B] {
	var items []*stamped[B]
	for _, n := range nodes {
		item := &stamped[B]{body: new(B), node: n}
		item.faulty = !readMapping(n, keys, item, r, what)
		if n.Kind == yaml.MappingNode {
			items = append(items, item)
		}
	}
	return items
}

// made puts the stamp on what an item said; nothing comes of it when the entry may not be written down.
func (s *stamped[B]) made(k *known, r *report) []made {
	body, _ := any(s.body).(season.Body)
	e, err := k.habits.entry(body, s.stamp, season.Where{File: r.file, Line: s.node.Line})
	if err != nil && !s.faulty { // otherwise the reason, mostly a missing id, has been reported
		r.wrong(s.node.Line, "", "the item cannot be kept: "+err.Error(), "", "an item that says what it is about")
	}
	if err != nil {
		return nil
	}
	return []made{{entry: e, faulty: s.faulty}}
}

// entryKey is the stamp of an item, for entries that came from elsewhere.
func entryKey[B any]() property[stamped[B]] {
	return property[stamped[B]]{
		key: "entry",
		read: func(v *value, to *stamped[B]) {
			if !readMapping(v.node, stampKeys(), &to.stamp, v.report, "entry") {
				*v.failed = true
			}
		},
		write: func(of *stamped[B], system unit.System) *yaml.Node {
			if of.stamp == (stamp{}) {
				return nil
			}
			return writeMapping(&of.stamp, stampKeys(), system)
		},
	}
}

func stampKeys() []property[stamp] {
	return []property[stamp]{
		textKey("id", func(s *stamp) *string { return &s.id }),
		textKey("writer", func(s *stamp) *string { return &s.writer }),
		observedKey(),
		momentKey("recorded", func(s *stamp) *time.Time { return &s.recorded }),
		textKey("supersedes", func(s *stamp) *string { return &s.supersedes }),
	}
}

func observedKey() property[stamp] {
	plain := dateKey("observed", func(s *stamp) *calendar.Day { return &s.observed })
	return property[stamp]{
		key: plain.key,
		read: func(v *value, to *stamp) {
			if to.noDay = v.node.Value == unnoted; !to.noDay {
				plain.read(v, to)
			}
		},
		write: func(of *stamp, system unit.System) *yaml.Node {
			if of.noDay {
				return plainNode(unnoted)
			}
			return plain.write(of, system)
		},
	}
}

func settingsKeys() []property[stamped[season.Settings]] {
	type page = stamped[season.Settings]
	wheat := func(*page) []scale { return yields(season.WheatGrain) }
	return []property[page]{
		textKey("name", func(p *page) *string { return &p.body.Name }),
		textKey("district", func(p *page) *string { return &p.body.District }),
		textKey("advisor", func(p *page) *string { return &p.body.Advisor }),
		yesKey("invented", func(p *page) *bool { return &p.body.Invented }),
		wholeKey("harvest-year", func(p *page) *int { return &p.body.HarvestYear }),
		choiceKey("units", func(p *page) *unit.System { return &p.body.Units }, unit.US, unit.Metric),
		listKey("lead-wheat", func(p *page) *[]string { return &p.body.LeadWheat }),
		listKey("lead-canola", func(p *page) *[]string { return &p.body.LeadCanola }),
		listKey("books", func(p *page) *[]string { return &p.body.Books }),
		factKey("lime-score", func(*page) []scale { return percents() }, setByAdvisor(), func(p *page) *working.Fact[unit.Fraction] { return &p.body.LimeScore }),
		factKey("soft-ground", func(*page) []scale { return percents() }, setByAdvisor(), func(p *page) *working.Fact[unit.Fraction] { return &p.body.SoftGround }),
		factKey("saturated-ground", func(*page) []scale { return percents() }, setByAdvisor(), func(p *page) *working.Fact[unit.Fraction] { return &p.body.SaturatedGround }),
		calibrationKey(),
		factKey("maximum-yield", wheat, setByAdvisor(), func(p *page) *working.Fact[unit.Yield] { return &p.body.MaximumYield }),
		textKey("local-rules", func(p *page) *string { return &p.body.LocalRules }),
		entryKey[season.Settings](),
	}
}

func calibrationKey() property[stamped[season.Settings]] {
	type page = stamped[season.Settings]
	type calibration = season.Calibration
	keys := []property[calibration]{
		textKey("label", func(c *calibration) *string { return &c.Label }).must(),
		numberKey("a", func(c *calibration) *float64 { return &c.A }).must(),
		numberKey("b", func(c *calibration) *float64 { return &c.B }).must(),
		numberKey("c", func(c *calibration) *float64 { return &c.C }).must(),
		numberKey("d", func(c *calibration) *float64 { return &c.D }).must(),
		amountKey("efficiency", func(*calibration) []scale { return percents() }, func(c *calibration) *unit.Fraction { return &c.Efficiency }).must(),
	}
	return property[page]{
		key: "calibration",
		read: func(v *value, to *page) {
			var c calibration
			if readMapping(v.node, keys, &c, v.report, "calibration") {
				to.body.Calibration = &c
			} else {
				*v.failed = true
			}
		},
		write: func(of *page, system unit.System) *yaml.Node {
			if of.body.Calibration == nil {
				return nil
			}
			return writeMapping(of.body.Calibration, keys, system)
		},
	}
}

func producerKeys() []property[stamped[season.Producer]] {
	type item = stamped[season.Producer]
	return []property[item]{
		textKey("id", func(p *item) *string { return &p.body.ID }).must(),
		textKey("name", func(p *item) *string { return &p.body.Name }).must(),
		entryKey[season.Producer](),
	}
}

func stationKeys() []property[stamped[season.Station]] {
	type item = stamped[season.Station]
	return []property[item]{
		textKey("id", func(p *item) *string { return &p.body.ID }).must(),
		textKey("name", func(p *item) *string { return &p.body.Name }),
		numberKey("lat", func(p *item) *float64 { return &p.body.At.Lat }).must(),
		numberKey("lon", func(p *item) *float64 { return &p.body.At.Lon }).must(),
		textKey("zone", func(p *item) *string { return &p.body.Zone }),
		yesKey("morning-reader", func(p *item) *bool { return &p.body.MorningReader }),
		entryKey[season.Station](),
	}
}

func fieldKeys() []property[stamped[season.Field]] {
	type item = stamped[season.Field]
	always := func(scales []scale) func(*item) []scale { return func(*item) []scale { return scales } }
	wheat, canola, noCrop := yields(season.WheatGrain), yields(season.Canola), yields("")
	ofCrop := func(p *item) []scale {
		switch {
		case p.body.Crop.IsWheat():
			return wheat
		case p.body.Crop == season.Canola:
			return canola
		default:
			return noCrop
		}
	}
	return []property[item]{
		textKey("id", func(p *item) *string { return &p.body.ID }).must(),
		textKey("name", func(p *item) *string { return &p.body.Name }).must(),
		textKey("producer", func(p *item) *string { return &p.body.Producer }).must(),
		choiceKey("crop", func(p *item) *season.Crop { return &p.body.Crop }, crops()...).must(),
		textKey("station", func(p *item) *string { return &p.body.Station }),
		listKey("stations", func(p *item) *[]string { return &p.body.Stations }),
		givenAmountKey("stations-within", always(roads()), func(p *item) *unit.Length { return &p.body.StationsWithin }),
		dateKey("planted", func(p *item) *calendar.Day { return &p.body.Planted }),
		datesKey("elongation-seen", func(p *item) *[]calendar.Day { return &p.body.ElongationSeen }),
		choiceKey("tillage", func(p *item) *season.Tillage { return &p.body.Tillage }, season.NoTill, season.Reduced, season.Tilled),
		choiceKey("texture", func(p *item) *season.Texture { return &p.body.Texture },
			season.Sand, season.SandyLoam, season.Loam, season.SiltLoam, season.ClayLoam, season.Clay),
		textKey("previous-crop", func(p *item) *string { return &p.body.PreviousCrop }),
		withCrop(factKey("yield-goal", ofCrop, setByAdvisor(), func(p *item) *working.Fact[unit.Yield] { return &p.body.YieldGoal })),
		factKey("area", always(areas()), toldByProducer(), func(p *item) *working.Fact[unit.Area] { return &p.body.AreaGiven }),
		factKey("heads", always(plainNumber()), toldByProducer(), func(p *item) *working.Fact[unit.Ratio] { return &p.body.Heads }),
		factKey("head-mass", always(masses()), toldByProducer(), func(p *item) *working.Fact[unit.Mass] { return &p.body.HeadMass }),
		factKey("grazing-days", always(days()), toldByProducer(), func(p *item) *working.Fact[unit.Days] { return &p.body.GrazingDays }),
		yesKey("herbicide-due", func(p *item) *bool { return &p.body.HerbicideDue }),
		textKey("note", func(p *item) *string { return &p.body.Note }),
		entryKey[season.Field](),
	}
}

// withCrop reads a yield only where the crop is known. Where it is not, that has been reported.
func withCrop(p property[stamped[season.Field]]) property[stamped[season.Field]] {
	read := p.read
	p.read = func(v *value, to *stamped[season.Field]) {
		if to.body.Crop != "" {
			read(v, to)
		}
	}
	return p
}

// writeSettings writes season.yaml from entries of settings, producers, stations, fields and rigs.
func writeSettings(byKind map[season.Kind][]season.Entry, k *known, system unit.System) ([]byte, error) {
	root := &yaml.Node{Kind: yaml.MappingNode}
	add := func(key string, n *yaml.Node) { root.Content = append(root.Content, scalarNode(key), n) }
	for _, e := range byKind[season.KindSettings] {
		add("season", writeMapping(itemOf[season.Settings](e, k), settingsKeys(), system))
	}
	addItems(add, "producers", byKind[season.KindProducer], producerKeys(), k, system)
	addItems(add, "stations", byKind[season.KindStation], stationKeys(), k, system)
	addItems(add, "fields", byKind[season.KindField], fieldKeys(), k, system)
	addItems(add, "rigs", byKind[season.KindRig], rigKeys(), k, system)
	var out bytes.Buffer
	encoder := yaml.NewEncoder(&out)
	encoder.SetIndent(2)
	err := encoder.Encode(root)
	return out.Bytes(), err
}

func addItems[B any](add func(string, *yaml.Node), key string, entries []season.Entry, keys []property[stamped[B]], k *known, system unit.System) {
	if len(entries) == 0 {
		return
	}
	list := &yaml.Node{Kind: yaml.SequenceNode}
	for _, e := range entries {
		list.Content = append(list.Content, writeMapping(itemOf[B](e, k), keys, system))
	}
	add(key, list)
}

func itemOf[B any](e season.Entry, k *known) *stamped[B] {
	return &stamped[B]{body: any(e.Body).(*B), stamp: k.habits.stampOf(e)}
}
