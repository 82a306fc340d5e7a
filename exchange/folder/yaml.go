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
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/agronomy/working"

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
	mostNodes = 6_000_000
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

func textKey[T any](key string, at func(*T) *string) property[T] {
	return property[T]{
		key: key,
		read: func(v *value, to *T) {
			if text, ok := v.scalar(); ok {
				*at(to) = text
			}
		},
		write: func(of *T, _ unit.System) *yaml.Node {
			if *at(of) == "" {
				return nil
			}
			return scalarNode(*at(of))
		},
	}
}

// listKey is a list of words; one word alone is a list of one.
func listKey[T any](key string, at func(*T) *[]string) property[T] {
	return property[T]{
		key: key,
		read: func(v *value, to *T) {
			items := []*yaml.Node{v.node}
			if v.node.Kind == yaml.SequenceNode {
				items = v.node.Content
			}
			for _, item := range items {
				one := value{node: item, key: v.key, report: v.report, failed: v.failed}
				if text, ok := one.scalar(); ok && text != "" {
					*at(to) = append(*at(to), text)
				}
			}
		},
		write: func(of *T, _ unit.System) *yaml.Node {
			if len(*at(of)) == 0 {
				return nil
			}
			n := &yaml.Node{Kind: yaml.SequenceNode, Style: yaml.FlowStyle}
			for _, text := range *at(of) {
				n.Content = append(n.Content, scalarNode(text))
			}
			return n
		},
	}
}

func choiceKey[T any, W ~string](key string, at func(*T) *W, allowed ...W) property[T] {
	return property[T]{
		key: key,
		read: func(v *value, to *T) {
			text, ok := v.scalar()
			switch {
			case !ok || text == "":
			case slices.Contains(allowed, W(text)):
				*at(to) = W(text)
			default:
				v.wrong("the word is not known", quoted(text), oneOf(allowed))
			}
		},
		write: func(of *T, _ unit.System) *yaml.Node {
			if *at(of) == "" {
				return nil
			}
			return scalarNode(string(*at(of)))
		},
	}
}

func dateKey[T any](key string, at func(*T) *calendar.Day) property[T] {
	return property[T]{
		key: key,
		read: func(v *value, to *T) {
			text, ok := v.scalar()
			if !ok || text == "" {
				return
			}
			day, ok := parseDay([]byte(text))
			if !ok {
				v.wrong("the date cannot be read", quoted(text), expectedDate)
			}
			*at(to) = day
		},
		write: func(of *T, _ unit.System) *yaml.Node {
			if at(of).IsZero() {
				return nil
			}
			return plainNode(at(of).String())
		},
	}
}

func momentKey[T any](key string, at func(*T) *time.Time) property[T] {
	return property[T]{
		key: key,
		read: func(v *value, to *T) {
			text, ok := v.scalar()
			if !ok {
				return
			}
			t, ok := parseMoment(text)
			if !ok {
				v.wrong("the time cannot be read", quoted(text), "a date, or a date and time with its zone")
			}
			*at(to) = t
		},
		write: func(of *T, _ unit.System) *yaml.Node {
			if at(of).IsZero() {
				return nil
			}
			return plainNode(at(of).UTC().Format(time.RFC3339Nano))
		},
	}
}

func yesKey[T any](key string, at func(*T) *bool) property[T] {
	return property[T]{
		key: key,
		read: func(v *value, to *T) {
			switch text, ok := v.scalar(); {
			case !ok:
			case text == "true" || text == "yes":
				*at(to) = true
			case text != "false" && text != "no" && text != "":
				v.wrong("the answer cannot be read", quoted(text), "yes or no")
			}
		},
		write: func(of *T, _ unit.System) *yaml.Node {
			if !*at(of) {
				return nil
			}
			return plainNode("yes")
		},
	}
}

func wholeKey[T any](key string, at func(*T) *int) property[T] {
	return property[T]{
		key: key,
		read: func(v *value, to *T) {
			text, ok := v.scalar()
			if !ok || text == "" {
				return
			}
			n, err := strconv.Atoi(text)
			if err != nil {
				v.wrong("the number cannot be read", quoted(text), "a whole number")
			}
			*at(to) = n
		},
		write: func(of *T, _ unit.System) *yaml.Node {
			if *at(of) == 0 {
				return nil
			}
			return plainNode(strconv.Itoa(*at(of)))
		},
	}
}

