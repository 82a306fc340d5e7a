package lab

import (
	"bytes"
	"slices"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"
)

// File writes the mapping in the form that ReadMapping reads, with remarks as comments above it.
func (m Mapping) File(remarks []string) ([]byte, error) {
	root := &mappingNode{}
	root.node("lab-mapping", &yaml.Node{Kind: yaml.ScalarNode, Value: mappingFormat})
	root.put("lab", m.Lab)
	if m.LabIn.given() {
		root.node("lab", sourceNode(m.LabIn))
	}
	root.list("sheet", m.Sheets)
	root.number("header-row", m.HeaderRow)
	root.number("header-rows", m.HeaderRows)
	root.put("delimiter", m.Delimiter)
	root.put("decimal", m.Decimal)
	root.put("date-format", m.DateFormat)
	root.node("sample", sourceNode(m.Sample))
	root.node("field", sourceNode(m.Field))
	root.node("zone", sourceNode(m.Zone))
	root.node("date", sourceNode(m.Date))
	root.node("depth", depthNode(m.Depth))
	needsMass := slices.ContainsFunc(m.Results, func(c Column) bool { return isPerArea(c.Unit) })
	switch {
	case m.SoilMass == 0 && needsMass:
		root.put("soil-mass", Undecided)
	case m.SoilMass != 0:
		root.node("soil-mass", &yaml.Node{Kind: yaml.ScalarNode, Value: strconv.FormatFloat(float64(m.SoilMass), 'g', -1, 64)})
	}
	root.list("not-detected", m.NotDetected)
	root.list("not-measured", m.NotMeasured)
	results := &yaml.Node{Kind: yaml.SequenceNode}
	for _, c := range m.Results {
		results.Content = append(results.Content, columnNode(c))
	}
	if len(results.Content) > 0 {
		root.node("results", results)
	}
	root.list("leave-out", m.LeaveOut)

	var out bytes.Buffer
	for _, remark := range remarks {
		out.WriteString("# " + strings.Join(strings.Fields(remark), " ") + "\n")
	}
	encoder := yaml.NewEncoder(&out)
	encoder.SetIndent(2)
	if err := encoder.Encode(&root.Node); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

// mappingNode is a YAML mapping that leaves out what is empty.
type mappingNode struct{ yaml.Node }

func (n *mappingNode) node(key string, value *yaml.Node) {
	if value == nil {
		return
	}
	n.Kind = yaml.MappingNode
	n.Content = append(n.Content, &yaml.Node{Kind: yaml.ScalarNode, Value: key}, value)
}

func (n *mappingNode) put(key, text string) {
	if text != "" {
		n.node(key, textNode(text))
	}
}

func (n *mappingNode) number(key string, v int) {
	if v != 0 {
		n.node(key, &yaml.Node{Kind: yaml.ScalarNode, Value: strconv.Itoa(v)})
	}
}

func (n *mappingNode) list(key string, texts []string) {
	if len(texts) == 0 {
		return
	}
	list := &yaml.Node{Kind: yaml.SequenceNode, Style: yaml.FlowStyle}
	for _, text := range texts {
		list.Content = append(list.Content, textNode(text))
	}
	n.node(key, list)
}

func (n *mappingNode) names(key string, names map[string]string) {
	if len(names) == 0 {
		return
	}
	var from []string
	for name := range names {
		from = append(from, name)
	}
	slices.Sort(from)
	node := &yaml.Node{Kind: yaml.MappingNode}
	for _, name := range from {
		node.Content = append(node.Content, textNode(name), textNode(names[name]))
	}
	n.node(key, node)
}

// textNode is text; the encoder quotes it where plain YAML would take it for something else.
func textNode(text string) *yaml.Node {
	n := &yaml.Node{}
	n.SetString(text)
	if n.Style == yaml.LiteralStyle || strings.TrimSpace(text) != text {
		n.Style = yaml.DoubleQuotedStyle
	}
	return n
}

func sourceNode(s Source) *yaml.Node {
	if !s.given() && len(s.Names) == 0 {
		return nil
	}
	n := &mappingNode{}
	n.put("column", s.Column)
	n.put("is", s.Is)
	n.names("names", s.Names)
	n.Style = yaml.FlowStyle
	return &n.Node
}

func depthNode(d DepthSource) *yaml.Node {
	if !d.given() {
		return nil
	}
	n := &mappingNode{}
	n.put("is", d.Is)
	n.put("top", d.Top)
	n.put("bottom", d.Bottom)
	n.put("column", d.Column)
	n.put("unit", d.Unit)
	n.names("names", d.Names)
	n.Style = yaml.FlowStyle
	return &n.Node
}

func columnNode(c Column) *yaml.Node {
	n := &mappingNode{}
	n.Kind = yaml.MappingNode // even of a column that says nothing
	n.put("column", c.Column)
	n.put("element", c.Element)
	n.put("test", c.Test)
	n.put("analyte", string(c.Analyte))
	n.put("unit", c.Unit)
	n.put("unit-column", c.UnitColumn)
	n.put("as", c.As)
	n.put("method", c.Method)
	n.put("limit", c.Limit)
	n.put("when-not-detected", c.WhenNotDetected)
	n.put("when-over", c.WhenOver)
	n.Style = yaml.FlowStyle
	return &n.Node
}
