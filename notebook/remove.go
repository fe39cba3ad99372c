package notebook

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"strings"
)

// Removal is what belongs together when a trial, or results, are taken out.
type Removal struct {
	Trials  []Head   `json:"trials,omitempty"`  // with their logs, events and files
	Results []Result `json:"results,omitempty"` // without payloads
}

// WithTrial says what goes when a trial is taken out: the results that rest on it go
// with it, since what made them is no longer there.
func (n *Notebook) WithTrial(ctx context.Context, id int64) (Removal, error) {
	var out Removal
	err := n.read(ctx, func(tx *sql.Tx) (err error) {
		out, err = withTrial(ctx, tx, id)
		return err
	})
	return out, err
}

func withTrial(ctx context.Context, tx *sql.Tx, id int64) (Removal, error) {
	head, err := headOf(ctx, tx, id)
	if err != nil {
		return Removal{}, err
	}
	out := Removal{Trials: []Head{head}}
	all, err := resultsOf(ctx, tx, headOfResult, "", 0)
	out.Results = restingOn(all, id)
	return out, err
}

// RemoveTrial takes a trial out for good, with the results that rest on it, unless
// agreed finds something against it; nil agrees to all.
func (n *Notebook) RemoveTrial(ctx context.Context, id int64, agreed func(Removal) error) (Removal, error) {
	var out Removal
	err := n.write(ctx, func(tx *sql.Tx) (err error) {
		if out, err = withTrial(ctx, tx, id); err != nil {
			return err
		}
		if agreed != nil {
			if err := agreed(out); err != nil {
				return err
			}
		}
		if err := removeResults(ctx, tx, out.Results); err != nil {
			return err
		}
		if err := remove(ctx, tx, "trial", id); err != nil {
			return err
		}
		_, err = tx.ExecContext(ctx, "DELETE FROM content WHERE hash NOT IN (SELECT hash FROM attachment)")
		return err
	})
	return out, err
}

// Alone is a Problem where results rest on the trial.
func (r Removal) Alone() error {
	if len(r.Results) == 0 {
		return nil
	}
	return problem(fmt.Sprintf(`"meltspan trial remove %d --with-results --yes" takes them out as well`, r.Trials[0].ID), "%s", r.resting())
}

// resting says which results rest on a trial.
func (r *Removal) resting() string {
	const most = 8
	var numbers []string
	for i := range r.Results {
		if i == most {
			numbers = append(numbers, fmt.Sprintf("%d more", len(r.Results)-most))
			break
		}
		numbers = append(numbers, fmt.Sprint(r.Results[i].ID))
	}
	h := &r.Trials[0]
	if len(numbers) == 1 {
		return fmt.Sprintf("result %s rests on trial %d, %s", numbers[0], h.ID, h.Trial.Name)
	}
	last := len(numbers) - 1
	return fmt.Sprintf("results %s and %s rest on trial %d, %s", strings.Join(numbers[:last], ", "), numbers[last], h.ID, h.Trial.Name)
}

// RemoveResults takes results out for good: all of them or none.
func (n *Notebook) RemoveResults(ctx context.Context, list []Result) error {
	return n.write(ctx, func(tx *sql.Tx) error { return removeResults(ctx, tx, list) })
}

func removeResults(ctx context.Context, tx *sql.Tx, list []Result) error {
	for i := range list {
		if err := remove(ctx, tx, "result", list[i].ID); err != nil {
			return err
		}
	}
	return nil
}

// remove takes out one row of a table by its number, which is never given again.
func remove(ctx context.Context, tx *sql.Tx, table string, id int64) error {
	done, err := tx.ExecContext(ctx, "DELETE FROM "+table+" WHERE id = ?", id)
	if err != nil {
		return err
	}
	if count, err := done.RowsAffected(); err != nil {
		return err
	} else if count == 0 {
		return problem("a number that is there", "there is no %s %d", table, id)
	}
	return raiseLast(ctx, tx, table, id)
}

// raiseLast keeps in mind that a number was given once.
func raiseLast(ctx context.Context, tx *sql.Tx, table string, id int64) error {
	_, err := tx.ExecContext(ctx, "INSERT INTO last_number (of, last) VALUES (?, ?) ON CONFLICT (of) DO UPDATE SET last = max(last, excluded.last)", table, id)
	return err
}

// lastNumber is the highest that was ever given in a table and then taken out; 0: none.
func lastNumber(ctx context.Context, tx *sql.Tx, table string) (int64, error) {
	var last int64
	err := tx.QueryRowContext(ctx, "SELECT last FROM last_number WHERE of = ?", table).Scan(&last)
	if errors.Is(err, sql.ErrNoRows) {
		return 0, nil
	}
	return last, err
}

// nextNumber is one more than any that was given in a table.
func nextNumber(ctx context.Context, tx *sql.Tx, table string) (int64, error) {
	last, err := lastNumber(ctx, tx, table)
	if err != nil {
		return 0, err
	}
	var id int64
	err = tx.QueryRowContext(ctx, "SELECT max(coalesce(max(id), 0), ?) + 1 FROM "+table, last).Scan(&id)
	return id, err
}
