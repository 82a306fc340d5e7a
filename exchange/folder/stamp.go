package folder

import (
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"math"
	"strings"
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/season"
)

// stamp is what an entry has beside its body. A file that somebody wrote by hand has none of it; Read then
// makes it from the body, always the same, so that reading a folder twice gives the same entries.
type stamp struct {
	id, writer, supersedes string
	observed               calendar.Day
	// noDay says that nobody noted a day, though the body has one.
	noDay    bool
	recorded time.Time
}

// unnoted is written for a day observed that nobody noted.
const unnoted = "none"

// stampColumns may stand in every table. They are for entries that came from elsewhere.
func stampColumns() []column[stamp] {
	return []column[stamp]{
		text("id", func(s *stamp) *string { return &s.id }),
		text("writer", func(s *stamp) *string { return &s.writer }),
		observedColumn(),
		recordedColumn(),
		text("supersedes", func(s *stamp) *string { return &s.supersedes }),
	}
}

func observedColumn() column[stamp] {
	plain := date("observed", func(s *stamp) *calendar.Day { return &s.observed })
	return column[stamp]{
		heads: plain.heads,
		read: func(c *found, s *stamp) {
			if s.noDay = c.String() == unnoted; !s.noDay {
				plain.read(c, s)
			}
		},
		write: func(s *stamp, system unit.System) (int, string) {
			if s.noDay {
				return 0, unnoted
			}
			return plain.write(s, system)
		},
	}
}

// recordedColumn keeps the moment in UTC, as entries do.
func recordedColumn() column[stamp] {
	c := moment("recorded", func(s *stamp) *time.Time { return &s.recorded })
	read := c.read
	c.read = func(f *found, s *stamp) {
		read(f, s)
		s.recorded = s.recorded.UTC()
	}
	return c
}

// habits are what the season's settings give to entries without a stamp.
type habits struct {
	writer string    // the advisor
	start  time.Time // of the season: the moment recorded of what has no day
}

// habitsOf are those of a season with these settings. A winter crop's year begins in July.
func habitsOf(s *season.Settings) habits {
	h := habits{writer: s.Advisor, start: calendar.Date(1970, time.July, 1).Time()}
	if h.writer == "" {
		h.writer = "season folder"
	}
	if s.HarvestYear > 1900 && s.HarvestYear < 9999 {
		h.start = calendar.Date(s.HarvestYear-1, time.July, 1).Time()
	}
	return h
}

// usual is the stamp that a body without one gets. Recorded is the start of the day observed, not the time
// of reading: the clock would make another entry each time.
func (h habits) usual(body season.Body) stamp {
	day, writer := dayAndWriter(body)
	s := stamp{writer: writer, observed: day, recorded: h.start}
	if s.writer == "" {
		s.writer = h.writer
	}
	if !day.IsZero() {
		s.recorded = day.Time()
	}
	if f, ok := body.(*season.Forecast); ok && !f.Issued.IsZero() {
		s.recorded = f.Issued.UTC()
	}
	return s
}

func dayAndWriter(body season.Body) (calendar.Day, string) {
	switch b := body.(type) {
	case *season.Readings:
		return b.Day, b.Observer
	case *season.Ramp:
		return b.Day, b.Observer
	case *season.Visit:
		return b.Day, b.Observer
	case *season.Soil:
		return b.Day, b.Lab
	case *season.Spot:
		return b.Day, b.Observer
	case *season.Applied:
		return b.Day, b.By
	case *season.Harvest:
		return b.Day, b.By
	case *season.Price:
		return b.Day, b.By
	case *season.Trial:
		return calendar.Day{}, b.By
	case *season.Weather:
		if n := len(b.Days); n > 0 {
			return b.Days[n-1].Day, "" // the day on which the log was as long as it is
		}
	case *season.Forecast:
		if !b.Issued.IsZero() {
			return calendar.FromTime(b.Issued.UTC()), b.By
		}
	}
	return calendar.Day{}, ""
}

