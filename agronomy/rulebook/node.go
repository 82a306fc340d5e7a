package rulebook

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"
)

// Limits of a book's file, so that a hostile one costs little.
const (
	MaxText  = 256 << 10 // bytes
	maxDepth = 24        // of YAML
	maxRules = 64
	maxParts = 64 // inputs, constants, steps, terms, tables: of each
	maxCells = 4096
	maxWords = 200
	maxClaim = 64
	// maxNumber is beyond any number of the trade.
	maxNumber = 1e9
)

// reader gathers problems while a file is read.
type reader struct {
	file     string
	stage    Stage
	problems []Problem
}

// maxProblems is where a reader stops listing: a file that is wrong throughout is told so in a page.
const maxProblems = 200

func (r *reader) fail(line int, field, format string, args ...any) {
	if len(r.problems) < maxProblems {
		r.problems = append(r.problems, Problem{Stage: r.stage, File: r.file, Line: line, Field: field, Text: fmt.Sprintf(format, args...)})
	}
}

// mapping is keys with values at a place of the file.
type mapping struct {
	r      *reader
	line   int
	path   string
	keys   []*yaml.Node
	values map[string]*yaml.Node
}

// mapping reads keys with values; only the known keys where any are named.
func (r *reader) mapping(n *yaml.Node, path string, known ...string) mapping {
	m := mapping{r: r, line: n.Line, path: path, values: map[string]*yaml.Node{}}
	if n.Kind != yaml.MappingNode {
		r.fail(n.Line, path, "found %s, expected keys with values", found(n))
		return m
	}
	for i := 0; i+1 < len(n.Content); i += 2 {
		key, value := n.Content[i], n.Content[i+1]
		switch {
		case key.Kind != yaml.ScalarNode:
			r.fail(key.Line, path, "found %s as a key, expected a word", found(key))
		case m.values[key.Value] != nil:
			r.fail(key.Line, join(path, key.Value), "stands here a second time")
		case value.Tag == "!!null" && digits(key.Value) && m.lastIsNumber():
			last := m.keys[len(m.keys)-1].Value
			r.fail(key.Line, join(path, last), "a comma begins a new key; decimals stand behind a point: %s.%s", m.values[last].Value, key.Value)
		case len(known) > 0 && !slices.Contains(known, key.Value):
			r.fail(key.Line, path, "the key %q is not known here; %s", key.Value, meant(key.Value, known))
		default:
			m.keys = append(m.keys, key)
			m.values[key.Value] = value
		}
	}
	return m
}

// lastIsNumber says that the key before has a number.
func (m mapping) lastIsNumber() bool {
	return len(m.keys) > 0 && isNumber(m.values[m.keys[len(m.keys)-1].Value])
}

func join(path, key string) string {
	if path == "" || key == "" {
		return path + key
	}
	return path + "." + key
}

// found names a value for a message.
func found(n *yaml.Node) string {
	switch n.Kind {
	case yaml.MappingNode:
		return "keys with values"
	case yaml.SequenceNode:
		return "a list"
	}
	if n.Value == "" || n.Tag == "!!null" {
		return "nothing"
	}
	if text := []rune(n.Value); len(text) > 40 {
		return strconv.Quote(string(text[:40]) + "…")
	}
	return strconv.Quote(n.Value)
}

// meant suggests the known word nearest to a wrong one, or lists them.
func meant(wrong string, known []string) string {
	best, least := "", 3
	for _, k := range known {
		if d := distance(strings.ToLower(wrong), strings.ToLower(k), least); d < least {
			best, least = k, d
		}
	}
	if best != "" {
		return "perhaps " + strconv.Quote(best) + " is meant"
	}
	return "known are " + strings.Join(known, ", ")
}

// distance counts the letters to be changed between two words; most or more where it is not less than most.
func distance(a, b string, most int) int {
	if len(a)-len(b) >= most || len(b)-len(a) >= most {
		return most
	}
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		diagonal := row[0]
		row[0] = i + 1
		for j := range len(b) {
			change := diagonal
			if a[i] != b[j] {
				change++
			}
			diagonal = row[j+1]
			row[j+1] = min(change, row[j]+1, row[j+1]+1)
		}
	}
	return row[len(b)]
}

// has says that a key is there with a value.
func (m mapping) has(key string) bool {
	n := m.values[key]
	return n != nil && n.Tag != "!!null"
}

// at is the line of a key's value, or of the mapping where the key is missing.
func (m mapping) at(key string) int {
	if n := m.values[key]; n != nil {
		return n.Line
	}
	return m.line
}

func (m mapping) fail(key, format string, args ...any) {
	m.r.fail(m.at(key), join(m.path, key), format, args...)
}

// text reads an optional text.
func (m mapping) text(key string) string {
	if !m.has(key) {
		return ""
	}
	n := m.values[key]
	if n.Kind != yaml.ScalarNode {
		m.fail(key, "found %s, expected text", found(n))
		return ""
	}
	return strings.TrimSpace(n.Value)
}

// needed reads a text that must be there.
func (m mapping) needed(key string) string {
	s := m.text(key)
	if s == "" && (m.values[key] == nil || m.values[key].Kind == yaml.ScalarNode) {
		m.fail(key, "must be given")
	}
	return s
}

