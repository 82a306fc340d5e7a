package schema_test

import (
	"encoding/csv"
	"encoding/json"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"culm/schema"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"go.yaml.in/yaml/v3"
)

// compile gives a schema, or a part of one such as "tables.schema.json#/$defs/soil".
func compile(t *testing.T, name string) *jsonschema.Schema {
	t.Helper()
	file, _, _ := strings.Cut(name, "#")
	f, err := schema.Files().Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	document, err := jsonschema.UnmarshalJSON(f)
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	c.DefaultDraft(jsonschema.Draft2020)
	if err := c.AddResource("file:///"+file, document); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("file:///" + name)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// TestTheSchemasAreSchemas checks them against the schema of schemas.
func TestTheSchemasAreSchemas(t *testing.T) {
	names, err := fs.Glob(schema.Files(), "*.json")
	if err != nil || len(names) != 5 {
		t.Fatal(names, err)
	}
	for _, name := range names {
		compile(t, name)
	}
}

// plain turns YAML into what JSON would have: a date stays the text that it is.
func plain(t *testing.T, n *yaml.Node) any {
	t.Helper()
	switch n.Kind {
	case yaml.DocumentNode:
		return plain(t, n.Content[0])
	case yaml.MappingNode:
		m := map[string]any{}
		for i := 0; i < len(n.Content); i += 2 {
			m[n.Content[i].Value] = plain(t, n.Content[i+1])
		}
		return m
	case yaml.SequenceNode:
		list := []any{}
		for _, item := range n.Content {
			list = append(list, plain(t, item))
		}
		return list
	}
	switch n.ShortTag() {
	case "!!int", "!!float":
		return json.Number(n.Value)
	case "!!null":
		return nil
	case "!!bool":
		v, err := strconv.ParseBool(n.Value)
		if err != nil {
			return n.Value // yes and no
		}
		return v
	default:
		return n.Value
	}
}

func parseYAML(t *testing.T, text string) any {
	t.Helper()
	var n yaml.Node
	if err := yaml.Unmarshal([]byte(text), &n); err != nil {
		t.Fatal(err)
	}
	return plain(t, &n)
}

// rows gives the rows of a table as objects of cells.
func rows(t *testing.T, text string) []any {
	t.Helper()
	records, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var list []any
	for _, record := range records[1:] {
		row := map[string]any{}
		for i, cell := range record {
			row[records[0][i]] = cell
		}
		list = append(list, row)
	}
	return list
}

// tableOf is the name of the schema for a file of the folder.
func tableOf(name string) string {
	if dir := path.Dir(name); dir != "." {
		return dir
	}
	return strings.TrimSuffix(name, ".csv")
}

// validate checks a file of a season folder against its schema.
func validate(t *testing.T, name, text string) error {
	t.Helper()
	switch {
	case name == "season.yaml":
		return compile(t, "season.schema.json").Validate(parseYAML(t, text))
	case path.Ext(name) == ".geojson":
		v, err := jsonschema.UnmarshalJSON(strings.NewReader(text))
		if err != nil {
			t.Fatal(err)
		}
		return compile(t, "boundaries.schema.json").Validate(v)
	default:
		s := compile(t, "tables.schema.json#/$defs/"+tableOf(name))
		for _, row := range rows(t, text) {
			if err := s.Validate(row); err != nil {
				return err
			}
		}
		return nil
	}
}

func TestTheExampleIsValid(t *testing.T) {
	root := filepath.FromSlash("../examples/two-fields")
	seen := 0
	err := fs.WalkDir(os.DirFS(root), ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := os.ReadFile(filepath.Join(root, filepath.FromSlash(name)))
		if err != nil {
			return err
		}
		seen++
		if err := validate(t, name, string(data)); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		return nil
	})
	if err != nil || seen < 8 {
		t.Fatal(seen, err)
	}
}

// Every file shown in docs/formats.md is valid too.
func TestTheDocumentedExamplesAreValid(t *testing.T) {
	seen := 0
	for name, text := range documented(t) {
		if path.Ext(name) == ".jsonl" || path.Ext(name) == ".json" {
			continue
		}
		seen++
		if err := validate(t, name, text); err != nil {
			t.Errorf("%s in docs/formats.md: %v", name, err)
		}
	}
	if seen < 12 {
		t.Errorf("docs/formats.md shows %d files, want one of each", seen)
	}
}

// documented gives the files shown in docs/formats.md: the blocks whose first line is ```csv readings.csv.
func documented(t *testing.T) map[string]string {
	t.Helper()
	data, err := os.ReadFile("../docs/formats.md")
	if err != nil {
		t.Fatal(err)
	}
	files := map[string]string{}
	for _, block := range strings.Split(string(data), "\n```")[1:] {
		head, text, _ := strings.Cut(block, "\n")
		if _, name, named := strings.Cut(head, " "); named {
			files[name] = text + "\n"
		}
	}
	return files
}

func TestSchemasRefuse(t *testing.T) {
	for _, c := range []struct{ name, file, text string }{
		{"no harvest year", "season.yaml", "season: {units: us}"},
		{"an amount without unit", "season.yaml", "season: {harvest-year: 2027, units: us, maximum-yield: 70}"},
		{"an unknown crop", "season.yaml", "season: {harvest-year: 2027, units: us}\nfields: [{id: a, name: A, producer: p, crop: rye}]"},
		{"an unknown key", "season.yaml", "season: {harvest-year: 2027, units: us}\nfeilds: []"},
		{"an id that is a path", "season.yaml", "season: {harvest-year: 2027, units: us}\nproducers: [{id: ../a, name: A}]"},
		{"a date with slashes", "season.yaml", "season: {harvest-year: 2027, units: us}\nfields: [{id: a, name: A, producer: p, crop: canola, planted: 9/12/2026}]"},
		{"a line for a field", "boundaries.geojson", `{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"field":"a"},"geometry":{"type":"LineString","coordinates":[[0,0],[1,1]]}}]}`},
		{"latitude first", "boundaries.geojson", `{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"field":"a"},"geometry":{"type":"Polygon","coordinates":[[[38,-99],[38,-98],[39,-98],[38,-99]]]}}]}`},
		{"a reading that is a word", "readings.csv", "field,date,reference,means,place,value\na,2027-02-03,strip,sensor,beside,high\n"},
		{"a rate in no unit", "ramps.csv", "field,date,n,better\na,2027-02-03,40,yes\n"},
		{"two scales of temperature", "weather/s.csv", "date,low_c,low_f,high_c,rain_mm\n2027-02-03,1,34,5,0\n"},
		{"a decimal comma", "soil.csv", "sample,field,date,top_cm,bottom_cm,ph\na,b,2027-02-03,0,15,\"6,1\"\n"},
	} {
		if validate(t, c.file, c.text) == nil {
			t.Errorf("%s: %s is valid", c.name, c.text)
		}
	}
}
