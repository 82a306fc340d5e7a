package folder

import (
	"encoding/json"
	"io/fs"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"culm/agronomy/calendar"
	"culm/schema"
	"culm/season"
)

// The files shown in docs/formats.md make one folder, and nothing is wrong with it but that its weather is
// short and its harvest is still to come.
func TestTheDocumentedFolderReads(t *testing.T) {
	text, err := os.ReadFile("../../docs/formats.md")
	if err != nil {
		t.Fatal(err)
	}
	files := map[string][]byte{}
	for _, block := range strings.Split(string(text), "\n```")[1:] {
		head, body, _ := strings.Cut(block, "\n")
		if _, name, named := strings.Cut(head, " "); named {
			files[name] = []byte(body + "\n")
		}
	}
	content, problems := inMemory(files).read()
	for _, p := range append(problems, content.Check(calendar.Date(2027, time.February, 10))...) {
		if p.Severity == season.Fatal || !strings.Contains(p.Message, "log of station linden begins after") {
			t.Errorf("%+v", p)
		}
	}
	s := season.Assemble(content.Entries)
	if len(files) != 13 || len(s.Fields) != 2 || len(s.Spots["river-half"]) != 2 || len(s.Trials) != 1 {
		t.Errorf("%d files, %d fields, %d spots", len(files), len(s.Fields), len(s.Spots["river-half"]))
	}
}

// The schema of each table has the columns that are read, no more and no fewer.
func TestTheSchemaHasEveryColumn(t *testing.T) {
	data, err := fs.ReadFile(schema.Files(), "tables.schema.json")
	if err != nil {
		t.Fatal(err)
	}
	var tables struct {
		Defs map[string]struct {
			Properties map[string]any `json:"properties"`
			Required   []string       `json:"required"`
		} `json:"$defs"`
	}
	if err := json.Unmarshal(data, &tables); err != nil {
		t.Fatal(err)
	}
	check := func(name string, heads, filled []string) {
		t.Helper()
		heads = append(heads, headsIn(stampColumns())...)
		table := tables.Defs[name]
		for _, head := range heads {
			if _, ok := table.Properties[head]; !ok {
				t.Errorf("%s: the schema does not know column %s", name, head)
			}
		}
		for head := range table.Properties {
			if !slices.Contains(heads, head) {
				t.Errorf("%s: the schema has a column %s, which is not read", name, head)
			}
		}
		if diff := difference(filled, table.Required); len(diff) > 0 {
			t.Errorf("%s: required in the schema or in the table but not in both: %v", name, diff)
		}
	}
	k := &known{}
	check("readings", headsIn(readingColumns(k)), filledIn(readingColumns(k)))
	check("ramps", headsIn(rampColumns(k)), filledIn(rampColumns(k)))
	check("visits", headsIn(visitColumns(k)), filledIn(visitColumns(k)))
	check("soil", headsIn(soilColumns(k)), filledIn(soilColumns(k)))
	check("spots", headsIn(spotColumns(k)), filledIn(spotColumns(k)))
	check("applied", headsIn(appliedColumns(k)), filledIn(appliedColumns(k)))
	check("harvest", headsIn(harvestColumns(k)), filledIn(harvestColumns(k)))
	check("prices", headsIn(priceColumns(k)), filledIn(priceColumns(k)))
	check("trials", headsIn(trialColumns(k)), filledIn(trialColumns(k)))
	check("weather", headsIn(weatherColumns()), filledIn(weatherColumns()))
	both := forecastColumns(forecastForm{days: true, hours: true})
	check("forecast", headsIn(both), filledIn(both))
}

func headsIn[R any](columns []column[R]) []string {
	var heads []string
	for _, c := range columns {
		heads = append(heads, c.heads...)
	}
	return heads
}

// filledIn lists the columns that every row fills and that have no choice of units, which a schema says in
// another way.
func filledIn[R any](columns []column[R]) []string {
	var heads []string
	for _, c := range columns {
		if c.filled && len(c.heads) == 1 {
			heads = append(heads, c.heads[0])
		}
	}
	return heads
}

func difference(a, b []string) []string {
	var diff []string
	for _, list := range [][2][]string{{a, b}, {b, a}} {
		for _, s := range list[0] {
			if !slices.Contains(list[1], s) {
				diff = append(diff, s)
			}
		}
	}
	return diff
}

// The schema of season.yaml has the keys that are read.
func TestTheSchemaHasEveryKey(t *testing.T) {
	data, err := fs.ReadFile(schema.Files(), "season.schema.json")
	if err != nil {
		t.Fatal(err)
	}
	type object struct {
		Properties map[string]struct {
			Properties map[string]any `json:"properties"`
			Items      struct {
				Properties map[string]any `json:"properties"`
			} `json:"items"`
		} `json:"properties"`
	}
	var s object
	if err := json.Unmarshal(data, &s); err != nil {
		t.Fatal(err)
	}
	compare := func(what, keys string, properties map[string]any) {
		t.Helper()
		var have []string
		for key := range properties {
			have = append(have, key)
		}
		if diff := difference(strings.Split(keys, ", "), have); len(diff) > 0 {
			t.Errorf("%s: known to the schema or to the program but not to both: %v", what, diff)
		}
	}
	compare("season", keysOf(settingsKeys()), s.Properties["season"].Properties)
	compare("producers", keysOf(producerKeys()), s.Properties["producers"].Items.Properties)
	compare("stations", keysOf(stationKeys()), s.Properties["stations"].Items.Properties)
	compare("fields", keysOf(fieldKeys()), s.Properties["fields"].Items.Properties)
}
