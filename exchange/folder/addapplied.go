package folder

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"time"

	"culm/agronomy/calendar"
	"culm/season"
)

const appliedFile = "applied.csv"

// Addition is what became of something that was to be added.
type Addition string

// What became of it.
const (
	Added     Addition = "added"
	Corrected Addition = "corrected" // in the place of what stood there
	Same      Addition = "same"      // it stands there already, and says the same
	Other     Addition = "other"     // it stands there already, says something else, and was left alone
)

// AddApplied adds nitrogen that was really spread to applied.csv of a season folder on disk, below what stands there,
// which stays as it is to the byte but for empty cells under new columns. One pass is one field, day and product. Where
// that stands there already it is left alone; where it says something else and corrected is a moment, a correction of
// that moment is written below it.
//
// The table appears whole or not at all: it is made beside its place, read back, compared and renamed. Nothing is
// written where the folder has an error before or would have one after; the problems say which.
func AddApplied(dir string, a *season.Applied, today calendar.Day, corrected time.Time) (Addition, []season.Problem, error) {
	if info, err := os.Stat(dir); err != nil || !info.IsDir() {
		return "", nil, fmt.Errorf("%s is no folder; what was spread is added to a season folder, not to a zip of one", dir)
	}
	content, problems := Open(dir)
	problems = append(problems, content.Check(today)...)
	if hasFatal(problems) {
		return "", Limit(problems), nil
	}
	standing := season.Standing(content.Entries)
	outcome, st, err := whatBecomesOf(a, standing, corrected)
	if err != nil || outcome == Same || outcome == Other {
		return outcome, nil, err
	}
	k := knownFrom(standing)
	e, err := k.habits.entry(a, st, season.Where{File: appliedFile})
	if err != nil {
		return "", nil, fmt.Errorf("the pass cannot be kept: %w", err)
	}
	with := content
	with.Entries = append(slices.Clone(content.Entries), e)
	if after := with.Check(today); hasFatal(after) {
		return "", newProblems(after, problems), nil
	}
	name := filepath.Join(dir, appliedFile)
	old, err := os.ReadFile(name)
	if err != nil && !errors.Is(err, os.ErrNotExist) {
		return "", nil, reason(err)
	}
	table, err := withApplied(old, e, st, k)
	if err != nil {
		return "", nil, err
	}
	return outcome, nil, replaceFile(name, table)
}

// whatBecomesOf looks for the same pass among what stands.
func whatBecomesOf(a *season.Applied, standing []season.Entry, corrected time.Time) (Addition, stamp, error) {
	for _, e := range standing {
		old, ok := e.Body.(*season.Applied)
		if !ok || old.Subject() != a.Subject() {
			continue
		}
		same, err := season.SameContent(old, a)
		switch {
		case err != nil:
			return "", stamp{}, err
		case same:
			return Same, stamp{}, nil
		case corrected.IsZero():
			return Other, stamp{}, nil
		default:
			return Corrected, stamp{recorded: corrected.UTC().Truncate(time.Second), supersedes: e.ID}, nil
		}
	}
	return Added, stamp{}, nil
}

// withApplied is the table with a row more, read back and compared.
func withApplied(old []byte, e season.Entry, st stamp, k *known) ([]byte, error) {
	before, _ := appliedEntries(old, k)
	table, err := appendRows(old, appliedColumns(k), []season.Applied{*e.Body.(*season.Applied)}, []stamp{st})
	if err != nil {
		return nil, err
	}
	after, err := appliedEntries(table, k)
	if err != nil {
		return nil, err
	}
	if !slices.EqualFunc(after, append(before, e), isSame) {
		return nil, errors.New("the pass would not read back from " + appliedFile + " as it is; nothing was written")
	}
	return table, nil
}

// appliedEntries reads a table that must have no errors.
func appliedEntries(table []byte, k *known) (entries []season.Entry, err error) {
	r := &report{file: appliedFile}
	text, ok := decode(table, r)
	if ok {
		for _, m := range appliedChapter().read(text, "", k, r) {
			entries = append(entries, m.entry)
		}
	}
	if r.errors > 0 {
		return entries, fmt.Errorf("%s:%d: %s", appliedFile, r.listed[0].Line, r.listed[0].Message)
	}
	return entries, nil
}
