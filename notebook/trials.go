package notebook

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"

	"meltspan/trial"
)

// Head is a trial without its samples.
type Head struct {
	ID      int64       `json:"number"`
	Trial   trial.Trial `json:"trial"`   // its series hold no samples
	Series  []Extent    `json:"extents"` // of each series of the trial
	Created float64     `json:"created_unix_s"`
}

// Extent is how much a series holds.
type Extent struct {
	ID      int64 `json:"id"`
	Samples int   `json:"samples"`
}

// CreateTrial keeps a trial with all that it holds, and files attached to it,
// and returns its number. Without a name it is called by its number. A
// revision must be that of a design in the notebook.
func (n *Notebook) CreateTrial(ctx context.Context, t trial.Trial, files ...File) (int64, error) {
	var id int64
	err := n.write(ctx, func(tx *sql.Tx) (err error) {
		if id, err = nextNumber(ctx, tx, "trial"); err != nil {
			return err
		}
		if t.Name == "" {
			t.Name = fmt.Sprintf("trial %d", id)
		}
		if err := insertTrial(ctx, tx, id, &t, n.now()); err != nil {
			return err
		}
		return n.attachAll(ctx, tx, id, files)
	})
	return id, err
}

func insertTrial(ctx context.Context, tx *sql.Tx, id int64, t *trial.Trial, created float64) error {
	if err := checkTrial(ctx, tx, t, id); err != nil {
		return err
	}
	design, err := designRow(ctx, tx, t.Revision)
	if err != nil {
		return err
	}
	if _, err := tx.ExecContext(ctx, "INSERT INTO trial (id, name, kind, design_id, design, start, zone, note, created) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)",
		id, t.Name, t.Kind, design, t.Design, nullable(t.Start), t.Zone, t.Note, created); err != nil {
		return err
	}
	if err := insertSettings(ctx, tx, id, t.Settings); err != nil {
		return err
	}
	for _, s := range t.Series {
		if _, err := addSeries(ctx, tx, id, s); err != nil {
			return err
		}
	}
	for _, e := range t.Events {
		if err := insertEvent(ctx, tx, id, e); err != nil {
			return err
		}
	}
	return nil
}

// checkTrial looks at what a trial holds beside its series and events.
func checkTrial(ctx context.Context, tx *sql.Tx, t *trial.Trial, id int64) error {
	texts := []string{t.Name, string(t.Kind), t.Design, t.Zone, t.Note}
	paths := map[string]bool{}
	for _, s := range t.Settings {
		texts = append(texts, s.Path, s.Value)
		if paths[s.Path] {
			return problem("one value", "%s is set twice", s.Path)
		}
		paths[s.Path] = true
	}
	if err := plainText(texts...); err != nil {
		return err
	}
	if math.IsInf(t.Start, 0) {
		return problem("a time, or none", "the trial %q starts at %v", t.Name, t.Start)
	}
	return checkName(ctx, tx, t.Name, id)
}

// plainText keeps bytes out of the notebook that are no text: JSON has no
// place for them.
func plainText(texts ...string) error {
	for _, text := range texts {
		if !utf8.ValidString(text) {
			return problem("text in UTF-8", "%q holds bytes that are no text", text)
		}
	}
	return nil
}

// checkName sees to it that a trial can be told by its name.
func checkName(ctx context.Context, tx *sql.Tx, name string, id int64) error {
	if _, err := strconv.Atoi(strings.TrimSpace(name)); err == nil || strings.TrimSpace(name) == "" {
		return problem("a name with a letter in it", "a trial cannot be called %q: trials are counted by numbers", name)
	}
	var other int64
	err := tx.QueryRowContext(ctx, "SELECT id FROM trial WHERE name = ? AND id <> ?", name, id).Scan(&other)
	switch {
	case errors.Is(err, sql.ErrNoRows):
		return nil
	case err != nil:
		return err
	}
	return problem("another name", "trial %d is called %q already", other, name)
}

func insertSettings(ctx context.Context, tx *sql.Tx, id int64, settings []trial.Setting) error {
	for i, s := range settings {
		if _, err := tx.ExecContext(ctx, "INSERT INTO setting (trial_id, path, value, place) VALUES (?, ?, ?, ?)", id, s.Path, s.Value, i); err != nil {
			return err
		}
	}
	return nil
}

