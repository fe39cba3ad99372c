package notebook

import (
	"context"
	"database/sql"
	"errors"

	"meltspan/trial"
)

// headOf reads a trial but for its samples.
func headOf(ctx context.Context, tx *sql.Tx, id int64) (Head, error) {
	h := Head{ID: id}
	t := &h.Trial
	var start sql.NullFloat64
	err := tx.QueryRowContext(ctx, `SELECT t.name, t.kind, t.design, coalesce(d.revision, ''), t.start, t.zone, t.note, t.created
		FROM trial t LEFT JOIN design d ON d.id = t.design_id WHERE t.id = ?`, id).
		Scan(&t.Name, &t.Kind, &t.Design, &t.Revision, &start, &t.Zone, &t.Note, &h.Created)
	if errors.Is(err, sql.ErrNoRows) {
		return h, mustExist(ctx, tx, id)
	}
	if err != nil {
		return h, err
	}
	t.Start = orNaN(start)
	if err := each(ctx, tx, "SELECT path, value FROM setting WHERE trial_id = ? ORDER BY place", func(scan func(...any) error) error {
		var s trial.Setting
		err := scan(&s.Path, &s.Value)
		t.Settings = append(t.Settings, s)
		return err
	}, id); err != nil {
		return h, err
	}
	if err := each(ctx, tx, `SELECT s.id, s.quantity, s.place, s.source, s.uncertainty, s.emissivity,
		coalesce((SELECT first + count FROM block b WHERE b.series_id = s.id ORDER BY first DESC LIMIT 1), 0)
		FROM series s WHERE s.trial_id = ? ORDER BY s.id`, func(scan func(...any) error) error {
		var s trial.Series
		var e Extent
		err := scan(&e.ID, &s.Quantity, &s.Place, &s.Source, &s.Uncertainty, &s.Emissivity, &e.Samples)
		t.Series, h.Series = append(t.Series, s), append(h.Series, e)
		return err
	}, id); err != nil {
		return h, err
	}
	return h, each(ctx, tx, "SELECT kind, time, uncertainty, source, note FROM event WHERE trial_id = ? ORDER BY time, id", func(scan func(...any) error) error {
		var e trial.Event
		err := scan(&e.Kind, &e.Time, &e.Uncertainty, &e.Source, &e.Note)
		t.Events = append(t.Events, e)
		return err
	}, id)
}

// each hands every row of a query to row.
func each(ctx context.Context, tx *sql.Tx, query string, row func(scan func(...any) error) error, args ...any) error {
	rows, err := tx.QueryContext(ctx, query, args...)
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		if err := row(rows.Scan); err != nil {
			return err
		}
	}
	return rows.Err()
}

// column reads a query of one column.
func column[T any](ctx context.Context, tx *sql.Tx, query string, args ...any) ([]T, error) {
	var out []T
	err := each(ctx, tx, query, func(scan func(...any) error) error {
		var x T
		err := scan(&x)
		out = append(out, x)
		return err
	}, args...)
	return out, err
}
