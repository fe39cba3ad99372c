package notebook

import (
	"database/sql"
	"errors"
	"math"
	"path/filepath"
	"strings"
	"testing"

	"meltspan/trial"
)

// rows counts what the tables hold.
func rows(t *testing.T, n *Notebook) map[string]int {
	t.Helper()
	out := map[string]int{}
	for _, table := range []string{"trial", "setting", "series", "block", "event", "attachment", "content", "result", "result_trial"} {
		var count int
		if err := n.db.QueryRowContext(t.Context(), "SELECT count(*) FROM "+table).Scan(&count); err != nil {
			t.Fatal(err)
		}
		out[table] = count
	}
	return out
}

// A trial goes with all that belongs to it and to nothing else; where results rest
// on it, only when that is wanted.
func TestATrialIsTakenOutWhole(t *testing.T) {
	t.Parallel()
	ctx, n := t.Context(), fresh(t)
	stays := must[int64](t)(n.CreateTrial(ctx, full("")))
	must[Attachment](t)(n.Attach(ctx, stays, Attachment{Name: "a.jpg", Time: math.NaN()}, []byte("shared")))
	rest := must[int64](t)(n.Keep(ctx, Result{Kind: Calibration, Trials: []int64{stays}}))
	before := rows(t, n)

	wrong := full("")
	wrong.Name = "wrong log"
	goes := must[int64](t)(n.CreateTrial(ctx, wrong))
	must[Attachment](t)(n.Attach(ctx, goes, Attachment{Name: "a.jpg", Time: math.NaN()}, []byte("shared")))
	must[Attachment](t)(n.Attach(ctx, goes, Attachment{Name: "b.jpg", Time: math.NaN()}, []byte("its own")))
	both := must[int64](t)(n.Keep(ctx, Result{Kind: TrialComparison, Trials: []int64{stays, goes}}))

	whole := rows(t, n)
	var p *Problem
	if _, err := n.RemoveTrial(ctx, goes, Removal.Alone); !errors.As(err, &p) || !strings.Contains(p.What, "result 2 rests on trial 2, wrong log") {
		t.Errorf("%v", err)
	}
	for table, count := range rows(t, n) {
		if count != whole[table] {
			t.Errorf("%d rows of %s, before %d", count, table, whole[table])
		}
	}
	what := must[Removal](t)(n.WithTrial(ctx, goes))
	gone := must[Removal](t)(n.RemoveTrial(ctx, goes, nil))
	for _, r := range []Removal{what, gone} {
		if len(r.Trials) != 1 || r.Trials[0].ID != goes || len(r.Results) != 1 || r.Results[0].ID != both {
			t.Errorf("%+v", r)
		}
	}
	for table, count := range rows(t, n) {
		if count != before[table] {
			t.Errorf("%d rows of %s are left, want %d", count, table, before[table])
		}
	}
	if _, err := n.RemoveTrial(ctx, goes, nil); !errors.As(err, &p) {
		t.Errorf("taken out twice: %v", err)
	}
	if r := must[Result](t)(n.Result(ctx, rest)); len(r.Trials) != 1 {
		t.Errorf("%+v", r)
	}
}

// A number that was given is never given again, nor after an export and an import.
func TestNumbersAreNotGivenTwice(t *testing.T) {
	t.Parallel()
	ctx, n := t.Context(), fresh(t)
	plain := trial.Trial{Kind: trial.Run, Start: math.NaN()}
	first := must[int64](t)(n.CreateTrial(ctx, plain))
	second := must[int64](t)(n.CreateTrial(ctx, plain))
	kept := must[int64](t)(n.Keep(ctx, Result{Kind: Prediction}))
	must[Removal](t)(n.RemoveTrial(ctx, second, Removal.Alone))
	if err := n.RemoveResults(ctx, []Result{{ID: kept}, {ID: kept + 1}}); err == nil {
		t.Error("a result that is not there was taken out")
	}
	must[Result](t)(n.Result(ctx, kept)) // all or none
	if err := n.RemoveResults(ctx, []Result{{ID: kept}}); err != nil {
		t.Fatal(err)
	}
	out := filepath.Join(t.TempDir(), "out")
	if err := n.Export(ctx, out); err != nil {
		t.Fatal(err)
	}
	other := fresh(t)
	if err := other.Import(ctx, out); err != nil {
		t.Fatal(err)
	}
	for _, n := range []*Notebook{n, other} {
		if id := must[int64](t)(n.CreateTrial(ctx, plain)); id != second+1 {
			t.Errorf("trial %d after %d", id, second)
		}
		if id := must[int64](t)(n.Keep(ctx, Result{Kind: Prediction})); id != kept+1 {
			t.Errorf("result %d after %d", id, kept)
		}
		must[trial.Trial](t)(n.Trial(ctx, first))
	}
}

// A notebook of the first format is brought to this one, and keeps what it has.
func TestANotebookOfTheFirstFormatIsBroughtOn(t *testing.T) {
	t.Parallel()
	ctx, n := t.Context(), fresh(t)
	id := must[int64](t)(n.CreateTrial(ctx, full("")))
	if err := n.write(ctx, func(tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, "DROP TABLE last_number; PRAGMA user_version = 1")
		return err
	}); err != nil {
		t.Fatal(err)
	}
	again := must[*Notebook](t)(Open(ctx, n.path))
	defer again.Close()
	must[trial.Trial](t)(again.Trial(ctx, id))
	must[Removal](t)(again.RemoveTrial(ctx, id, Removal.Alone))
}
