// Package desk is where the season's pages take their plans from: it reads the season out of the notebook,
// computes each field's plan when someone asks for it, and keeps both until the notebook or the day changes.
//
// It reads no clock of its own; whoever opens the desk says how it learns what day it is.
package desk

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"slices"
	"sync"
	"time"

	"culm/advice"
	"culm/agronomy/calendar"
	"culm/agronomy/rulebook"
	"culm/agronomy/unit"
	"culm/notebook"
	"culm/season"
)

// Book is what the desk needs of a notebook. *notebook.Notebook is one.
type Book interface {
	Revision(ctx context.Context) (notebook.Revision, error)
	Season(ctx context.Context) (*season.Season, notebook.Revision, error)
	Append(ctx context.Context, entries ...season.Entry) (notebook.Receipt, error)
	Freeze(ctx context.Context, f notebook.Frozen) (notebook.PlanLabel, error)
	Frozen(ctx context.Context, id string) (notebook.Frozen, error)
	Plans(ctx context.Context, field string) ([]notebook.PlanLabel, error)
}

// Options say what a desk works with. All but Books are needed.
type Options struct {
	Book   Book
	Today  func() calendar.Day
	Now    func() time.Time // stamps a plan that is handed over
	Engine string           // version of the program, kept with a plan that is handed over
	// Books are the advisor's own books of guidance, beside those that come with Culm.
	Books []*rulebook.Book
}

// Desk is safe for use by several goroutines.
type Desk struct {
	o       Options
	advisor *advice.Advisor

	mu    sync.Mutex // held while a sheet is laid out, so that it happens once
	sheet *Sheet
}

// Open gives a desk. It reads nothing yet: the season is read when it is first asked for.
func Open(o Options) (*Desk, error) {
	if o.Book == nil || o.Today == nil || o.Now == nil || o.Engine == "" {
		return nil, errors.New("a desk needs a notebook, a day, a clock and the version of the program")
	}
	advisor, err := advice.NewAdvisor(o.Books...)
	if err != nil {
		return nil, err
	}
	return &Desk{o: o, advisor: advisor}, nil
}

// Sheet gives the season as it stands today. As long as nothing was written and the day is the same it is
// the same sheet.
func (d *Desk) Sheet(ctx context.Context) (*Sheet, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	revision, err := d.o.Book.Revision(ctx)
	if err != nil {
		return nil, err
	}
	today := d.o.Today()
	if d.sheet != nil && d.sheet.Revision == revision && d.sheet.Today == today {
		return d.sheet, nil
	}
	s, revision, err := d.o.Book.Season(ctx)
	if err != nil {
		return nil, err
	}
	d.sheet = NewSheet(d.advisor, s, revision, today)
	return d.sheet, nil
}

// ErrNoField says that the season has no such field.
var ErrNoField = errors.New("the season has no such field")

// ErrMoved says that the notebook or the day changed after the plan was looked at.
var ErrMoved = errors.New("the notebook or the day has changed since this plan was shown")

// Seen names what a person looked at before handing a plan over.
type Seen struct {
	Revision notebook.Revision
	Today    calendar.Day
}

// HandOver freezes the plan of a field as it was seen and keeps it for good. It fails with ErrMoved when
// the plan may have become another one since, so that nobody hands over what they have not read.
func (d *Desk) HandOver(ctx context.Context, field, by string, seen Seen) (notebook.PlanLabel, error) {
	sheet, err := d.Sheet(ctx)
	if err != nil {
		return notebook.PlanLabel{}, err
	}
	if seen != sheet.Seen() {
		return notebook.PlanLabel{}, ErrMoved
	}
	fs, ok := sheet.Season.Of(field, sheet.Today)
	if !ok {
		return notebook.PlanLabel{}, ErrNoField
	}
	frozen, err := d.advisor.Freeze(fs, d.o.Engine, d.o.Now(), by)
	if err != nil {
		return notebook.PlanLabel{}, err
	}
	return d.o.Book.Freeze(ctx, notebook.Frozen{Field: field, Frozen: frozen})
}

// Write enters what someone saw or did on a day into the notebook. The plans follow at the next sheet.
func (d *Desk) Write(ctx context.Context, by string, on calendar.Day, body season.Body) error {
	_, err := d.o.Book.Append(ctx, season.Entry{
		ID: "page-" + rand.Text(), Observed: on, Recorded: d.o.Now(), Writer: by, Body: body,
	})
	return err
}

// Handed lists the plans of a field that were handed over, the latest first.
func (d *Desk) Handed(ctx context.Context, field string) ([]notebook.PlanLabel, error) {
	return d.o.Book.Plans(ctx, field)
}

// Frozen gives a plan as it was handed over.
func (d *Desk) Frozen(ctx context.Context, id string) (notebook.Frozen, error) {
	return d.o.Book.Frozen(ctx, id)
}

// Replay computes a plan that was handed over again, from what it was computed from then.
func (d *Desk) Replay(f notebook.Frozen) (advice.Replay, error) {
	r, err := d.advisor.Replay(f.Frozen)
	if err != nil {
		return r, fmt.Errorf("computing plan %s again: %w", f.ID, err)
	}
	return r, nil
}

// Books are the books of guidance that plans go by. They are for reading.
func (d *Desk) Books() []*rulebook.Book { return d.advisor.Books() }

// Book finds a book by its key.
func (d *Desk) Book(key string) (*rulebook.Book, bool) {
	for _, b := range d.advisor.Books() {
		if b.Key == key {
			return b, true
		}
	}
	return nil, false
}

// Own says that a book does not come with Culm.
func (d *Desk) Own(key string) bool {
	return slices.ContainsFunc(d.o.Books, func(b *rulebook.Book) bool { return b.Key == key })
}

// Compare works two rules out on what is known of a field and takes the difference apart. It fails with
// ErrNoField when the season has no such field.
func (d *Desk) Compare(sheet *Sheet, field string, a, b *rulebook.Rule, units unit.System) (rulebook.Difference, error) {
	fs, ok := sheet.Season.Of(field, sheet.Today)
	if !ok {
		return rulebook.Difference{}, ErrNoField
	}
	fs.Settings.Units = units
	return rulebook.Compare(a.Work(d.advisor.FactsFor(fs, a)), b.Work(d.advisor.FactsFor(fs, b))), nil
}
