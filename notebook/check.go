package notebook

import (
	"context"
	"errors"
	"fmt"
)

// Check reads the whole notebook: SQLite's own check of the file, every entry, and the hash of every frozen
// plan. It returns nil, or all that is wrong, as ErrDamaged.
func (n *Notebook) Check(ctx context.Context) error {
	found, err := n.integrity(ctx)
	if err != nil {
		return fmt.Errorf("checking the notebook: %w", explain(err))
	}
	if _, _, err := n.all(ctx); err != nil {
		found = append(found, explain(err))
	}
	labels, err := n.Plans(ctx, "")
	if err != nil {
		return errors.Join(append(found, err)...)
	}
	for _, label := range labels {
		if _, err := n.Frozen(ctx, label.ID); err != nil {
			found = append(found, err)
		}
	}
	return errors.Join(found...)
}

func (n *Notebook) integrity(ctx context.Context) (found []error, err error) {
	rows, err := n.readers.QueryContext(ctx, "PRAGMA integrity_check")
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	for rows.Next() {
		var says string
		if err := rows.Scan(&says); err != nil {
			return nil, err
		}
		if says != "ok" {
			found = append(found, fmt.Errorf("%w: %s", ErrDamaged, says))
		}
	}
	return found, rows.Err()
}
