package notebook

import (
	"cmp"
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"fmt"
	"slices"
	"strings"

	"culm/season"
)

// ImportPlan says what importing a set of entries does to the notebook.
type ImportPlan struct {
	// Append are the entries to be written, corrections with Supersedes set.
	Append []season.Entry
	Counts map[season.Kind]ImportCount
}

// ImportCount counts the entries of one kind in an import.
type ImportCount struct {
	New     int `json:"new"`     // nothing stood on the subject
	Changed int `json:"changed"` // supersedes what stood
	Same    int `json:"same"`    // says what stands
	// Kept says nothing that the file has not said before, while the notebook was corrected since by
	// another hand: the correction stands.
	Kept int `json:"kept"`
	// Repeated is overruled by another entry on its subject in the same import.
	Repeated int `json:"repeated"`
}

// PlanImport compares entries read from files with the notebook, subject by subject, and writes nothing.
//
// A file says how things are now. Where it says what stands, there is nothing to do; where it says something
// else, its entry is to supersede the one that stands. But a file speaks anew only when it was changed: if
// its row is what the same file said last, and a person corrected that since in another way, then the
// correction stands. What a file no longer mentions is left as it is.
//
// To bring together two notebooks with their history, use Append: entries have the same ids everywhere.
func (n *Notebook) PlanImport(ctx context.Context, entries []season.Entry) (ImportPlan, error) {
	tx, err := n.readers.BeginTx(ctx, nil)
	if err != nil {
		return ImportPlan{}, explain(err)
	}
	defer tx.Rollback() // nothing was written
	plan, err := planImport(ctx, tx, entries)
	return plan, explain(err)
}

// Import does what PlanImport says, all of it or nothing, with no other writer between the look and the
// writing. Importing the same files again changes nothing.
func (n *Notebook) Import(ctx context.Context, entries []season.Entry) (ImportPlan, error) {
	var plan ImportPlan
	err := n.writer.do(ctx, func(tx *sql.Tx) (err error) {
		if plan, err = planImport(ctx, tx, entries); err != nil {
			return err
		}
		rows, err := rowsOf(plan.Append)
		if err != nil {
			return err
		}
		_, err = n.writer.insertEntries(ctx, tx, rows)
		return err
	})
	if err != nil {
		return ImportPlan{}, fmt.Errorf("importing: %w", err)
	}
	return plan, nil
}

func planImport(ctx context.Context, q querier, entries []season.Entry) (ImportPlan, error) {
	plan := ImportPlan{Counts: map[season.Kind]ImportCount{}}
	standing, err := plan.standing(entries)
	if err != nil {
		return plan, err
	}
	for _, e := range standing {
		past, err := readHistory(ctx, q, e.Body)
		if err != nil {
			return plan, err
		}
		if err := plan.take(ctx, q, e, past); err != nil {
			return plan, fmt.Errorf("entry %q: %w", e.ID, err)
		}
	}
	return plan, nil
}

// standing reduces the import to what stands in it, and counts the rest.
func (p *ImportPlan) standing(entries []season.Entry) ([]season.Entry, error) {
	ids := map[string]bool{}
	for _, e := range entries {
		if err := e.Check(); err != nil {
			return nil, err
		}
		if e.Withdrawn {
			return nil, fmt.Errorf("entry %q withdraws %q: an import says how things are; append withdrawals instead", e.ID, e.Supersedes)
		}
		if !ids[e.ID] {
			p.count(e, func(c *ImportCount) { c.Repeated++ })
		}
		ids[e.ID] = true
	}
	standing := season.Standing(entries)
	for _, e := range standing {
		p.count(e, func(c *ImportCount) { c.Repeated-- })
	}
	return standing, nil
}

func (p *ImportPlan) count(e season.Entry, change func(*ImportCount)) {
	c := p.Counts[e.Body.Kind()]
	change(&c)
	p.Counts[e.Body.Kind()] = c
}

// take decides about one entry, given what the notebook holds on its subject.
func (p *ImportPlan) take(ctx context.Context, q querier, e season.Entry, past history) error {
	same, err := past.saysStanding(e)
	if err != nil {
		return err
	}
	if same {
		p.count(e, func(c *ImportCount) { c.Same++ })
		return nil
	}
	old, err := past.saidBefore(e)
	if err != nil {
		return err
	}
	if old {
		p.count(e, func(c *ImportCount) { c.Kept++ })
		return nil
	}
	head, has := past.head()
	if has {
		p.count(e, func(c *ImportCount) { c.Changed++ })
	} else {
		p.count(e, func(c *ImportCount) { c.New++ })
	}
	if has && (e.Supersedes == "" || past.has(e.Supersedes)) {
		e.Supersedes = head.ID
	}
	if e.ID, err = freeID(ctx, q, e); err != nil {
		return err
	}
	p.Append = append(p.Append, e)
	p.Append = append(p.Append, past.withdrawRivals(e)...)
	return nil
}

