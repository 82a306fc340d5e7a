package season

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"
)

// readStrictly reads JSON into a value of type t and refuses more than encoding/json does. Every member
// must be one of the type's, spelled as there, and stand once. Every member that is not optional must be
// there, and null only for a list or an optional part: a number that is missing must not become zero.
func readStrictly(data []byte, into any, t reflect.Type) error {
	failed := json.Unmarshal(data, into)
	if failed == nil {
		// Nothing can be amiss in what is written to the letter as this program writes it. Most bodies are,
		// and are spared the walk below, which takes twice as long as all the rest.
		if again, err := json.Marshal(into); err == nil && bytes.Equal(again, data) {
			return nil
		}
	}
	if err := checkShape(data, t); err != nil {
		return err
	}
	return plain(failed)
}

// compactly checks JSON of unknown shape and takes out its white space.
func compactly(data []byte) ([]byte, error) {
	if err := checkShape(data, nil); err != nil {
		return nil, err
	}
	// Marshal rather than Compact, for the same escapes that the body gets inside an entry.
	return json.Marshal(json.RawMessage(data))
}

func checkShape(data []byte, t reflect.Type) error {
	if !utf8.Valid(data) {
		return errors.New("is not in UTF-8")
	}
	// Valid JSON first: it also bounds how deep the walk below can go.
	var whole json.RawMessage
	if err := json.Unmarshal(data, &whole); err != nil {
		return plain(err)
	}
	s := shape{dec: json.NewDecoder(bytes.NewReader(data)), members: map[reflect.Type]map[string]member{}}
	s.dec.UseNumber()
	return s.value(t, "")
}

// shape walks through JSON beside a type. A nil type is any shape.
type shape struct {
	dec     *json.Decoder
	members map[reflect.Type]map[string]member
}

type member struct {
	of       reflect.Type
	optional bool
}

func (s *shape) value(t reflect.Type, path string) error {
	if t == reflect.TypeFor[json.RawMessage]() {
		var skipped json.RawMessage
		return s.dec.Decode(&skipped)
	}
	token, err := s.dec.Token()
	if err != nil {
		return plain(err)
	}
	nullable := t == nil || t.Kind() == reflect.Pointer || t.Kind() == reflect.Slice
	if t != nil && t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	switch token {
	case json.Delim('{'):
		return s.object(t, path)
	case json.Delim('['):
		return s.list(t, path)
	case nil:
		if !nullable {
			return fmt.Errorf("%s is null; leave out what is not known", named(path))
		}
	}
	return nil
}

func (s *shape) object(t reflect.Type, path string) error {
	members := s.of(t)
	seen := map[string]bool{}
	for s.dec.More() {
		token, err := s.dec.Token()
		if err != nil {
			return plain(err)
		}
		name, _ := token.(string)
		if seen[name] {
			return fmt.Errorf("%s has %q twice", named(path), name)
		}
		seen[name] = true
		m, known := members[name]
		if members != nil && !known {
			return fmt.Errorf("%s has %q; expected one of %s", named(path), name, names(members))
		}
		if err := s.value(m.of, strings.TrimPrefix(path+"."+name, ".")); err != nil {
			return err
		}
	}
	for _, name := range slices.Sorted(maps.Keys(members)) {
		if !seen[name] && !members[name].optional {
			return fmt.Errorf("%s has no %q", named(path), name)
		}
	}
	_, err := s.dec.Token()
	return plain(err)
}

func (s *shape) list(t reflect.Type, path string) error {
	var of reflect.Type
	if t != nil && t.Kind() == reflect.Slice {
		of = t.Elem()
	}
	for i := 0; s.dec.More(); i++ {
		if err := s.value(of, path+"["+strconv.Itoa(i)+"]"); err != nil {
			return err
		}
	}
	_, err := s.dec.Token()
	return plain(err)
}

// of gives the members of a struct as its JSON has them, or nil where any are allowed: types that read
// themselves, and what is not a struct, on which json.Unmarshal will have its say.
func (s *shape) of(t reflect.Type) map[string]member {
	if t == nil || t.Kind() != reflect.Struct || readsItself(t) {
		return nil
	}
	if known, ok := s.members[t]; ok {
		return known
	}
	members := map[string]member{}
	for _, f := range reflect.VisibleFields(t) {
		name, options, _ := strings.Cut(f.Tag.Get("json"), ",")
		if f.Anonymous || name == "" {
			continue // the members of an embedded struct come by themselves
		}
		members[name] = member{of: f.Type, optional: strings.HasPrefix(options, "omit")}
	}
	s.members[t] = members
	return members
}

func readsItself(t reflect.Type) bool {
	p := reflect.PointerTo(t)
	return p.Implements(reflect.TypeFor[json.Unmarshaler]()) ||
		p.Implements(reflect.TypeFor[interface{ UnmarshalText([]byte) error }]())
}

func names(members map[string]member) string {
	return strings.Join(slices.Sorted(maps.Keys(members)), ", ")
}

func named(path string) string {
	if path == "" {
		return "it"
	}
	return path
}

// plain puts an error of encoding/json into words for people.
func plain(err error) error {
	if err == nil {
		return nil
	}
	var wrong *json.UnmarshalTypeError
	if errors.As(err, &wrong) && wrong.Field != "" {
		return fmt.Errorf("%s is a %s; expected %s", wrong.Field, wrong.Value, wanted(wrong.Type))
	}
	if errors.As(err, &wrong) {
		return fmt.Errorf("found a %s; expected %s", wrong.Value, wanted(wrong.Type))
	}
	var syntax *json.SyntaxError
	if errors.As(err, &syntax) {
		return fmt.Errorf("is not JSON at byte %d: %w", syntax.Offset, err)
	}
	if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
		return errors.New("is not JSON: it ends too early")
	}
	var moment *time.ParseError
	if errors.As(err, &moment) {
		return fmt.Errorf("%q is not a moment; expected one such as 2027-02-10T08:00:00Z", moment.Value)
	}
	var number *json.UnsupportedValueError
	if errors.As(err, &number) {
		return fmt.Errorf("holds a number that is %s; expected a finite one", number.Str)
	}
	return err
}

func wanted(t reflect.Type) string {
	if readsItself(t) {
		return "text"
	}
	switch t.Kind() {
	case reflect.String:
		return "text"
	case reflect.Bool:
		return "true or false"
	case reflect.Slice:
		return "a list"
	case reflect.Struct:
		return "an object in braces"
	case reflect.Uint8:
		return "a whole number from 0 to 255"
	case reflect.Int:
		return "a whole number"
	default:
		return "a finite number"
	}
}

// hasReplacement finds \ufffd, which json.Marshal writes in place of bytes that are not UTF-8; the
// character itself it writes unescaped.
func hasReplacement(data []byte) bool {
	for i := 0; i < len(data); i++ {
		if data[i] != '\\' {
			continue
		}
		if bytes.HasPrefix(data[i+1:], []byte("ufffd")) {
			return true
		}
		i++ // whatever is escaped here is no backslash that begins another escape
	}
	return false
}
