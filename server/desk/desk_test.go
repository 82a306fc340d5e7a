package desk_test

import (
	"context"
	"errors"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"culm/advice"
	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/demo"
	"culm/notebook"
	"culm/season"
	"culm/server/desk"

	"pgregory.net/rapid"
)

// opened gives a desk over a notebook of the invented district, and the notebook.
func opened(t *testing.T, today func() calendar.Day) (*desk.Desk, *notebook.Notebook) {
	t.Helper()
	book, err := notebook.Open(t.Context(), filepath.Join(t.TempDir(), "season.sqlite"), notebook.Options{})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { book.Close() })
	if _, err := book.Append(t.Context(), demo.Season(demo.Cast, 1)...); err != nil {
		t.Fatal(err)
	}
	now := func() time.Time { return time.Date(2027, 2, 10, 15, 0, 0, 0, time.UTC) }
	d, err := desk.Open(desk.Options{Book: book, Today: today, Now: now, Engine: "test"})
	if err != nil {
		t.Fatal(err)
	}
	return d, book
}

func sheetOf(t *testing.T, d *desk.Desk) *desk.Sheet {
	t.Helper()
	s, err := d.Sheet(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func TestTheSheetStaysUntilSomethingChanges(t *testing.T) {
	today := demo.Today()
	d, book := opened(t, func() calendar.Day { return today })
	first := sheetOf(t, d)
	plan, ok := first.Plan("mill-quarter", unit.US)
	if !ok {
		t.Fatal("no plan of mill-quarter")
	}
	if again := sheetOf(t, d); again != first {
		t.Error("nothing changed and the sheet was laid out anew")
	}
	if again, _ := first.Plan("mill-quarter", unit.US); again != plan {
		t.Error("the same plan was computed twice")
	}

	today = today.Add(1)
	next := sheetOf(t, d)
	if next == first || next.Today != today {
		t.Errorf("on %s the sheet is of %s", today, next.Today)
	}
	entry := season.Entry{
		ID: "0b0f6b5e-1111-4111-8111-111111111111", Recorded: time.Date(2027, 2, 11, 9, 0, 0, 0, time.UTC), Writer: "test",
		Body: &season.Producer{ID: "new", Name: "New Producer"},
	}
	if _, err := book.Append(t.Context(), entry); err != nil {
		t.Fatal(err)
	}
	if sheetOf(t, d) == next {
		t.Error("the notebook changed and the sheet did not")
	}
}

func TestUnitsChangeTheWordsAndNotTheNumbers(t *testing.T) {
	d, _ := opened(t, demo.Today)
	sheet := sheetOf(t, d)
	us, _ := sheet.Plan("mill-quarter", unit.US)
	metric, _ := sheet.Plan("mill-quarter", unit.Metric)
	if us.Decision != metric.Decision {
		t.Errorf("decision in US units %+v, in metric units %+v", us.Decision, metric.Decision)
	}
	if us.Units != unit.US || metric.Units != unit.Metric {
		t.Errorf("plans are written in %q and %q", us.Units, metric.Units)
	}
}

func TestHandingOver(t *testing.T) {
	today := demo.Today()
	d, _ := opened(t, func() calendar.Day { return today })
	sheet := sheetOf(t, d)

	label, err := d.HandOver(t.Context(), "mill-quarter", "R. Example", sheet.Seen())
	if err != nil {
		t.Fatal(err)
	}
	if again, err := d.HandOver(t.Context(), "mill-quarter", "Somebody Else", sheet.Seen()); err != nil || again != label {
		t.Errorf("the same plan again: %+v, %v; want the first label %+v", again, err, label)
	}
	frozen, err := d.Frozen(t.Context(), label.ID)
	if err != nil {
		t.Fatal(err)
	}
	replay, err := d.Replay(frozen)
	if err != nil || !replay.Identical || replay.Compared == 0 {
		t.Errorf("replay: %+v, %v; want every number identical", replay, err)
	}
	if handed, err := d.Handed(t.Context(), "mill-quarter"); err != nil || !slices.Equal(handed, []notebook.PlanLabel{label}) {
		t.Errorf("handed over: %v, %v; want %v", handed, err, label)
	}

	if _, err := d.HandOver(t.Context(), "no-such-field", "", sheet.Seen()); !errors.Is(err, desk.ErrNoField) {
		t.Errorf("an unknown field: %v, want ErrNoField", err)
	}
	today = today.Add(1)
	if _, err := d.HandOver(t.Context(), "mill-quarter", "", sheet.Seen()); !errors.Is(err, desk.ErrMoved) {
		t.Errorf("a plan read yesterday: %v, want ErrMoved", err)
	}
}

func TestADeskNeedsEverything(t *testing.T) {
	if _, err := desk.Open(desk.Options{}); err == nil {
		t.Error("a desk was opened with nothing")
	}
}

func TestAClosedNotebookIsSaid(t *testing.T) {
	d, book := opened(t, demo.Today)
	book.Close()
	if _, err := d.Sheet(context.Background()); err == nil {
		t.Error("a season was read from a closed notebook")
	}
}

func decided(action advice.Action, stake, waiting unit.Money, left int) *advice.Plan {
	return &advice.Plan{Decision: advice.Decision{Action: action, Stake: stake, Waiting: waiting, DaysLeft: left, HasDaysLeft: true}}
}

func TestAtRisk(t *testing.T) {
	unknown := decided(advice.Spread, 310, 70, 0)
	unknown.Decision.HasDaysLeft = false
	for _, c := range []struct {
		name string
		plan *advice.Plan
		want unit.Money
	}{
		{"a week's delay costs 70, nothing else at stake", decided(advice.Spread, 0, 70, 20), 10},
		{"600 at stake and six days: today counts as a seventh day", decided(advice.Spread, 700, 0, 6), 100},
		{"on the last day all of the stake", decided(advice.Spread, 700, 0, 0), 700},
		{"past the last day nothing can be saved", decided(advice.Leave, 700, 70, -1), 0},
		{"a last day not known counts as thirty days off", unknown, 20},
		{"a stake below nothing is none", decided(advice.Leave, -50, 0, 9), 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := desk.AtRisk(c.plan.Decision); got != c.want {
				t.Errorf("at risk a day: %v, want %v", got, c.want)
			}
		})
	}
}

func TestWhatWaitingCostsComesFirst(t *testing.T) {
	urgent, later := decided(advice.Spread, 700, 0, 6), decided(advice.Spread, 7000, 0, 200)
	ask, hold, leave := decided(advice.Ask, 0, 0, 30), decided(advice.Hold, 0, 0, 30), decided(advice.Leave, 0, 0, 30)
	plans := []*advice.Plan{leave, hold, later, ask, urgent}
	slices.SortFunc(plans, desk.Before)
	if want := []*advice.Plan{urgent, later, ask, hold, leave}; !slices.Equal(plans, want) {
		for _, p := range plans {
			t.Log(p.Decision.Action, desk.AtRisk(p.Decision))
		}
		t.Error("not in the order of what waiting would cost")
	}
}

// A field whose day the latest forecast spoilt stands above one with more at risk; one whose day would still do
// does not.
func TestALostDayComesFirst(t *testing.T) {
	lost, still, more := decided(advice.Spread, 10, 0, 30), decided(advice.Spread, 10, 0, 20), decided(advice.Spread, 9000, 0, 3)
	lost.Changed, still.Changed = &advice.Change{Lost: true}, &advice.Change{}
	plans := []*advice.Plan{more, still, lost}
	slices.SortFunc(plans, desk.Before)
	if want := []*advice.Plan{lost, more, still}; !slices.Equal(plans, want) {
		t.Errorf("%v", plans)
	}
}

func TestTheCalendarIsThePlans(t *testing.T) {
	d, _ := opened(t, demo.Today)
	sheet := sheetOf(t, d)
	plan, _ := sheet.Plan("mill-quarter", unit.US)
	days, ok := sheet.Calendar("mill-quarter", unit.US)
	if !ok || days.Decision != plan.Decision || len(days.Days) != 21 {
		t.Errorf("calendar %+v of %d days, plan %+v", days.Decision, len(days.Days), plan.Decision)
	}
	if _, ok := sheet.Calendar("nowhere", unit.US); ok {
		t.Error("a calendar of no field")
	}
}

// TestOrderIsAnOrder: any plans, in any order, come out the same.
func TestOrderIsAnOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		action := rapid.SampledFrom([]advice.Action{advice.Spread, advice.Hold, advice.Leave, advice.Ask})
		plans := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) *advice.Plan {
			p := decided(action.Draw(t, "action"), unit.Money(rapid.IntRange(-9, 9).Draw(t, "stake")),
				unit.Money(rapid.IntRange(0, 3).Draw(t, "waiting")), rapid.IntRange(-2, 5).Draw(t, "left"))
			p.Field.ID = rapid.StringMatching(`[a-z]{4}`).Draw(t, "field")
			return p
		}), 0, 12).Draw(t, "plans")
		sorted := slices.Clone(plans)
		slices.SortFunc(sorted, desk.Before)
		shuffled := rapid.Permutation(plans).Draw(t, "shuffled")
		slices.SortFunc(shuffled, desk.Before)
		for i := range sorted {
			if desk.Before(sorted[i], shuffled[i]) != 0 {
				t.Fatalf("place %d holds %v after one order and %v after another", i, sorted[i].Decision, shuffled[i].Decision)
			}
		}
	})
}
