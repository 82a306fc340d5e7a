package rulebook

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"

	"culm/agronomy/cite"
	"culm/season"
)

// Parse reads one book. The name of its file stands in front of every problem, with the line. A key that
// is not known, a number out of bounds, a publication that is not in the catalogue, and a worked example
// that does not come out as printed are all problems.
func Parse(name string, text []byte) (Book, error) {
	var root yaml.Node
	if err := yaml.Unmarshal(text, &root); err != nil {
		return Book{}, spoken(name, err)
	}
	if root.Kind == 0 || root.Content[0].Kind != yaml.MappingNode {
		return Book{}, fmt.Errorf("%s:1: expected a rulebook, a list of keys with values such as key, name and region", name)
	}
	c := &checker{file: name, root: root.Content[0]}
	c.numbers(c.root)
	if len(c.problems) > 0 {
		return Book{}, errors.Join(c.problems...)
	}
	var b Book
	dec := yaml.NewDecoder(bytes.NewReader(text))
	dec.KnownFields(true)
	if err := dec.Decode(&b); err != nil {
		return Book{}, spoken(name, err)
	}
	if err := dec.Decode(new(yaml.Node)); !errors.Is(err, io.EOF) {
		return Book{}, fmt.Errorf("%s: expected one rulebook in the file, found a second document", name)
	}
	if c.book(&b); len(c.problems) > 0 {
		return Book{}, errors.Join(c.problems...)
	}
	b.expression = b.form().words(&b)
	if c.examples(&b); len(c.problems) > 0 {
		return Book{}, errors.Join(c.problems...)
	}
	return b, nil
}

// spoken puts the file in front of what the YAML reader found, and leaves out what only a programmer reads.
func spoken(name string, err error) error {
	var typed *yaml.TypeError
	if !errors.As(err, &typed) {
		return fmt.Errorf("%s: %s", name, strings.TrimPrefix(err.Error(), "yaml: "))
	}
	var all []error
	for _, found := range typed.Errors {
		line, what, _ := strings.Cut(strings.TrimPrefix(found, "line "), ": ")
		if key, ok := strings.CutPrefix(what, "field "); ok {
			key, _, _ := strings.Cut(key, " ")
			what = "the key " + strconv.Quote(key) + " is not known here"
		} else if value, kind, ok := strings.Cut(strings.TrimPrefix(what, "cannot unmarshal "), " into "); ok {
			what = "found " + value + ", expected " + wanted(kind)
		}
		all = append(all, fmt.Errorf("%s:%s: %s", name, line, what))
	}
	return errors.Join(all...)
}

func wanted(kind string) string {
	switch {
	case strings.HasPrefix(kind, "[]"):
		return "a list"
	case strings.HasPrefix(kind, "float"), strings.HasPrefix(kind, "int"):
		return "a number"
	case strings.HasPrefix(kind, "map"), strings.HasPrefix(kind, "rulebook."):
		return "keys with values"
	default:
		return "a word or text"
	}
}

// checker gathers problems and knows the line of every key.
type checker struct {
	file     string
	root     *yaml.Node
	problems []error
}

// problem notes that the value at a path of keys is wrong.
func (c *checker) problem(what string, path ...string) {
	node, deepest := c.root, c.root
	for _, key := range path {
		if node = child(node, key); node == nil {
			break
		}
		deepest = node
	}
	c.problems = append(c.problems, fmt.Errorf("%s:%d: %s %s", c.file, deepest.Line, strings.Join(path, "."), what))
}

// child finds the value of a key, or the element of a list by its number.
func child(n *yaml.Node, key string) *yaml.Node {
	if i, err := strconv.Atoi(key); err == nil && n.Kind == yaml.SequenceNode && i < len(n.Content) {
		return n.Content[i]
	}
	for i := 0; n.Kind == yaml.MappingNode && i+1 < len(n.Content); i += 2 {
		if n.Content[i].Value == key {
			return n.Content[i+1]
		}
	}
	return nil
}

// numbers refuses numbers that nothing can be reckoned with, wherever they stand.
func (c *checker) numbers(n *yaml.Node) {
	if n.Kind == yaml.ScalarNode && (n.Tag == "!!float" || n.Tag == "!!int") {
		var v float64
		if err := n.Decode(&v); err != nil || math.IsNaN(v) || math.Abs(v) > 1e6 {
			c.problems = append(c.problems, fmt.Errorf("%s:%d: %s is not a number a rulebook can have", c.file, n.Line, n.Value))
		}
	}
	for _, inner := range n.Content {
		c.numbers(inner)
	}
}

