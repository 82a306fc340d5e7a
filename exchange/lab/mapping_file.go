package lab

import (
	"bytes"
	"errors"
	"io"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"culm/agronomy/soil"
	"culm/agronomy/unit"
	"culm/season"

	"go.yaml.in/yaml/v3"
)

// mappingFormat is the number of the form of mapping files.
const mappingFormat = "1"

// mostMapping bounds a mapping file: some hundred columns, each with a few keys.
const mostMapping = 256 * 1024

// ReadMapping reads a mapping from its file. It reports everything that it cannot read, with the line; what the
// mapping lacks for a report is told by Check and Read.
func ReadMapping(name string, data []byte) (Mapping, []season.Problem) {
	r := newReport(name)
	root := mappingRoot(data, r)
	if root == nil {
		return Mapping{}, r.all()
	}
	m := Mapping{}
	k := keys{report: r, what: "mapping"}
	k.read(root, map[string]func(*yaml.Node){
		"lab-mapping": func(n *yaml.Node) {
			if k.text(n) != mappingFormat {
				k.wrong(n, "the mapping is of a form that is not known here", "lab-mapping: "+mappingFormat)
			}
		},
		"lab":          func(n *yaml.Node) { m.readLab(k, n) },
		"sheet":        func(n *yaml.Node) { m.Sheets = k.list(n) },
		"header-row":   func(n *yaml.Node) { m.HeaderRow = k.whole(n) },
		"header-rows":  func(n *yaml.Node) { m.HeaderRows = k.whole(n) },
		"delimiter":    func(n *yaml.Node) { m.Delimiter = k.text(n) },
		"decimal":      func(n *yaml.Node) { m.Decimal = k.text(n) },
		"date-format":  func(n *yaml.Node) { m.DateFormat = k.text(n) },
		"sample":       func(n *yaml.Node) { m.Sample = k.source(n) },
		"field":        func(n *yaml.Node) { m.Field = k.source(n) },
		"zone":         func(n *yaml.Node) { m.Zone = k.source(n) },
		"date":         func(n *yaml.Node) { m.Date = k.source(n) },
		"depth":        func(n *yaml.Node) { m.Depth = k.depth(n) },
		"soil-mass":    func(n *yaml.Node) { m.SoilMass = k.soilMass(n) },
		"not-detected": func(n *yaml.Node) { m.NotDetected = k.list(n) },
		"not-measured": func(n *yaml.Node) { m.NotMeasured = k.list(n) },
		"results":      func(n *yaml.Node) { m.Results = k.columns(n) },
		"leave-out":    func(n *yaml.Node) { m.LeaveOut = k.list(n) },
	}, "lab-mapping")
	return m, r.all()
}

// mappingRoot gives the root of a document. Aliases are not followed, so a few lines cannot unfold.
func mappingRoot(data []byte, r *report) *yaml.Node {
	if len(data) > mostMapping {
		r.wrong(place{}, "the file is too large for a mapping", strconv.Itoa(len(data))+" bytes", "at most "+strconv.Itoa(mostMapping)+" bytes")
		return nil
	}
	var document yaml.Node
	if err := yaml.NewDecoder(bytes.NewReader(data)).Decode(&document); err != nil {
		message, line := strings.TrimPrefix(err.Error(), "yaml: "), 0
		if found := yamlLine.FindStringSubmatch(message); found != nil {
			line, _ = strconv.Atoi(found[1])
			message = found[2]
		}
		if errors.Is(err, io.EOF) {
			message = "it is empty"
		}
		r.wrong(place{line, ""}, "the mapping is not readable as YAML: "+message, "", "keys and values; culm lab FILE --suggest writes one")
		return nil
	}
	if len(document.Content) == 0 || document.Content[0].Kind != yaml.MappingNode {
		r.wrong(place{1, ""}, "this is no mapping", "", "keys such as sample, date, depth and results; culm lab FILE --suggest writes one")
		return nil
	}
	return document.Content[0]
}

var yamlLine = regexp.MustCompile(`^line (\d+): (.*)`)

// keys reads the parts of a mapping file.
type keys struct {
	report *report
	what   string
	key    string
}

func (k keys) wrong(n *yaml.Node, message, expected string) {
	k.report.wrong(place{n.Line, k.key}, message, quoted(n.Value), expected)
}

// read reads the keys of a YAML mapping, and reports those that are not known, stand twice or are missing.
func (k keys) read(n *yaml.Node, known map[string]func(*yaml.Node), needed ...string) {
	if n.Kind != yaml.MappingNode {
		k.wrong(n, "this cannot be read", "keys and values in the "+k.what)
		return
	}
	seen := map[string]bool{}
	for i := 0; i+1 < len(n.Content); i += 2 {
		key, value := n.Content[i], n.Content[i+1]
		read, ok := known[key.Value]
		switch {
		case seen[key.Value]:
			k.report.wrong(place{key.Line, key.Value}, "a key stands twice", quoted(key.Value), "each key once")
		case !ok:
			k.report.wrong(place{key.Line, key.Value}, "the key is not known in the "+k.what, quoted(key.Value), oneOf(sortedKeys(known)))
		default:
			read(value)
		}
		seen[key.Value] = true
	}
	for _, key := range needed {
		if !seen[key] {
			k.report.wrong(place{n.Line, key}, "a key is missing in the "+k.what, "", key)
		}
	}
}

func sortedKeys(known map[string]func(*yaml.Node)) (names []string) {
	for name := range known {
		names = append(names, name)
	}
	slices.Sort(names)
	return names
}

func (k keys) text(n *yaml.Node) string {
	if n.Kind != yaml.ScalarNode {
		k.wrong(n, "the value cannot be read", "one word or number")
		return ""
	}
	if n.ShortTag() == "!!null" {
		return ""
	}
	return strings.TrimSpace(n.Value)
}

