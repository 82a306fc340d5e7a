package schema_test

import (
	"encoding/json"
	"io/fs"
	"os"
	"slices"
	"strings"
	"testing"

	"culm/exchange/lab"
	"culm/schema"
	"culm/season"
)

// The mapping shown in docs/formats.md is valid, and so is what is suggested once nothing is open in it.
func TestMappingsOfLaboratoriesAreValid(t *testing.T) {
	s := compile(t, "lab-mapping.schema.json")
	text, err := os.ReadFile("../docs/formats.md")
	if err != nil {
		t.Fatal(err)
	}
	_, rest, found := strings.Cut(string(text), "```yaml\nlab-mapping: 1")
	body, _, _ := strings.Cut(rest, "```")
	if err := s.Validate(parseYAML(t, "lab-mapping: 1"+body)); err != nil || !found {
		t.Error(err)
	}
	drafted, problems := lab.Suggest("r.csv", []byte("Sample,Field,Date,Depth in,pH 1:1,Olsen P ppm\nA,north,2026-09-08,0-6,6.1,12\n"))
	written, err := drafted.Mapping.File(drafted.Unsure)
	if err != nil || len(problems) > 0 {
		t.Fatal(err, problems)
	}
	if err := s.Validate(parseYAML(t, string(written))); err != nil {
		t.Errorf("%v\n%s", err, written)
	}
}

// What the schema refuses, the reader refuses too.
func TestTheSchemaOfMappingsRefuses(t *testing.T) {
	s := compile(t, "lab-mapping.schema.json")
	for name, text := range map[string]string{
		"another form":                "lab-mapping: 2\n",
		"a key that is not known":     "lab-mapping: 1\ncolumns: []\n",
		"a field that may be a value": "lab-mapping: 1\nfield: north-80\n",
		"a result of no column":       "lab-mapping: 1\nsample: {column: S}\ndate: {is: 2026-09-08}\ndepth: 0-6 in\nresults: [{analyte: ph, unit: none, method: water-1:1}]\n",
		"gold":                        "lab-mapping: 1\nsample: {column: S}\ndate: {is: 2026-09-08}\ndepth: 0-6 in\nresults: [{column: Au, analyte: gold, unit: ppm}]\n",
	} {
		if err := s.Validate(parseYAML(t, text)); err == nil {
			t.Errorf("%s: the schema has nothing against it", name)
		}
		m, problems := lab.ReadMapping("m.yaml", []byte(text))
		if len(problems) == 0 && len(m.Check("m.yaml", false)) == 0 {
			t.Errorf("%s: the reader has nothing against it", name)
		}
	}
}

// The schema knows every analyte.
func TestTheSchemaOfMappingsKnowsEveryAnalyte(t *testing.T) {
	data, err := fs.ReadFile(schema.Files(), "lab-mapping.schema.json")
	if err != nil {
		t.Fatal(err)
	}
	var in struct {
		Properties struct {
			Results struct {
				Items struct {
					Properties struct {
						Analyte struct {
							Enum []season.Analyte `json:"enum"`
						} `json:"analyte"`
					} `json:"properties"`
				} `json:"items"`
			} `json:"results"`
		} `json:"properties"`
	}
	if err := json.Unmarshal(data, &in); err != nil {
		t.Fatal(err)
	}
	if got := in.Properties.Results.Items.Properties.Analyte.Enum; !slices.Equal(got, season.Analytes()) {
		t.Errorf("the schema has %v", got)
	}
}
