package advice

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"time"

	"culm/season"
)

// FrozenFormat names the shape of a frozen plan.
const FrozenFormat = "culm.frozen-plan/1"

// Frozen is a plan as it was handed over, with everything it was computed from, so that it can be computed
// again years later.
type Frozen struct {
	Format string `json:"format"`
	// ID is drawn from the hash: the same plan on the same input is the same frozen plan.
	ID string `json:"id"`
	// Engine is the version of the program that made the plan.
	Engine string    `json:"engine"`
	Made   time.Time `json:"made"`
	By     string    `json:"by,omitempty"`
	// Hash is the SHA-256 of input and plan together, in hexadecimal.
	Hash  string          `json:"hash"`
	Input json.RawMessage `json:"input"` // a season.FieldSeason
	Plan  json.RawMessage `json:"plan"`  // a Plan
	// Books are the texts of rulebooks of the advisor's own that the plan used, by their digests. Those that come
	// with Culm belong to the engine.
	Books map[string]string `json:"books,omitempty"`
}

// ErrDamaged says that a frozen plan is not what was frozen: its hash does not fit its contents.
var ErrDamaged = errors.New("the frozen plan was changed or damaged after it was made")

// Freeze computes the plan for a field and fixes it together with its input.
func (a *Advisor) Freeze(fs season.FieldSeason, engine string, made time.Time, by string) (Frozen, error) {
	input, err := json.Marshal(fs)
	if err != nil {
		return Frozen{}, fmt.Errorf("freezing the input of field %s: %w", fs.Field.ID, err)
	}
	advised := a.Advise(fs)
	plan, err := json.Marshal(advised)
	if err != nil {
		return Frozen{}, fmt.Errorf("freezing the plan of field %s: %w", fs.Field.ID, err)
	}
	f := Frozen{Format: FrozenFormat, Engine: engine, Made: made.UTC(), By: by, Input: input, Plan: plan, Books: a.ownTexts(&advised)}
	f.Hash = HashOf(input, plan)
	f.ID = fs.Field.ID + "-" + fs.Today.String() + "-" + f.Hash[:8]
	return f, nil
}

// HashOf is the SHA-256, in hexadecimal, of an input and its plan: byte by byte, without the white space that
// a person may have added.
func HashOf(input, plan json.RawMessage) string {
	h := sha256.New()
	for _, part := range []json.RawMessage{input, plan} {
		var compact bytes.Buffer
		if err := json.Compact(&compact, part); err != nil { // not JSON: then nothing was added to it
			compact.Reset()
			compact.Write(part)
		}
		fmt.Fprintf(h, "%d:", compact.Len())
		h.Write(compact.Bytes())
	}
	return hex.EncodeToString(h.Sum(nil))
}

// Read gives the plan as it was handed over, without computing anything. It fails with ErrDamaged when hash
// and contents do not fit.
func (f Frozen) Read() (Plan, error) {
	if f.Format != FrozenFormat {
		return Plan{}, fmt.Errorf("this is not a frozen plan: format is %q, expected %q", f.Format, FrozenFormat)
	}
	if HashOf(f.Input, f.Plan) != f.Hash {
		return Plan{}, ErrDamaged
	}
	var plan Plan
	if err := json.Unmarshal(f.Plan, &plan); err != nil {
		return Plan{}, fmt.Errorf("reading frozen plan %s: %w", f.ID, err)
	}
	return plan, nil
}

// Replay is what computing a frozen plan again found.
type Replay struct {
	Field string `json:"field"`
	// Identical says that every number and word came out the same, to the last digit.
	Identical bool `json:"identical"`
	// Compared counts the numbers and words compared.
	Compared    int          `json:"compared"`
	Differences []Difference `json:"differences,omitempty"`
	// Changed says, in sentences, which rulebooks that the plan used have changed since or are not at hand.
	Changed []string `json:"changed,omitempty"`
}

// Difference is one value that came out differently.
type Difference struct {
	Path string `json:"path"` // where it stands in the plan: "figures[rate.kansas-2003].amount.value"
	Then string `json:"then"`
	Now  string `json:"now"`
}

// Replay computes a frozen plan again from its input, by the rulebooks of one's own that were kept with it, and
// compares every value. It says which rulebooks have changed since. It fails with ErrDamaged when
// the frozen plan is not what was frozen.
func (a *Advisor) Replay(f Frozen) (Replay, error) {
	then, err := f.Read()
	if err != nil {
		return Replay{}, err
	}
	var fs season.FieldSeason
	if err := json.Unmarshal(f.Input, &fs); err != nil {
		return Replay{}, fmt.Errorf("reading the input of frozen plan %s: %w", f.ID, err)
	}
	again, err := a.of(f, &then)
	if err != nil {
		return Replay{}, err
	}
	now, err := json.Marshal(again.Advise(fs))
	if err != nil {
		return Replay{}, err
	}
	r := Replay{Field: then.Field.ID, Changed: a.changed(&then)}
	if err := r.compare(f.Plan, now); err != nil {
		return Replay{}, fmt.Errorf("comparing frozen plan %s: %w", f.ID, err)
	}
	r.Identical = len(r.Differences) == 0
	return r, nil
}
