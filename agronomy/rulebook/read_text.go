package rulebook

import (
	"bytes"
	"errors"
	"io"
	"sort"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"
)

// document reads the one YAML document of a file; nil with a problem noted where there is none to read.
func (r *reader) document(text []byte) *yaml.Node {
	if len(text) > MaxText {
		r.fail(0, "", "the file has %d kB, expected at most %d", len(text)>>10, MaxText>>10)
		return nil
	}
	if !r.isText(text) {
		return nil
	}
	dec := yaml.NewDecoder(bytes.NewReader(text))
	var root yaml.Node
	if err := dec.Decode(&root); err != nil {
		r.notYAML(text, err)
		return nil
	}
	if err := dec.Decode(new(yaml.Node)); !errors.Is(err, io.EOF) {
		r.fail(0, "", "found a second document (---), expected one book in the file")
		return nil
	}
	if root.Kind != yaml.DocumentNode || len(root.Content) != 1 || root.Content[0].Kind != yaml.MappingNode {
		r.fail(1, "", "expected a book: keys with values such as key, name, region and rules")
		return nil
	}
	if r.plain(root.Content[0], 0); r.hidden(root.Content[0], 0) {
		return nil
	}
	return root.Content[0]
}

// isText says that a file can be read as text; the first thing that cannot is told with its line. Two bytes at the
// very beginning may say that it is UTF-16, which the YAML reader knows.
func (r *reader) isText(text []byte) bool {
	if bytes.HasPrefix(text, []byte{0xff, 0xfe}) || bytes.HasPrefix(text, []byte{0xfe, 0xff}) {
		return true
	}
	line := 1
	for rest := text; len(rest) > 0; {
		c, size := utf8.DecodeRune(rest)
		switch {
		case c == utf8.RuneError && size == 1:
			r.fail(line, "", "found the byte %#x, which is no letter in UTF-8; save the file as UTF-8 (it may be Latin-1)", rest[0])
			return false
		case c == '\n':
			line++
		case c < ' ' && c != '\t' && c != '\r', c == 0x7f:
			r.fail(line, "", "found the control character %U, expected plain text", c)
			return false
		}
		rest = rest[size:]
	}
	return true
}

// notYAML tells why a text could not be read. What the YAML reader says of a tab and of depth only a programmer
// understands.
func (r *reader) notYAML(text []byte, err error) {
	switch tab := tabbed(text); {
	case errors.Is(err, io.EOF):
		r.fail(1, "", "the file is empty, expected a book: key, name, region and rules")
	case tab > 0:
		r.fail(tab, "", "the line begins with a tab, expected spaces")
	case strings.Contains(err.Error(), "exceeded max depth"):
		r.fail(lineOf(err), "", "the keys are nested deeper than %d", maxDepth)
	case isUnexpectedLine(err):
		r.fail(brokenAt(text), "", "the line is not set in like its neighbours, or is no key with a value")
	default:
		r.fail(lineOf(err), "", "%s", spoken(err))
	}
}

// isUnexpectedLine says that a line does not fit the list or keys it stands among; the YAML reader then names the line
// where those begin.
func isUnexpectedLine(err error) bool {
	text := spoken(err)
	return text == "did not find expected key" || text == "did not find expected '-' indicator"
}

// brokenAt finds the line from which on a text cannot be read, by reading shorter beginnings of it.
func brokenAt(text []byte) int {
	lines := bytes.SplitAfter(text, []byte("\n"))
	return 1 + sort.Search(len(lines)-1, func(n int) bool {
		err := yaml.NewDecoder(bytes.NewReader(bytes.Join(lines[:n+1], nil))).Decode(new(yaml.Node))
		return err != nil && isUnexpectedLine(err)
	})
}

// tabbed is the first line that is set in with a tab; 0 for none.
func tabbed(text []byte) int {
	for i, line := range bytes.Split(text, []byte("\n")) {
		if in := line[:len(line)-len(bytes.TrimLeft(line, " \t"))]; bytes.ContainsRune(in, '\t') && len(in) < len(line) {
			return i + 1
		}
	}
	return 0
}

// hidden refuses characters that nobody sees and a screen obeys: controls, and those that turn the direction of
// writing.
func (r *reader) hidden(n *yaml.Node, depth int) bool {
	if depth > maxDepth {
		return false
	}
	for _, c := range n.Value {
		if c != '\n' && c != '\t' && unicode.In(c, unicode.Cc, unicode.Cf) {
			r.fail(n.Line, "", "found the hidden character %U, expected text that can be seen", c)
			return true
		}
	}
	found := false
	for _, inner := range n.Content {
		found = r.hidden(inner, depth+1) || found
	}
	return found
}

// lineOf finds the line that the YAML reader names: "yaml: line 5: ...".
func lineOf(err error) int {
	_, after, _ := strings.Cut(err.Error(), "line ")
	number, _, _ := strings.Cut(after, ":")
	n, _ := strconv.Atoi(number) // 0 where it names none
	return n
}

// spoken leaves out what only a programmer reads.
func spoken(err error) string {
	text := strings.TrimPrefix(err.Error(), "yaml: ")
	if n := lineOf(err); n > 0 {
		text = strings.Replace(text, "line "+strconv.Itoa(n)+": ", "", 1)
	}
	return text
}

// plain refuses what a book does not need and a hostile one would use.
func (r *reader) plain(n *yaml.Node, depth int) {
	switch {
	case depth > maxDepth:
		r.fail(n.Line, "", "the keys are nested deeper than %d", maxDepth)
		return
	case n.Kind == yaml.AliasNode, n.Anchor != "":
		r.fail(n.Line, "", "found an anchor or alias (& or *), expected plain values")
		return
	case n.Style&yaml.TaggedStyle != 0:
		r.fail(n.Line, "", "found the tag %s, expected plain values", n.Tag)
	case n.Kind == yaml.ScalarNode && n.Tag == "!!merge":
		r.fail(n.Line, "", "found <<, expected plain keys")
	}
	for _, inner := range n.Content {
		r.plain(inner, depth+1)
	}
}