// book checks everything but the worked examples.
func (c *checker) book(b *Book) {
	if b.Key == "" || strings.Trim(b.Key, "abcdefghijklmnopqrstuvwxyz0123456789-") != "" {
		c.problem("must be made of small letters, digits and hyphens", "key")
	}
	for _, text := range [][2]string{{"name", b.Name}, {"region", b.Region}, {"edition", b.Edition}, {"fittedOn", b.FittedOn}} {
		if strings.TrimSpace(text[1]) == "" {
			c.problem("must be given", text[0])
		}
	}
	c.source(b.Source, "source")
	c.crops(b)
	if !b.Units.Rate.known() {
		c.problem("must be lb/ac or kg/ha", "units", "rate")
	}
	if !b.Units.Yield.known() {
		c.problem("must be wheat bu/ac, canola bu/ac, lb/ac, kg/ha or t/ha", "units", "yield")
	}
	for i, r := range b.Ranges {
		path := []string{"ranges", strconv.Itoa(i)}
		if !canBeBounded(r.Input) {
			c.problem("has an input that cannot be bounded", path...)
		}
		if r.High < r.Low || r.Note == "" {
			c.problem("needs low, high not below it, and a note", path...)
		}
	}
	forms := 0
	for _, set := range []bool{b.Balance != nil, b.PriceTable != nil, b.Ramp != nil, b.InSeason != nil, b.GreenArea != nil} {
		if set {
			forms++
		}
	}
	if forms != 1 {
		c.problem("must take one form: massBalance, priceTable, ramp, inSeason or greenArea")
		return
	}
	b.form().check(c, b)
}

// canBeBounded says that Inputs.number knows the input.
func canBeBounded(w What) bool {
	return slices.Contains([]What{YieldGoal, Nitrate, OrganicMatter, GrowingDays, Reading, FreshMass}, w)
}

func (c *checker) crops(b *Book) {
	known := []season.Crop{season.WheatGrain, season.WheatGrazed, season.WheatGrazeOut, season.Canola}
	for i, crop := range b.Crops {
		if !slices.Contains(known, crop) {
			c.problem("is not a crop; expected wheat-grain, wheat-grazed, wheat-graze-out or canola", "crops", strconv.Itoa(i))
		}
	}
	for crop, why := range b.Refuses {
		if !slices.Contains(known, crop) || b.For(crop) || why == "" {
			c.problem("needs a crop the book is not for, and the reason", "refuses", string(crop))
		}
	}
	if len(b.Crops) == 0 {
		c.problem("must name at least one crop", "crops")
	}
}

func (c *checker) source(k cite.Key, path ...string) {
	if _, ok := cite.Find(k); !ok {
		c.problem("names no publication of the catalogue: "+strconv.Quote(string(k)), path...)
	}
}

func (c *checker) status(s cite.Status, path ...string) {
	if strength(s) > 5 {
		c.problem("needs a status: confirmed in the source, quoted by another source, derived from confirmed facts, from memory, or common practice, no source", path...)
	}
}

func (c *checker) coefficient(k Coefficient, low, high float64, path ...string) {
	c.status(k.Status, path...)
	if k.Source != "" {
		c.source(k.Source, path...)
	}
	if !(k.Value >= low && k.Value <= high) {
		c.problem(fmt.Sprintf("must be from %s to %s, found %s", plain(low), plain(high), plain(k.Value)), path...)
	}
	if k.hasSpan() && !(k.Low >= low && k.Low <= k.Value && k.Value <= k.High && k.High <= high) {
		c.problem("needs low, value and high in that order", path...)
	}
}

func (c *checker) optional(k *Coefficient, low, high float64, path ...string) {
	if k != nil {
		c.coefficient(*k, low, high, path...)
	}
}

func (c *checker) soil(s Soil, path ...string) {
	if _, ok := s.Depth.length(); !ok {
		c.problem("must be a depth such as 24 in, 90 cm, or as sampled", path...)
	}
	if !(s.PerAcreInch >= 0.1 && s.PerAcreInch <= 0.6) {
		c.problem("needs millionPoundsPerAcreInch, about 0.3", path[:len(path)-1]...)
	}
}

func (c *checker) soilTerm(t *SoilTerm, path ...string) {
	if t == nil {
		return
	}
	c.soil(t.Soil, append(path, "depth")...)
	c.coefficient(t.Credit, 0, 10, append(path, "credit")...)
	c.optional(t.Default, 0, 1000, append(path, "default")...)
}

func (c *checker) choices(t *Choices, path ...string) {
	if t == nil {
		return
	}
	c.status(t.Status, path...)
	if t.Source != "" {
		c.source(t.Source, path...)
	}
	for i, row := range t.Rows {
		if row.Status != "" {
			c.status(row.Status, append(path, "rows", strconv.Itoa(i))...)
		}
		if len(row.Of) == 0 || math.Abs(row.Add) > 1000 {
			c.problem("needs at least one name under of, and a rate to add", append(path, "rows", strconv.Itoa(i))...)
		}
	}
}

func (c *checker) axis(levels []float64, key string) bool {
	for i, v := range levels {
		if v < 0 || i > 0 && v <= levels[i-1] {
			c.problem("must rise from one to the next, from 0 up", "priceTable", key)
			return false
		}
	}
	if len(levels) < 2 {
		c.problem("needs at least two levels", "priceTable", key)
		return false
	}
	return true
}
