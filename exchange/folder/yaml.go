package folder

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"culm/agronomy/unit"

	"go.yaml.in/yaml/v3"
)

// property is one key of a mapping, both ways. It reads yaml.Nodes and not Go values so that every problem
// can name its line.
type property[T any] struct {
	key    string
	needed bool
	read   func(v *value, to *T)
	write  func(of *T, system unit.System) *yaml.Node // nil where there is nothing to write
}

func (p property[T]) must() property[T] {
	p.needed = true
	return p
}

// value is a value in season.yaml under its key.
type value struct {
	node   *yaml.Node
	key    string
	report *report
	failed *bool
}

func (v *value) wrong(message, found, expected string) {
	*v.failed = true
	v.report.wrong(v.node.Line, v.key, message, found, expected)
}

func (v *value) where() string { return fmt.Sprintf("%s:%d", v.report.file, v.node.Line) }

// scalar gives the text of a value that is neither a list nor a mapping.
func (v *value) scalar() (string, bool) {
	switch v.node.Kind {
	case yaml.ScalarNode:
		if v.node.ShortTag() == "!!null" {
			return "", true
		}
		return v.node.Value, true
	default:
		v.wrong("the value cannot be read", kindOf(v.node), "one word or number")
		return "", false
	}
}

func kindOf(n *yaml.Node) string {
	switch n.Kind {
	case yaml.MappingNode:
		return "a mapping of keys"
	case yaml.SequenceNode:
		return "a list"
	case yaml.AliasNode:
		return "an alias, *" + n.Value
	default:
		return quoted(n.Value)
	}
}

// mostNodes bounds what a document may grow to in memory: each of these signs can begin another node.
const (
	nodeSigns = "\n,:-[{?"
	mostNodes = 4_000_000
)

// parseYAML gives the root of a document. Aliases are never followed, so a few lines cannot unfold into
// gigabytes; the number of nodes is bounded before they are made.
func parseYAML(data []byte, r *report) *yaml.Node {
	signs := 0
	for _, c := range []byte(nodeSigns) {
		signs += bytes.Count(data, []byte{c})
	}
	if signs > mostNodes {
		r.wrong(0, "", "the file is too intricate to read", fmt.Sprintf("%d signs that could begin a value", signs), fmt.Sprintf("at most %d", mostNodes))
		return nil
	}
	decoder := yaml.NewDecoder(bytes.NewReader(data))
	var document yaml.Node
	if err := decoder.Decode(&document); err != nil {
		reportYAML(err, r)
		return nil
	}
	if err := decoder.Decode(new(yaml.Node)); !errors.Is(err, io.EOF) {
		r.doubt(0, "", "the file holds more than one document; only the first is read", "", "one document, without ---")
	}
	if len(document.Content) == 0 || document.Content[0].ShortTag() == "!!null" {
		return &yaml.Node{Kind: yaml.MappingNode, Line: 1}
	}
	return document.Content[0]
}

// reportYAML finds the line in the message of a syntax error.
func reportYAML(err error, r *report) {
	message, line := strings.TrimPrefix(err.Error(), "yaml: "), 0
	if m := regexp.MustCompile(`^line (\d+): (.*)`).FindStringSubmatch(message); m != nil {
		line, _ = strconv.Atoi(m[1])
		message = m[2]
	}
	if errors.Is(err, io.EOF) {
		message = "it ends too early"
	}
	r.wrong(line, "", "the file is not readable as YAML: "+message, "",
		"keys and values such as \"name: Linden Flats\", lists with - in front, spaces and no tabs before them")
}

// readMapping reads a mapping's properties, in their order and not the file's: some lean on others. It
// returns false when something was wrong with it.
func readMapping[T any](n *yaml.Node, properties []property[T], to *T, r *report, what string) bool {
	failed := false
	whole := value{node: n, key: what, report: r, failed: &failed}
	if n.Kind != yaml.MappingNode {
		whole.wrong("this cannot be read", kindOf(n), "a mapping of keys and values")
		return false
	}
	at := map[string]*yaml.Node{}
	for i := 0; i+1 < len(n.Content); i += 2 {
		key := n.Content[i]
		if _, twice := at[key.Value]; twice {
			failed = true
			r.wrong(key.Line, key.Value, "a key stands twice", quoted(key.Value), "each key once")
		}
		at[key.Value] = n.Content[i+1]
		if !slices.ContainsFunc(properties, func(p property[T]) bool { return p.key == key.Value }) {
			r.doubt(key.Line, key.Value, "the key is not known here and is left out", quoted(key.Value), "one of "+keysOf(properties))
		}
	}
	for _, p := range properties {
		child, present := at[p.key]
		switch {
		case present:
			p.read(&value{node: child, key: p.key, report: r, failed: &failed}, to)
		case p.needed:
			failed = true
			r.wrong(n.Line, p.key, "a key is missing", "", quoted(p.key)+" in every "+what)
		}
	}
	return !failed
}

func keysOf[T any](properties []property[T]) string {
	var keys []string
	for _, p := range properties {
		keys = append(keys, p.key)
	}
	return strings.Join(keys, ", ")
}

func writeMapping[T any](of *T, properties []property[T], system unit.System) *yaml.Node {
	n := &yaml.Node{Kind: yaml.MappingNode}
	for _, p := range properties {
		if child := p.write(of, system); child != nil {
			n.Content = append(n.Content, scalarNode(p.key), child)
		}
	}
	return n
}

// scalarNode is text, in double quotes where plain YAML could take it for something else.
func scalarNode(text string) *yaml.Node {
	n := &yaml.Node{Kind: yaml.ScalarNode, Tag: "!!str", Value: text}
	unusual := strings.ContainsFunc(text, func(c rune) bool {
		return c < ' ' || c == 0x7F || c >= 0x80 && c < 0xA0 || c == 0x2028 || c == 0x2029 || c == 0xFEFF
	})
	if unusual || strings.TrimSpace(text) != text {
		n.Style = yaml.DoubleQuotedStyle
	}
	return n
}

// plainNode is a number, a date or a yes, which need no quotes.
func plainNode(text string) *yaml.Node { return &yaml.Node{Kind: yaml.ScalarNode, Value: text} }
