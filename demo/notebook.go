package demo

import (
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"strconv"
	"strings"
	"time"

	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/agronomy/working"
	"culm/season"
)

// notebook collects entries as the invented people write them.
type notebook struct {
	seed    uint64
	entries []season.Entry
}

// write enters what was seen on a day and written down that same day, between nine and four in the field.
func (n *notebook) write(writer string, observed calendar.Day, body season.Body) string {
	id := n.id(body, "")
	return n.add(season.Entry{ID: id, Observed: observed, Recorded: duringWork(observed, id), Writer: writer, Body: body})
}

// writeAt enters what was recorded at a moment of its own, such as a laboratory's report.
func (n *notebook) writeAt(writer string, observed calendar.Day, recorded time.Time, body season.Body) string {
	return n.add(season.Entry{ID: n.id(body, ""), Observed: observed, Recorded: recorded, Writer: writer, Body: body})
}

// correct enters what stands in place of an earlier entry, three hours after it.
func (n *notebook) correct(writer, earlier string, body season.Body) {
	for _, e := range n.entries {
		if e.ID == earlier {
			n.add(season.Entry{
				ID: n.id(body, "correction"), Supersedes: earlier,
				Observed: e.Observed, Recorded: e.Recorded.Add(3 * time.Hour), Writer: writer, Body: body,
			})
			return
		}
	}
}

func (n *notebook) add(e season.Entry) string {
	nameOrigins(e.Body, e.ID)
	n.entries = append(n.entries, e)
	return e.ID
}

// id makes an entry's id from what it speaks of, in the form of a version 8 UUID: unlike a real entry's id
// it must come out the same whenever the demonstration is made.
func (n *notebook) id(body season.Body, mark string) string {
	text := strings.Join([]string{"culm demo", strconv.FormatUint(n.seed, 10), string(body.Kind()), body.Subject(), mark}, "\x00")
	sum := sha256.Sum256([]byte(text))
	sum[6] = sum[6]&0x0f | 0x80
	sum[8] = sum[8]&0x3f | 0x80
	h := hex.EncodeToString(sum[:16])
	return strings.Join([]string{h[:8], h[8:12], h[12:16], h[16:20], h[20:]}, "-")
}

// duringWork is a moment between nine and four o'clock in the field, six hours west of Greenwich. Which
// one, the id decides.
func duringWork(day calendar.Day, id string) time.Time {
	sum := sha256.Sum256([]byte(id))
	seconds := binary.BigEndian.Uint32(sum[:]) % (7 * 3600)
	return day.Time().Add(15*time.Hour + time.Duration(seconds)*time.Second)
}

// nameOrigins names the entry as the place where each fact in it is held.
func nameOrigins(body season.Body, id string) {
	switch b := body.(type) {
	case *season.Settings:
		nameOrigin(&b.LimeScore, id)
	case *season.Field:
		nameOrigin(&b.YieldGoal, id)
		nameOrigin(&b.AreaGiven, id)
		nameOrigin(&b.Heads, id)
		nameOrigin(&b.HeadMass, id)
		nameOrigin(&b.GrazingDays, id)
	case *season.Visit:
		nameOrigin(&b.HollowStem, id)
		nameOrigin(&b.Residue, id)
		nameOrigin(&b.Green, id)
		nameOrigin(&b.Stand, id)
		nameOrigin(&b.FreshMass, id)
	case *season.Harvest:
		nameOrigin(&b.Protein, id)
	}
}

func nameOrigin[T unit.Quantity](f *working.Fact[T], id string) {
	if f.Known() {
		f.Origin.Entry = id
	}
}

// slug writes a name in a form fit for a file name.
func slug(name string) string {
	plain := strings.NewReplacer("á", "a", "é", "e", "í", "i", "ó", "o", "ú", "u", "ñ", "n", "'", "").Replace(strings.ToLower(name))
	return strings.Join(strings.FieldsFunc(plain, func(r rune) bool {
		return (r < 'a' || r > 'z') && (r < '0' || r > '9')
	}), "-")
}
