package notebook

import (
	"context"
	"database/sql"
	"errors"
	"math"

	"meltspan/trial"
)

// Batch is what one series gets of a row of readings.
type Batch struct {
	Series  int64
	Samples []trial.Sample
}

// OpenSeries adds a series to a trial, with the samples that it may have
// already, and returns its number.
func (n *Notebook) OpenSeries(ctx context.Context, trialID int64, s trial.Series) (int64, error) {
	var id int64
	err := n.write(ctx, func(tx *sql.Tx) (err error) {
		id, err = addSeries(ctx, tx, trialID, s)
		return err
	})
	return id, err
}

// AddSeries adds several series to a trial, and the files that they come
// from: all or none.
func (n *Notebook) AddSeries(ctx context.Context, trialID int64, series []trial.Series, files ...File) error {
	return n.write(ctx, func(tx *sql.Tx) error {
		for _, s := range series {
			if _, err := addSeries(ctx, tx, trialID, s); err != nil {
				return err
			}
		}
		return n.attachAll(ctx, tx, trialID, files)
	})
}

func addSeries(ctx context.Context, tx *sql.Tx, trialID int64, s trial.Series) (int64, error) {
	if err := mustExist(ctx, tx, trialID); err != nil {
		return 0, err
	}
	if err := plainText(string(s.Quantity), s.Place, s.Source); err != nil {
		return 0, err
	}
	if !(s.Uncertainty >= 0 && s.Uncertainty < math.MaxFloat64) || !(s.Emissivity >= 0 && s.Emissivity <= 1) {
		return 0, problem("a number from 0 on; an emissivity up to 1", "a series of %s has the uncertainty %v and the emissivity %v", s.Quantity, s.Uncertainty, s.Emissivity)
	}
	done, err := tx.ExecContext(ctx, "INSERT INTO series (trial_id, quantity, place, source, uncertainty, emissivity) VALUES (?, ?, ?, ?, ?, ?)",
		trialID, s.Quantity, s.Place, s.Source, s.Uncertainty, s.Emissivity)
	if err != nil {
		return 0, err
	}
	id, err := done.LastInsertId()
	if err != nil {
		return 0, err
	}
	return id, appendTo(ctx, tx, id, s.Samples)
}

// Append adds samples to a series. They are on the disk when it returns.
func (n *Notebook) Append(ctx context.Context, series int64, samples ...trial.Sample) error {
	return n.AppendAll(ctx, []Batch{{series, samples}})
}

// AppendAll adds samples to several series in one transaction, as a logger
// does whose lines hold several channels.
func (n *Notebook) AppendAll(ctx context.Context, batches []Batch) error {
	return n.write(ctx, func(tx *sql.Tx) error {
		for _, b := range batches {
			if err := appendTo(ctx, tx, b.Series, b.Samples); err != nil {
				return err
			}
		}
		return nil
	})
}

func appendTo(ctx context.Context, tx *sql.Tx, series int64, samples []trial.Sample) error {
	if len(samples) == 0 {
		return nil
	}
	var first, count int64
	var tail []byte
	err := tx.QueryRowContext(ctx, "SELECT first, count, CASE WHEN count < ? THEN data END FROM block WHERE series_id = ? ORDER BY first DESC LIMIT 1",
		tailSamples, series).Scan(&first, &count, &tail)
	switch {
	case errors.Is(err, sql.ErrNoRows):
	case err != nil:
		return err
	case tail != nil && count+int64(len(samples)) <= tailSamples:
		data, err := pack(tail, samples)
		if err != nil {
			return err
		}
		_, err = tx.ExecContext(ctx, "UPDATE block SET count = ?, data = ? WHERE series_id = ? AND first = ?",
			count+int64(len(samples)), data, series, first)
		return err
	}
	insert, err := tx.PrepareContext(ctx, "INSERT INTO block (series_id, first, count, data) VALUES (?, ?, ?, ?)")
	if err != nil {
		return err
	}
	defer insert.Close()
	var data []byte
	for at := first + count; len(samples) > 0; {
		some := samples[:min(len(samples), blockSamples)]
		if data, err = pack(data[:0], some); err != nil {
			return err
		}
		if _, err := insert.ExecContext(ctx, series, at, len(some), data); err != nil {
			return err
		}
		at, samples = at+int64(len(some)), samples[len(some):]
	}
	return nil
}

