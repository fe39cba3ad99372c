package notebook

import (
	"context"
	"database/sql"
	"math"

	"meltspan/trial"
)

// AddEvent adds an event to a trial.
func (n *Notebook) AddEvent(ctx context.Context, trialID int64, e trial.Event) error {
	return n.write(ctx, func(tx *sql.Tx) error {
		if err := mustExist(ctx, tx, trialID); err != nil {
			return err
		}
		return insertEvent(ctx, tx, trialID, e)
	})
}

// DropEvents takes a trial's events of one kind and source out again: those
// that a detection is about to find anew, or one typed in by mistake.
func (n *Notebook) DropEvents(ctx context.Context, trialID int64, kind trial.EventKind, source string) (int, error) {
	var dropped int64
	err := n.write(ctx, func(tx *sql.Tx) error {
		done, err := tx.ExecContext(ctx, "DELETE FROM event WHERE trial_id = ? AND kind = ? AND source = ?", trialID, kind, source)
		if err != nil {
			return err
		}
		dropped, err = done.RowsAffected()
		return err
	})
	return int(dropped), err
}

// ReplaceEvents takes out a trial's events of some sources and adds others, in
// one step: what a detection finds takes the place of what it found before.
func (n *Notebook) ReplaceEvents(ctx context.Context, trialID int64, sources []string, events ...trial.Event) error {
	return n.write(ctx, func(tx *sql.Tx) error {
		if err := mustExist(ctx, tx, trialID); err != nil {
			return err
		}
		for _, source := range sources {
			if _, err := tx.ExecContext(ctx, "DELETE FROM event WHERE trial_id = ? AND source = ?", trialID, source); err != nil {
				return err
			}
		}
		for _, e := range events {
			if err := insertEvent(ctx, tx, trialID, e); err != nil {
				return err
			}
		}
		return nil
	})
}

func insertEvent(ctx context.Context, tx *sql.Tx, trialID int64, e trial.Event) error {
	if math.IsNaN(e.Time) || math.IsInf(e.Time, 0) || !(e.Uncertainty >= 0) || math.IsInf(e.Uncertainty, 0) {
		return problem("a number of seconds", "the event %q has the time %v s with an uncertainty of %v s", e.Kind, e.Time, e.Uncertainty)
	}
	if err := plainText(string(e.Kind), e.Source, e.Note); err != nil {
		return err
	}
	_, err := tx.ExecContext(ctx, "INSERT INTO event (trial_id, kind, time, uncertainty, source, note) VALUES (?, ?, ?, ?, ?, ?)",
		trialID, e.Kind, e.Time, e.Uncertainty, e.Source, e.Note)
	return err
}
