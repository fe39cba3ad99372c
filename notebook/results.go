package notebook

import (
	"bytes"
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"slices"
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
	return n.keep(ctx, r, false)
}

// KeepOnce is Keep for what comes out the same whenever it is worked out: where
// the same result of the same inputs by the same program is there already, its
// number is returned and nothing is added.
func (n *Notebook) KeepOnce(ctx context.Context, r Result) (int64, error) {
	return n.keep(ctx, r, true)
}

func (n *Notebook) keep(ctx context.Context, r Result, once bool) (int64, error) {
	r.Made = n.now()
	err := n.write(ctx, func(tx *sql.Tx) (err error) {
		if once {
			if found, err := sameResult(ctx, tx, &r); err != nil || found {
				return err
			}
		}
		if r.ID, err = nextNumber(ctx, tx, "result"); err != nil {
			return err
		}
		return insertResult(ctx, tx, &r)
	})
	return r.ID, err
}

// sameResult looks for a result that says the same, and sets the number of r.
func sameResult(ctx context.Context, tx *sql.Tx, r *Result) (bool, error) {
	inputs, err := compact(r.Inputs)
	if err != nil {
		return false, err
	}
	payload, err := compact(r.Payload)
	if err != nil {
		return false, err
	}
	err = tx.QueryRowContext(ctx, "SELECT id FROM result WHERE kind = ? AND code = ? AND revision = ? AND inputs = ? AND payload = ? ORDER BY id DESC LIMIT 1",
		r.Kind, r.Code, r.Revision, inputs, payload).Scan(&r.ID)
	if errors.Is(err, sql.ErrNoRows) {
		return false, nil
	}
	return err == nil, err
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
	return n.results(ctx, allOfResult, kind, 0)
}

// ResultHeads is Results without the payloads, which may be large: they are null.
func (n *Notebook) ResultHeads(ctx context.Context, kind string) ([]Result, error) {
	return n.results(ctx, headOfResult, kind, 0)
}

// Result reads one result.
func (n *Notebook) Result(ctx context.Context, id int64) (Result, error) {
	list, err := n.results(ctx, allOfResult, "", id)
	if err == nil && len(list) == 0 {
		err = problem(`"meltspan notebook results" lists them`, "there is no result %d in %s", id, n.path)
	}
	if err != nil {
		return Result{}, err
	}
	return list[0], nil
}

// ResultsOfTrial lists the results of a kind that rest on a trial, by number.
func (n *Notebook) ResultsOfTrial(ctx context.Context, kind string, trial int64) ([]Result, error) {
	heads, err := n.ResultHeads(ctx, kind)
	if err != nil {
		return nil, err
	}
	var out []Result
	for _, h := range restingOn(heads, trial) {
		r, err := n.Result(ctx, h.ID)
		if err != nil {
			return nil, err
		}
		out = append(out, r)
	}
	return out, nil
}

// restingOn are those of a list that rest on a trial.
func restingOn(list []Result, trial int64) []Result {
	var out []Result
	for _, r := range list {
		if slices.Contains(r.Trials, trial) {
			out = append(out, r)
		}
	}
	return out
}

// What is read of a result.
const (
	allOfResult  = "SELECT id, kind, made, code, revision, inputs, payload FROM result"
	headOfResult = "SELECT id, kind, made, code, revision, inputs, 'null' FROM result"
)

func (n *Notebook) results(ctx context.Context, what, kind string, id int64) ([]Result, error) {
	var out []Result
	err := n.read(ctx, func(tx *sql.Tx) (err error) {
		out, err = resultsOf(ctx, tx, what, kind, id)
		return err
	})
	return out, err
}

// resultsOf reads results of a kind ("": of all) and a number (0: all).
func resultsOf(ctx context.Context, tx *sql.Tx, what, kind string, id int64) ([]Result, error) {
	var out []Result
	if err := each(ctx, tx, what+" WHERE ? IN ('', kind) AND ? IN (0, id) ORDER BY id", func(scan func(...any) error) error {
		var r Result
		var inputs, payload string
		err := scan(&r.ID, &r.Kind, &r.Made, &r.Code, &r.Revision, &inputs, &payload)
		r.Inputs, r.Payload = json.RawMessage(inputs), json.RawMessage(payload)
		out = append(out, r)
		return err
	}, kind, id); err != nil {
		return nil, err
	}
	at := map[int64]int{}
	for i := range out {
		at[out[i].ID] = i
	}
	return out, each(ctx, tx, "SELECT result_id, trial_id FROM result_trial WHERE ? IN (0, result_id) ORDER BY result_id, trial_id", func(scan func(...any) error) error {
		var result, trial int64
		err := scan(&result, &trial)
		if i, wanted := at[result]; err == nil && wanted {
			out[i].Trials = append(out[i].Trials, trial)
		}
		return err
	}, id)
}
