package notebook

import (
	"bytes"
	"context"
	"database/sql"
	"encoding/json"
)

// Result is what was worked out, with all that made it: a prediction, a
// calibration, a comparison.
type Result struct {
	ID       int64           `json:"number"`
	Kind     string          `json:"kind"`
	Made     float64         `json:"made_unix_s"`
	Code     string          `json:"code"`               // version of the program, exactly
	Revision string          `json:"revision,omitempty"` // of the design
	Trials   []int64         `json:"trials,omitempty"`   // used, by number, rising
	Inputs   json.RawMessage `json:"inputs"`             // options, seed, priors, ...
	Payload  json.RawMessage `json:"payload"`
}

// Keep keeps a result and returns its number. Number and time are given to
// it; inputs and payload must be JSON (absent: null).
func (n *Notebook) Keep(ctx context.Context, r Result) (int64, error) {
	r.Made = n.now()
	err := n.write(ctx, func(tx *sql.Tx) (err error) {
		if err := tx.QueryRowContext(ctx, "SELECT coalesce(max(id), 0) + 1 FROM result").Scan(&r.ID); err != nil {
			return err
		}
		return insertResult(ctx, tx, &r)
	})
	return r.ID, err
}

func insertResult(ctx context.Context, tx *sql.Tx, r *Result) error {
	if err := plainText(r.Kind, r.Code, r.Revision, string(r.Inputs), string(r.Payload)); err != nil {
		return err
	}
	inputs, err := compact(r.Inputs)
	if err != nil {
		return err
	}
	payload, err := compact(r.Payload)
	if err != nil {
		return err
	}
	if _, err := tx.ExecContext(ctx, "INSERT INTO result (id, kind, made, code, revision, inputs, payload) VALUES (?, ?, ?, ?, ?, ?, ?)",
		r.ID, r.Kind, r.Made, r.Code, r.Revision, inputs, payload); err != nil {
		return err
	}
	for _, id := range r.Trials {
		if err := mustExist(ctx, tx, id); err != nil {
			return err
		}
		if _, err := tx.ExecContext(ctx, "INSERT INTO result_trial (result_id, trial_id) VALUES (?, ?) ON CONFLICT DO NOTHING", r.ID, id); err != nil {
			return err
		}
	}
	return nil
}

// compact takes the blanks out of JSON, so that it is kept in one form.
func compact(raw json.RawMessage) (string, error) {
	if len(raw) == 0 {
		return "null", nil
	}
	var b bytes.Buffer
	err := json.Compact(&b, raw)
	return b.String(), err
}

// Results lists the results of a kind, or all with "", by number.
func (n *Notebook) Results(ctx context.Context, kind string) ([]Result, error) {
	var out []Result
	err := n.read(ctx, func(tx *sql.Tx) (err error) {
		out, err = resultsOf(ctx, tx, kind)
		return err
	})
	return out, err
}

func resultsOf(ctx context.Context, tx *sql.Tx, kind string) ([]Result, error) {
	var out []Result
	if err := each(ctx, tx, "SELECT id, kind, made, code, revision, inputs, payload FROM result WHERE ? IN ('', kind) ORDER BY id", func(scan func(...any) error) error {
		var r Result
		var inputs, payload string
		err := scan(&r.ID, &r.Kind, &r.Made, &r.Code, &r.Revision, &inputs, &payload)
		r.Inputs, r.Payload = json.RawMessage(inputs), json.RawMessage(payload)
		out = append(out, r)
		return err
	}, kind); err != nil {
		return nil, err
	}
	for i := range out {
		var err error
		if out[i].Trials, err = column[int64](ctx, tx, "SELECT trial_id FROM result_trial WHERE result_id = ? ORDER BY trial_id", out[i].ID); err != nil {
			return nil, err
		}
	}
	return out, nil
}