// amountKey is an amount with its unit, such as "45 bu/ac". Which units there are may hang on what was read
// before.
func amountKey[T any, Q ~float64](key string, scales func(*T) []scale, at func(*T) *Q) property[T] {
	return property[T]{
		key: key,
		read: func(v *value, to *T) {
			if amount, ok := v.amount(scales(to)); ok {
				*at(to) = Q(amount)
			}
		},
		write: func(of *T, system unit.System) *yaml.Node {
			return amountNode(float64(*at(of)), scales(of), system)
		},
	}
}

func numberKey[T any, Q ~float64](key string, at func(*T) *Q) property[T] {
	return amountKey(key, func(*T) []scale { return plainNumber() }, at)
}

func amountNode(v float64, scales []scale, system unit.System) *yaml.Node {
	s := scales[forSystem(scales, system)]
	return plainNode(strings.TrimSpace(s.format(v) + " " + s.symbol))
}

func (v *value) amount(scales []scale) (float64, bool) {
	text, ok := v.scalar()
	if !ok {
		return 0, false
	}
	number, symbol := splitAmount(text)
	i := slices.IndexFunc(scales, func(s scale) bool { return s.symbol == symbol })
	switch {
	case i < 0 && symbol == "":
		v.wrong("the amount has no unit", quoted(text), "a number and "+oneOf(symbols(scales))+", such as "+strings.TrimSpace("45 "+scales[0].symbol))
	case i < 0:
		v.wrong("the unit is not known here", quoted(text), "a number and "+oneOf(symbols(scales)))
	default:
		amount, ok := scales[i].parse([]byte(number))
		if !ok {
			v.wrong("the number cannot be read", quoted(text), expectedNumber(number))
		}
		return amount, ok
	}
	return 0, false
}

// splitAmount parts "45 bu/ac" into number and unit, with or without a space between them.
func splitAmount(text string) (number, symbol string) {
	text = strings.TrimSpace(text)
	end := strings.LastIndexAny(text, "0123456789")
	if space := strings.IndexByte(text, ' '); space >= 0 {
		end = space - 1
	} else if slash := strings.IndexByte(text, '/'); slash >= 0 {
		end = strings.LastIndexAny(text[:slash], "0123456789")
	}
	return strings.TrimSpace(text[:end+1]), strings.TrimSpace(text[end+1:])
}

// factKey is an amount with its origin: "45 bu/ac" alone where the origin is the usual one, or else a
// mapping of the value and the parts of its origin.
func factKey[T any, Q unit.Quantity](key string, scales func(*T) []scale, usual working.Origin, at func(*T) *working.Fact[Q]) property[T] {
	return property[T]{
		key: key,
		read: func(v *value, to *T) {
			f := working.Fact[Q]{Origin: usual}
			f.Origin.Where = v.where()
			given := value{node: v.node, key: v.key, report: v.report, failed: v.failed}
			if v.node.Kind == yaml.MappingNode {
				given.node = v.origin(&f.Origin)
			}
			if given.node == nil {
				v.wrong("the amount is missing", "a mapping without value", "value: 45 bu/ac, and what is known of its origin")
				return
			}
			if amount, ok := given.amount(scales(to)); ok {
				f.Value = Q(amount)
				*at(to) = f
			}
		},
		write: func(of *T, system unit.System) *yaml.Node {
			f := at(of)
			if !f.Known() {
				return nil
			}
			amount := amountNode(float64(f.Value), scales(of), system)
			parts := differing(f.Origin, usual)
			if len(parts) == 0 {
				return amount
			}
			n := &yaml.Node{Kind: yaml.MappingNode, Content: []*yaml.Node{plainNode("value"), amount}}
			for _, part := range parts {
				n.Content = append(n.Content, scalarNode(part[0]), scalarNode(part[1]))
			}
			return n
		},
	}
}

// origin reads the parts of an origin and gives the node of the value among them.
func (v *value) origin(o *working.Origin) (amount *yaml.Node) {
	for i := 0; i+1 < len(v.node.Content); i += 2 {
		key, child := v.node.Content[i], v.node.Content[i+1]
		part := value{node: child, key: key.Value, report: v.report, failed: v.failed}
		if key.Value == "value" {
			amount = child
			continue
		}
		text, ok := part.scalar()
		if !ok {
			continue
		}
		if err := setOrigin(o, key.Value, text); err != nil {
			part.wrong("the origin cannot be read", err.Error(), "value, kind, by, on, with, source or why")
		}
	}
	return amount
}