// Samples reads a series from its sample number from on, counted from 0: all
// of it with 0, or what has come since.
func (n *Notebook) Samples(ctx context.Context, series int64, from int) ([]trial.Sample, error) {
	var out []trial.Sample
	err := n.read(ctx, func(tx *sql.Tx) (err error) {
		out, err = samplesOf(ctx, tx, series, from)
		return err
	})
	return out, err
}

func samplesOf(ctx context.Context, tx *sql.Tx, series int64, from int) ([]trial.Sample, error) {
	rows, err := tx.QueryContext(ctx, "SELECT first, data FROM block WHERE series_id = ? AND first + count > ? ORDER BY first", series, from)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var out []trial.Sample
	skip := 0
	for rows.Next() {
		var first int
		var data sql.RawBytes
		if err := rows.Scan(&first, &data); err != nil {
			return nil, err
		}
		if len(out) == 0 {
			skip = max(from-first, 0)
		}
		if out, err = unpack(out, data); err != nil {
			return nil, err
		}
	}
	if err := rows.Err(); err != nil {
		return nil, err
	}
	return out[min(skip, len(out)):], nil
}

// Mark gives samples of a series another mark, by their numbers from 0: from
// up to, not including, to. Values and times never change.
func (n *Notebook) Mark(ctx context.Context, series int64, from, to int, mark trial.Mark) error {
	return n.write(ctx, func(tx *sql.Tx) error {
		seen, _, err := remark(ctx, tx, series, from, to, func(trial.Sample) trial.Mark { return mark })
		if err == nil && (from < 0 || seen != to-from) {
			return problem("numbers of samples that are there", "the series has no samples from number %d to %d", from, to)
		}
		return err
	})
}

// Remark asks for the mark of each sample of a series anew: to leave out by
// hand what no rule finds, or to take such a mark back. It returns how many
// marks are others now.
func (n *Notebook) Remark(ctx context.Context, series int64, mark func(trial.Sample) trial.Mark) (int, error) {
	changed := 0
	err := n.write(ctx, func(tx *sql.Tx) (err error) {
		_, changed, err = remark(ctx, tx, series, 0, math.MaxInt, mark)
		return err
	})
	return changed, err
}

// remark rewrites the blocks in which marks change.
func remark(ctx context.Context, tx *sql.Tx, series int64, from, to int, mark func(trial.Sample) trial.Mark) (seen, changed int, err error) {
	type block struct {
		first int
		data  []byte
	}
	var blocks []block
	if err := each(ctx, tx, "SELECT first, data FROM block WHERE series_id = ? AND first < ? AND first + count > ? ORDER BY first", func(scan func(...any) error) error {
		var b block
		err := scan(&b.first, &b.data)
		blocks = append(blocks, b)
		return err
	}, series, to, from); err != nil {
		return 0, 0, err
	}
	for _, b := range blocks {
		samples, err := unpack(nil, b.data)
		if err != nil {
			return 0, 0, err
		}
		before := changed
		for i := range samples {
			if number := b.first + i; number < from || number >= to {
				continue
			}
			seen++
			if m := mark(samples[i]); m != samples[i].Mark {
				samples[i].Mark, changed = m, changed+1
			}
		}
		if changed == before {
			continue
		}
		data, err := pack(b.data[:0], samples)
		if err != nil {
			return 0, 0, err
		}
		if _, err := tx.ExecContext(ctx, "UPDATE block SET data = ? WHERE series_id = ? AND first = ?", data, series, b.first); err != nil {
			return 0, 0, err
		}
	}
	return seen, changed, nil
}