// freeID keeps an entry's id if it is free. A reader of files may give the row of one subject the same id
// each time; once that is taken by an earlier content, the id is drawn from the new content too.
func freeID(ctx context.Context, q querier, e season.Entry) (string, error) {
	var taken bool
	if err := q.QueryRowContext(ctx, "SELECT EXISTS (SELECT 1 FROM entries WHERE id = ?)", e.ID).Scan(&taken); err != nil {
		return "", err
	}
	if !taken {
		return e.ID, nil
	}
	body, err := season.WriteBody(e.Body)
	if err != nil {
		return "", err
	}
	return e.ID + "~" + digest(e.Supersedes, string(body.JSON)), nil
}

// digest makes a short text of several, always the same.
func digest(parts ...string) string {
	h := sha256.New()
	for _, part := range parts {
		fmt.Fprintf(h, "%d:%s", len(part), part)
	}
	return hex.EncodeToString(h.Sum(nil)[:8])
}

// history is all that the notebook holds on one subject, in the order it came in.
type history []past

type past struct {
	season.Entry
	superseded bool
}

func readHistory(ctx context.Context, q querier, b season.Body) (history, error) {
	subjects := season.Subjects(b)
	values := []any{string(b.Kind())}
	for _, s := range subjects {
		values = append(values, s)
	}
	entries, err := queryEntries(ctx, q, "WHERE kind = ? AND subject IN (?"+strings.Repeat(", ?", len(subjects)-1)+") ORDER BY revision", values...)
	if err != nil {
		return nil, err
	}
	// A subject of an earlier shape may speak of several that are told apart today.
	entries = slices.DeleteFunc(entries, func(e season.Entry) bool { return e.Body.Subject() != b.Subject() })
	h := make(history, len(entries))
	for i, e := range entries {
		h[i].Entry = e
		err := q.QueryRowContext(ctx, "SELECT EXISTS (SELECT 1 FROM entries WHERE supersedes = ?)", e.ID).Scan(&h[i].superseded)
		if err != nil {
			return nil, err
		}
	}
	return h, nil
}

// head is the entry that no other supersedes, of several the one recorded last. It stands, unless it is a
// withdrawal.
func (h history) head() (head season.Entry, found bool) {
	for _, e := range h {
		if !e.superseded && (!found || isLater(e.Entry, head)) {
			head, found = e.Entry, true
		}
	}
	return head, found
}

// isLater orders entries as season.Standing does.
func isLater(a, b season.Entry) bool {
	return cmp.Or(a.Recorded.Compare(b.Recorded), cmp.Compare(a.ID, b.ID)) > 0
}

func (h history) has(id string) bool {
	return slices.ContainsFunc(h, func(e past) bool { return e.ID == id })
}

// withdrawRivals takes back every entry on the subject that would stand in the place of a new one: two
// phones may have written without knowing of each other, and the new entry supersedes only one of them.
func (h history) withdrawRivals(e season.Entry) []season.Entry {
	var withdrawals []season.Entry
	for _, rival := range h {
		if rival.superseded || rival.ID == e.Supersedes || !isLater(rival.Entry, e) {
			continue
		}
		withdrawals = append(withdrawals, season.Entry{
			ID: e.ID + "~" + digest(rival.ID), Supersedes: rival.ID, Withdrawn: true,
			Observed: e.Observed, Recorded: e.Recorded, Writer: e.Writer, Where: e.Where,
		})
	}
	return withdrawals
}

// saysStanding tells whether an entry says what stands.
func (h history) saysStanding(e season.Entry) (bool, error) {
	head, ok := h.head()
	if !ok || head.Withdrawn {
		return false, nil
	}
	return season.SameContent(head.Body, e.Body)
}

// saidBefore tells whether an entry is what its file said last, or, if it is from no file, one that is here
// by its id.
func (h history) saidBefore(e season.Entry) (bool, error) {
	for _, old := range slices.Backward(h) {
		if e.Where.File != "" && old.Where.File == e.Where.File || e.Where.File == "" && old.ID == e.ID {
			return season.SameContent(old.Body, e.Body)
		}
	}
	return false, nil
}