// oneOf reads a word out of a list; empty where it is missing or another.
func (m mapping) oneOf(key string, known ...string) string {
	s := m.text(key)
	if s != "" && !slices.Contains(known, s) {
		m.fail(key, "found %q; %s", s, meant(s, known))
		return ""
	}
	return s
}

// plainNumber says that a number is written as people write it: 2.5, -0.7, 1e-3, and not .5, 0x10 or 1_000.
func plainNumber(text string) bool {
	mantissa, exponent, hasExponent := strings.Cut(strings.ToLower(text), "e")
	whole, fraction, hasFraction := strings.Cut(strings.TrimLeft(mantissa, "+-"), ".")
	switch {
	case len(mantissa)-len(strings.TrimLeft(mantissa, "+-")) > 1, !digits(whole):
		return false
	case hasFraction && !digits(fraction):
		return false
	case hasExponent:
		exponent = strings.TrimPrefix(strings.TrimPrefix(exponent, "+"), "-")
		return digits(exponent) && len(exponent) <= 3
	default:
		return true
	}
}

func digits(text string) bool { return text != "" && strings.Trim(text, "0123456789") == "" }

// asNumber reads a number as people write it; false with a problem where it is none.
func (r *reader) asNumber(n *yaml.Node, field string) (float64, bool) {
	if !isNumber(n) {
		r.fail(n.Line, field, "found %s, expected a number such as 2.5%s", found(n), instead(n))
		return 0, false
	}
	v, err := strconv.ParseFloat(n.Value, 64)
	if err != nil || math.Abs(v) > maxNumber {
		r.fail(n.Line, field, "%s is too large for a book, expected at most 1e9", n.Value)
		return 0, false
	}
	return v, true
}

// instead says how a number should be written that people write another way.
func instead(n *yaml.Node) string {
	number, unit, hasUnit := strings.Cut(n.Value, " ")
	whole, fraction, hasComma := strings.Cut(number, ",")
	switch {
	case n.Kind != yaml.ScalarNode:
		return ""
	case hasComma && plainNumber(whole) && digits(fraction):
		return "; decimals stand behind a point: " + whole + "." + fraction
	case hasUnit && unit != "" && plainNumber(number) && !strings.ContainsAny(unit[:1], "+-*/<>=!?"):
		return "; the unit (" + unit + ") does not stand beside the number"
	default:
		return ""
	}
}

// isNumber says that a value is written as a number.
func isNumber(n *yaml.Node) bool {
	return n.Kind == yaml.ScalarNode && n.Style&(yaml.DoubleQuotedStyle|yaml.SingleQuotedStyle) == 0 && plainNumber(n.Value)
}

// number reads an optional number.
func (m mapping) number(key string) (float64, bool) {
	if !m.has(key) {
		return 0, false
	}
	return m.r.asNumber(m.values[key], join(m.path, key))
}

// neededNumber reads a number that must be there.
func (m mapping) neededNumber(key string) float64 {
	if !m.has(key) {
		m.fail(key, "must be given")
		return 0
	}
	v, _ := m.number(key)
	return v
}

// yes reads an optional true or false.
func (m mapping) yes(key string) bool {
	switch s := m.text(key); s {
	case "true":
		return true
	case "", "false":
		return false
	default:
		m.fail(key, "found %q, expected true or false", s)
		return false
	}
}

// list reads an optional list, or one value as a list of one.
func (m mapping) list(key string, most int) []*yaml.Node {
	if !m.has(key) {
		return nil
	}
	n := m.values[key]
	if n.Kind != yaml.SequenceNode {
		m.fail(key, "found %s, expected a list", found(n))
		return nil
	}
	if len(n.Content) > most {
		m.fail(key, "found %d, expected at most %d", len(n.Content), most)
		return n.Content[:most]
	}
	return n.Content
}

// texts reads an optional list of texts.
func (m mapping) texts(key string, most int) []string {
	var all []string
	for _, n := range m.list(key, most) {
		if n.Kind != yaml.ScalarNode || strings.TrimSpace(n.Value) == "" {
			m.r.fail(n.Line, join(m.path, key), "found %s, expected text", found(n))
			continue
		}
		all = append(all, strings.TrimSpace(n.Value))
	}
	return all
}

// pair reads two numbers that rise; false where there are none.
func (m mapping) pair(key string) (low, high float64, ok bool) {
	all := m.list(key, 2)
	if all == nil {
		return 0, 0, false
	}
	if len(all) != 2 {
		m.fail(key, "found %d numbers, expected two: [low, high]", len(all))
		return 0, 0, false
	}
	low, ok1 := m.r.asNumber(all[0], join(m.path, key))
	high, ok2 := m.r.asNumber(all[1], join(m.path, key))
	return low, high, ok1 && ok2
}

// under reads the keys with values below an optional key, keeping to a number of them.
func (m mapping) under(key string, most int, known ...string) mapping {
	if !m.has(key) {
		return mapping{r: m.r, line: m.line, path: join(m.path, key)}
	}
	inner := m.r.mapping(m.values[key], join(m.path, key), known...)
	if len(inner.keys) > most {
		m.fail(key, "found %d, expected at most %d", len(inner.keys), most)
		inner.keys = inner.keys[:most]
	}
	return inner
}
