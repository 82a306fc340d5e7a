package notebook

import (
	"bytes"
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"time"

	"culm/advice"

	"github.com/klauspost/compress/zstd"
)

// PlanLabel says which frozen plan it is.
type PlanLabel struct {
	ID     string    `json:"id"`
	Field  string    `json:"field"` // id
	Made   time.Time `json:"made"`
	By     string    `json:"by,omitempty"`
	Engine string    `json:"engine"` // version of the program that computed it
	// Hash covers input and plan, so what a reader acts on: see advice.HashOf. Id, moment and writer are
	// not covered, since freezing the same plan again another day is still the same plan.
	Hash string `json:"hash"`
}

// Frozen is a plan as it was handed over, with everything it was computed from, and the field it is for. To
// the notebook input and plan are JSON and no more.
type Frozen struct {
	Field string `json:"field"` // id
	advice.Frozen
}

// Label says which frozen plan it is.
func (f Frozen) Label() PlanLabel {
	return PlanLabel{ID: f.ID, Field: f.Field, Made: f.Made, By: f.By, Engine: f.Engine, Hash: f.Hash}
}

// Freeze keeps a plan for good and gives the label under which it is kept. A plan that is kept already,
// by its hash, is left as it is and its first label comes back. A hash that the plan brings along must
// fit; an id that is taken by another plan is a ConflictError.
func (n *Notebook) Freeze(ctx context.Context, f Frozen) (PlanLabel, error) {
	label, err := n.freeze(ctx, f)
	if err != nil {
		return PlanLabel{}, fmt.Errorf("freezing plan %q: %w", f.ID, err)
	}
	return label, nil
}

const insertPlan = `
INSERT INTO plans (id, field, made, made_by, format, engine, hash, input, plan, books)
VALUES (?, ?, ?, NULLIF(?, ''), ?, ?, ?, ?, ?, ?)
ON CONFLICT DO NOTHING`

func (n *Notebook) freeze(ctx context.Context, f Frozen) (PlanLabel, error) {
	if err := f.seal(); err != nil {
		return PlanLabel{}, err
	}
	input, plan := n.pack.EncodeAll(f.Input, nil), n.pack.EncodeAll(f.Plan, nil)
	books, err := n.packBooks(f.Books)
	if err != nil {
		return PlanLabel{}, err
	}
	label := f.Label()
	err = n.writer.do(ctx, func(tx *sql.Tx) error {
		_, err := tx.Exec(insertPlan, f.ID, f.Field, moment(f.Made), f.By, f.Format, f.Engine, f.Hash, input, plan, books)
		if err != nil {
			return err
		}
		label, err = scanLabel(tx.QueryRow(selectLabels+"WHERE hash = ?", f.Hash))
		if errors.Is(err, sql.ErrNoRows) {
			return &ConflictError{ID: f.ID, Have: "another frozen plan", Differs: "its input or plan"}
		}
		return err
	})
	return label, err
}

// seal takes out white space, and fills or checks the hash.
func (f *Frozen) seal() (err error) {
	if f.ID == "" || f.Field == "" || f.Engine == "" || f.Format == "" || f.Made.IsZero() {
		return errors.New("it must say its id, field, engine, format and when it was made")
	}
	if f.Input, err = compactly(f.Input); err != nil {
		return err
	}
	if f.Plan, err = compactly(f.Plan); err != nil {
		return err
	}
	hash := advice.HashOf(f.Input, f.Plan)
	if f.Hash != "" && f.Hash != hash {
		return fmt.Errorf("its hash is %s, but its contents give %s: %w", f.Hash, hash, ErrDamaged)
	}
	f.Hash = hash
	return nil
}

func compactly(data json.RawMessage) ([]byte, error) {
	var b bytes.Buffer
	if err := json.Compact(&b, data); err != nil {
		return nil, fmt.Errorf("its input or plan is not JSON: %w", err)
	}
	return b.Bytes(), nil
}

// Frozen gives a plan as it was frozen. If hash and contents do not fit, the error is ErrDamaged, and what
// could be read comes along with it.
func (n *Notebook) Frozen(ctx context.Context, id string) (Frozen, error) {
	f, err := n.readFrozen(ctx, id)
	if err != nil {
		return f, fmt.Errorf("frozen plan %q: %w", id, explain(err))
	}
	return f, nil
}