// ChangeTrial lets change work on a trial's name, design, start, zone,
// settings and note, and keeps what it made of them. Series and events have
// calls of their own.
func (n *Notebook) ChangeTrial(ctx context.Context, id int64, change func(*trial.Trial) error) error {
	return n.write(ctx, func(tx *sql.Tx) error {
		head, err := headOf(ctx, tx, id)
		if err != nil {
			return err
		}
		t := head.Trial
		if err := change(&t); err != nil {
			return err
		}
		if err := checkTrial(ctx, tx, &t, id); err != nil {
			return err
		}
		design, err := designRow(ctx, tx, t.Revision)
		if err != nil {
			return err
		}
		if _, err := tx.ExecContext(ctx, "UPDATE trial SET name = ?, kind = ?, design_id = ?, design = ?, start = ?, zone = ?, note = ? WHERE id = ?",
			t.Name, t.Kind, design, t.Design, nullable(t.Start), t.Zone, t.Note, id); err != nil {
			return err
		}
		if _, err := tx.ExecContext(ctx, "DELETE FROM setting WHERE trial_id = ?", id); err != nil {
			return err
		}
		return insertSettings(ctx, tx, id, t.Settings)
	})
}

// Find returns the number of the trial that is called by a number or name.
func (n *Notebook) Find(ctx context.Context, called string) (int64, error) {
	called = strings.TrimSpace(called)
	var id int64
	err := n.db.QueryRowContext(ctx, "SELECT id FROM trial WHERE name = ? OR id = CAST(? AS INTEGER) AND CAST(CAST(? AS INTEGER) AS TEXT) = ?",
		called, called, called, called).Scan(&id)
	if errors.Is(err, sql.ErrNoRows) {
		return 0, problem(`the number or name of a trial; "meltspan trial list" lists them`, "there is no trial %q in %s", called, n.path)
	}
	return id, n.worded(err)
}

// Trial reads a trial with all its samples.
func (n *Notebook) Trial(ctx context.Context, id int64) (trial.Trial, error) {
	var t trial.Trial
	err := n.read(ctx, func(tx *sql.Tx) error {
		head, err := headOf(ctx, tx, id)
		if err != nil {
			return err
		}
		t = head.Trial
		for i := range t.Series {
			if t.Series[i].Samples, err = samplesOf(ctx, tx, head.Series[i].ID, 0); err != nil {
				return err
			}
		}
		return nil
	})
	return t, err
}

// Head reads a trial without its samples.
func (n *Notebook) Head(ctx context.Context, id int64) (Head, error) {
	var head Head
	err := n.read(ctx, func(tx *sql.Tx) (err error) {
		head, err = headOf(ctx, tx, id)
		return err
	})
	return head, err
}

// Trials reads all trials without their samples, by number.
func (n *Notebook) Trials(ctx context.Context) ([]Head, error) {
	var out []Head
	err := n.read(ctx, func(tx *sql.Tx) (err error) {
		out, err = headsOf(ctx, tx)
		return err
	})
	return out, err
}

func headsOf(ctx context.Context, tx *sql.Tx) ([]Head, error) {
	ids, err := column[int64](ctx, tx, "SELECT id FROM trial ORDER BY id")
	if err != nil {
		return nil, err
	}
	var out []Head
	for _, id := range ids {
		head, err := headOf(ctx, tx, id)
		if err != nil {
			return nil, err
		}
		out = append(out, head)
	}
	return out, nil
}

func mustExist(ctx context.Context, tx *sql.Tx, id int64) error {
	var found int64
	err := tx.QueryRowContext(ctx, "SELECT id FROM trial WHERE id = ?", id).Scan(&found)
	if errors.Is(err, sql.ErrNoRows) {
		return problem(`the number of a trial; "meltspan trial list" lists them`, "there is no trial %d", id)
	}
	return err
}

// nullable keeps what is not a number as NULL.
func nullable(x float64) any {
	if math.IsNaN(x) {
		return nil
	}
	return x
}

func orNaN(x sql.NullFloat64) float64 {
	if !x.Valid {
		return math.NaN()
	}
	return x.Float64
}