func (k keys) list(n *yaml.Node) (texts []string) {
	items := []*yaml.Node{n}
	if n.Kind == yaml.SequenceNode {
		items = n.Content
	}
	for _, item := range items {
		if text := k.text(item); text != "" {
			texts = append(texts, text)
		}
	}
	return texts
}

func (k keys) whole(n *yaml.Node) int {
	v, err := strconv.Atoi(k.text(n))
	if err != nil || v < 1 || v > mostRows {
		k.wrong(n, "the number cannot be read", "a row, counted from 1")
		return 0
	}
	return v
}

func (k keys) names(n *yaml.Node) map[string]string {
	names := map[string]string{}
	if n.Kind != yaml.MappingNode {
		k.wrong(n, "this cannot be read", "the laboratory's names, each with ours behind a colon")
		return nil
	}
	for i := 0; i+1 < len(n.Content); i += 2 {
		names[n.Content[i].Value] = k.text(n.Content[i+1])
	}
	return names
}

func (k keys) source(n *yaml.Node) (s Source) {
	k.what = "source of a value"
	if n.Kind == yaml.ScalarNode && n.Value != Undecided {
		k.wrong(n, "this does not say whether it is a column or a value", "{column: a heading}, or {is: a value for all samples}")
		return s
	}
	if n.Kind == yaml.ScalarNode {
		return Source{Column: Undecided}
	}
	k.read(n, map[string]func(*yaml.Node){
		"column": func(n *yaml.Node) { s.Column = k.text(n) },
		"is":     func(n *yaml.Node) { s.Is = k.text(n) },
		"names":  func(n *yaml.Node) { s.Names = k.names(n) },
	})
	if s.Column != "" && s.Is != "" {
		k.wrong(n, "both a column and a value are given", "one of them")
	}
	return s
}

func (m *Mapping) readLab(k keys, n *yaml.Node) {
	if n.Kind == yaml.MappingNode {
		m.LabIn = k.source(n)
		return
	}
	m.Lab = k.text(n)
}

func (k keys) depth(n *yaml.Node) (d DepthSource) {
	k.what = "depth"
	if n.Kind == yaml.ScalarNode {
		return DepthSource{Is: k.text(n)}
	}
	k.read(n, map[string]func(*yaml.Node){
		"top":    func(n *yaml.Node) { d.Top = k.text(n) },
		"bottom": func(n *yaml.Node) { d.Bottom = k.text(n) },
		"column": func(n *yaml.Node) { d.Column = k.text(n) },
		"is":     func(n *yaml.Node) { d.Is = k.text(n) },
		"unit":   func(n *yaml.Node) { d.Unit = k.text(n) },
		"names":  func(n *yaml.Node) { d.Names = k.names(n) },
	})
	return d
}

var (
	massForm    = regexp.MustCompile(`^([0-9.]+) million lb per ([0-9.]+) in$`)
	densityForm = regexp.MustCompile(`^([0-9.]+) (?:g/cm3|kg/l|kg/L)$`)
)

// soilMass reads 0.3, "2 million lb per 6 in" or a bulk density, "1.32 g/cm3".
func (k keys) soilMass(n *yaml.Node) unit.PoundsPerMillion {
	text := strings.Join(strings.Fields(k.text(n)), " ")
	if text == Undecided {
		return 0 // told of where results need it
	}
	mass := unit.PoundsPerMillion(0)
	if v, ok := readNumber(text, "."); ok {
		mass = unit.PoundsPerMillion(v)
	} else if found := massForm.FindStringSubmatch(text); found != nil {
		pounds, _ := readNumber(found[1], ".")
		inches, _ := readNumber(found[2], ".")
		mass = unit.PoundsPerMillion(pounds / inches)
	} else if found := densityForm.FindStringSubmatch(text); found != nil {
		v, _ := readNumber(found[1], ".")
		mass = soil.ConventionOf(unit.Density(v))
	}
	if !(mass >= 0.1 && mass <= 0.5) {
		k.key = "soil-mass"
		k.wrong(n, "the mass of soil cannot be read or is not one of a soil", `0.3 (million lb to the acre-inch), 2 million lb per 6 in, or a bulk density such as 1.32 g/cm3`)
		return 0
	}
	return mass
}

func (k keys) columns(n *yaml.Node) (columns []Column) {
	if n.Kind != yaml.SequenceNode {
		k.wrong(n, "the results cannot be read", "a list, each with column, analyte, unit and method")
		return nil
	}
	k.what = "result"
	for _, item := range n.Content {
		c := Column{line: item.Line}
		k.read(item, map[string]func(*yaml.Node){
			"column":            func(n *yaml.Node) { c.Column = k.text(n) },
			"element":           func(n *yaml.Node) { c.Element = k.text(n) },
			"test":              func(n *yaml.Node) { c.Test = k.text(n) },
			"analyte":           func(n *yaml.Node) { c.Analyte = season.Analyte(k.text(n)) },
			"unit":              func(n *yaml.Node) { c.Unit = k.text(n) },
			"unit-column":       func(n *yaml.Node) { c.UnitColumn = k.text(n) },
			"as":                func(n *yaml.Node) { c.As = k.text(n) },
			"method":            func(n *yaml.Node) { c.Method = k.text(n) },
			"limit":             func(n *yaml.Node) { c.Limit = k.text(n) },
			"when-not-detected": func(n *yaml.Node) { c.WhenNotDetected = k.text(n) },
			"when-over":         func(n *yaml.Node) { c.WhenOver = k.text(n) },
		})
		columns = append(columns, c)
	}
	return columns
}
