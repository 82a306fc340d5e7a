package season

import (
	"encoding/json"
	"errors"
	"fmt"
	"reflect"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"culm/agronomy/calendar"
)

// EntryFormat names the shape of an entry in JSON, apart from its body, whose shape has a version of its
// own: see WrittenBody.
const EntryFormat = entryFormatName + "1"

const (
	entryFormatName   = "culm.entry/"
	entryFormatNumber = 1
)

// ErrNewer says that something was written by a later version of this program, in a way that this one
// cannot read.
var ErrNewer = errors.New("written by a later version of Culm; this one must be updated to read it")

// entryJSON is an entry in JSON. Kind, version and subject stand beside the body, so that a program that
// cannot read the body still knows what it speaks of.
type entryJSON struct {
	Format     string          `json:"format"`
	ID         string          `json:"id"`
	Supersedes string          `json:"supersedes,omitempty"`
	Observed   calendar.Day    `json:"observed,omitzero"`
	Recorded   time.Time       `json:"recorded"`
	Writer     string          `json:"writer"`
	Where      Where           `json:"where,omitzero"`
	Withdrawn  bool            `json:"withdrawn,omitempty"`
	Kind       Kind            `json:"kind,omitempty"`
	Version    int             `json:"version,omitempty"`
	Subject    string          `json:"subject,omitempty"`
	Body       json.RawMessage `json:"body,omitempty"`
}

// MarshalJSON writes the entry in one form: members in order, no white space, the time recorded in UTC. Two
// entries are the same exactly when they are written the same. It refuses what Check refuses.
func (e Entry) MarshalJSON() ([]byte, error) {
	if err := e.Check(); err != nil {
		return nil, err
	}
	out := entryJSON{
		Format: EntryFormat, ID: e.ID, Supersedes: e.Supersedes, Observed: e.Observed,
		Recorded: e.Recorded.UTC(), Writer: e.Writer, Where: e.Where, Withdrawn: e.Withdrawn,
	}
	if e.Body != nil {
		w, err := WriteBody(e.Body)
		if err != nil {
			return nil, e.explain(err)
		}
		out.Kind, out.Version, out.Subject, out.Body = w.Kind, w.Version, w.Subject, w.JSON
	}
	return json.Marshal(out)
}

// UnmarshalJSON reads what MarshalJSON wrote, and the same members in another order or with white space
// between. It is strict: a member that is unknown, missing or stands twice is an error that names it. A body
// that this program does not know is kept as an Opaque; an entry of a later format fails with ErrNewer.
func (e *Entry) UnmarshalJSON(data []byte) error {
	if err := checkFormat(data); err != nil {
		return err
	}
	var in entryJSON
	if err := readStrictly(data, &in, reflect.TypeFor[entryJSON]()); err != nil {
		return fmt.Errorf("entry: %w", err)
	}
	got := Entry{
		ID: in.ID, Supersedes: in.Supersedes, Observed: in.Observed,
		Recorded: in.Recorded.UTC(), Writer: in.Writer, Where: in.Where, Withdrawn: in.Withdrawn,
	}
	if len(in.Body) > 0 && string(in.Body) != "null" || in.Kind != "" {
		body, err := WrittenBody{Kind: in.Kind, Version: in.Version, Subject: in.Subject, JSON: in.Body}.Read()
		if err != nil {
			return got.explain(err)
		}
		got.Body = body
	}
	if err := got.Check(); err != nil {
		return err
	}
	*e = got
	return nil
}

// checkFormat looks only at the format, so that an entry of a later format is called later and not wrong.
func checkFormat(data []byte) error {
	var in struct {
		Format string `json:"format"`
	}
	if err := json.Unmarshal(data, &in); err != nil {
		return fmt.Errorf("entry: %w", plain(err))
	}
	n, err := strconv.Atoi(strings.TrimPrefix(in.Format, entryFormatName))
	switch {
	case !strings.HasPrefix(in.Format, entryFormatName) || err != nil || n < 1:
		return fmt.Errorf("this is not an entry: its format is %q, expected %q", in.Format, EntryFormat)
	case n > entryFormatNumber:
		return fmt.Errorf("entry of format %q: %w", in.Format, ErrNewer)
	}
	return nil
}

// Check says whether the entry may be written down: it has an id, a writer and a moment, a withdrawal says
// what it takes back, and only a withdrawal may be without a body.
func (e Entry) Check() error {
	switch {
	case e.ID == "":
		return errors.New("entry has no id; expected one made where it was written")
	case e.Writer == "":
		return e.explain(errors.New("writer is missing; expected the person or device that wrote it"))
	case e.Recorded.IsZero():
		return e.explain(errors.New("recorded is missing; expected the moment it was written down"))
	case e.Recorded.UTC().Year() < 1900 || e.Recorded.UTC().Year() > 9999:
		return e.explain(fmt.Errorf("recorded in the year %d; expected 1900 to 9999", e.Recorded.UTC().Year()))
	case e.Supersedes == e.ID:
		return e.explain(errors.New("supersedes itself; expected the id of an earlier entry"))
	case e.Withdrawn && e.Supersedes == "":
		return e.explain(errors.New("withdraws nothing; expected the id of the entry it takes back in supersedes"))
	case e.Body == nil && !e.Withdrawn:
		return e.explain(errors.New("body is missing; only an entry that withdraws another may be without"))
	case e.Where.Line < 0:
		return e.explain(fmt.Errorf("line %d of %q; lines count from 1", e.Where.Line, e.Where.File))
	}
	for _, text := range []string{e.ID, e.Supersedes, e.Writer, e.Where.File} {
		if !utf8.ValidString(text) || strings.ContainsFunc(text, unicode.IsControl) {
			return e.explain(fmt.Errorf("holds %q; expected readable text in UTF-8", text))
		}
	}
	return nil
}

// explain says which entry an error is about, and where it came from.
func (e Entry) explain(err error) error {
	if where := e.Where.String(); where != "" {
		return fmt.Errorf("entry %q (%s): %w", e.ID, where, err)
	}
	return fmt.Errorf("entry %q: %w", e.ID, err)
}