// entry puts the stamp on a body: what the stamp lacks, the body gives.
func (h habits) entry(body season.Body, s stamp, where season.Where) (season.Entry, error) {
	usual := h.usual(body)
	e := season.Entry{
		ID: s.id, Supersedes: s.supersedes, Observed: s.observed, Recorded: s.recorded, Writer: s.writer,
		Where: where, Body: body,
	}
	if e.Writer == "" {
		e.Writer = usual.writer
	}
	if e.Observed.IsZero() && !s.noDay {
		e.Observed = usual.observed
	}
	if e.Recorded.IsZero() {
		e.Recorded = usual.recorded
	}
	if e.ID == "" {
		id, err := ID(e)
		if err != nil {
			return season.Entry{}, err
		}
		e.ID = id
	}
	locate(&e)
	return e, e.Check()
}

// stampOf is the stamp that must be written with an entry so that it is read back: nothing where the entry
// has what Read would give it.
func (h habits) stampOf(e season.Entry) stamp {
	usual := h.usual(e.Body)
	s := stamp{supersedes: e.Supersedes}
	if id, err := ID(e); err != nil || id != e.ID {
		s.id = e.ID
	}
	if e.Writer != usual.writer {
		s.writer = e.Writer
	}
	if e.Observed != usual.observed {
		s.observed, s.noDay = e.Observed, e.Observed.IsZero()
	}
	if !e.Recorded.Equal(usual.recorded) {
		s.recorded = e.Recorded.UTC()
	}
	return s
}

// ID is the id of an entry that was written down without one. It is made from what the entry says and not
// from where it stands, in the form of a UUID of version 8 (RFC 9562): importing a row twice, or from
// another line, gives the same entry again. It fails for a body that cannot be written, such as one with a
// number that is not finite.
func ID(e season.Entry) (string, error) {
	hash := sha256.New()
	if w, ok := e.Body.(*season.Weather); ok {
		hash.Write(weatherContent(w))
	} else {
		content, err := contentOf(e.Body)
		if err != nil {
			return "", err
		}
		hash.Write(content)
	}
	hash.Write([]byte("\x00" + e.Supersedes))
	sum := hash.Sum(nil)
	sum[6] = sum[6]&0x0f | 0x80
	sum[8] = sum[8]&0x3f | 0x80
	h := hex.EncodeToString(sum[:16])
	return strings.Join([]string{h[:8], h[8:12], h[12:16], h[16:20], h[20:]}, "-"), nil
}

// contentOf is the kind and the JSON of a body, without the places of its facts.
func contentOf(body season.Body) ([]byte, error) {
	w, err := season.WriteBody(withoutPlaces(body))
	return append([]byte(string(w.Kind)+"\x00"), w.JSON...), err
}

// withoutPlaces is the body, or a copy of it, whose facts do not say where they stand.
func withoutPlaces(body season.Body) season.Body {
	switch b := body.(type) {
	case *season.Settings:
		bare := *b
		body = &bare
	case *season.Field:
		bare := *b
		body = &bare
	case *season.Visit:
		bare := *b
		body = &bare
	case *season.Harvest:
		bare := *b
		body = &bare
	}
	for _, o := range origins(body) {
		o.Where, o.Entry = "", ""
	}
	return body
}

// weatherContent is the same for a month of weather in a form made ten times faster, since weather is most
// of what a folder holds.
func weatherContent(w *season.Weather) []byte {
	b := make([]byte, 0, 64+40*len(w.Days))
	b = append(b, "weather\x00"+w.Subject()...)
	first := calendar.Date(1970, time.January, 1)
	for _, d := range w.Days {
		b = binary.BigEndian.AppendUint32(b, uint32(d.Day.Sub(first)))
		for _, v := range [...]float64{float64(d.Low), float64(d.High), float64(d.Rain), float64(d.Snow)} {
			b = binary.BigEndian.AppendUint64(b, math.Float64bits(v+0)) // no minus zero
		}
		b = append(b, byte(d.Has))
	}
	return b
}