func (n *Notebook) readFrozen(ctx context.Context, id string) (f Frozen, err error) {
	var input, plan, books []byte
	label, err := scanLabel(n.readers.QueryRowContext(ctx,
		"SELECT id, field, made, coalesce(made_by, ''), engine, hash, format, input, plan, books FROM plans WHERE id = ?", id),
		&f.Format, &input, &plan, &books)
	if errors.Is(err, sql.ErrNoRows) {
		return f, ErrNotFound
	}
	if err != nil {
		return f, err
	}
	f.ID, f.Field, f.Made, f.By, f.Engine, f.Hash = label.ID, label.Field, label.Made, label.By, label.Engine, label.Hash
	if f.Input, err = n.unpack.DecodeAll(input, nil); err != nil {
		return f, fmt.Errorf("its input cannot be unpacked: %w: %w", ErrDamaged, err)
	}
	if f.Plan, err = n.unpack.DecodeAll(plan, nil); err != nil {
		return f, fmt.Errorf("its plan cannot be unpacked: %w: %w", ErrDamaged, err)
	}
	if f.Books, err = n.unpackBooks(books); err != nil {
		return f, fmt.Errorf("its rulebooks cannot be unpacked: %w: %w", ErrDamaged, err)
	}
	if hash := advice.HashOf(f.Input, f.Plan); hash != f.Hash {
		return f, fmt.Errorf("it was frozen with hash %s and its contents now give %s: %w", f.Hash, hash, ErrDamaged)
	}
	return f, nil
}

// packBooks packs the texts of rulebooks; nil where there are none.
func (n *Notebook) packBooks(texts map[string]string) ([]byte, error) {
	if len(texts) == 0 {
		return nil, nil
	}
	data, err := json.Marshal(texts)
	if err != nil {
		return nil, err
	}
	return n.pack.EncodeAll(data, nil), nil
}

func (n *Notebook) unpackBooks(packed []byte) (texts map[string]string, err error) {
	if len(packed) == 0 {
		return nil, nil
	}
	data, err := n.unpack.DecodeAll(packed, nil)
	if err != nil {
		return nil, err
	}
	return texts, json.Unmarshal(data, &texts)
}

// Plans lists the frozen plans of a field, or of all fields if it is empty, the latest first.
func (n *Notebook) Plans(ctx context.Context, field string) ([]PlanLabel, error) {
	labels, err := n.plans(ctx, field)
	if err != nil {
		return nil, fmt.Errorf("listing frozen plans: %w", explain(err))
	}
	return labels, nil
}

const selectLabels = "SELECT id, field, made, coalesce(made_by, ''), engine, hash FROM plans "

func (n *Notebook) plans(ctx context.Context, field string) ([]PlanLabel, error) {
	query, values := selectLabels+"ORDER BY made DESC, id", []any{}
	if field != "" {
		query, values = selectLabels+"WHERE field = ? ORDER BY made DESC, id", []any{field}
	}
	rows, err := n.readers.QueryContext(ctx, query, values...)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var labels []PlanLabel
	for rows.Next() {
		label, err := scanLabel(rows)
		if err != nil {
			return nil, err
		}
		labels = append(labels, label)
	}
	return labels, rows.Err()
}

// scanLabel reads a label, and after it the further columns of the row.
func scanLabel(row interface{ Scan(...any) error }, further ...any) (PlanLabel, error) {
	var (
		label PlanLabel
		made  string
	)
	columns := []any{&label.ID, &label.Field, &made, &label.By, &label.Engine, &label.Hash}
	if err := row.Scan(append(columns, further...)...); err != nil {
		return label, err
	}
	var err error
	if label.Made, err = time.Parse(momentFormat, made); err != nil {
		return label, fmt.Errorf("%w: %w", ErrDamaged, err)
	}
	return label, nil
}

// Input and plan of a field with a winter's weather are some 110 kB of JSON and pack to a fifth of that in
// about two milliseconds (BenchmarkFreeze). Over the plans of a region that is most of the file.

// unpackLimit bounds what a frozen plan may unpack to, so that a damaged or hostile file cannot fill memory.
const unpackLimit = 64 << 20

func newPackers() (*zstd.Encoder, *zstd.Decoder, error) {
	pack, err := zstd.NewWriter(nil)
	if err != nil {
		return nil, nil, err
	}
	unpack, err := zstd.NewReader(nil, zstd.WithDecoderMaxMemory(unpackLimit))
	if err != nil {
		return nil, nil, err
	}
	return pack, unpack, nil
}
