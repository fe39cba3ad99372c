package notebook

import (
	"bytes"
	"context"
	"database/sql"
	"errors"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"github.com/google/go-cmp/cmp"

	"meltspan/trial"
)

func TestFilesThatAreNoNotebook(t *testing.T) {
	t.Parallel()
	ctx, folder := t.Context(), t.TempDir()
	prose := filepath.Join(folder, "prose")
	text := []byte(strings.Repeat("This is no database at all. ", 100))
	if err := os.WriteFile(prose, text, 0o644); err != nil {
		t.Fatal(err)
	}
	other := filepath.Join(folder, "other")
	db, err := sql.Open("sqlite", other)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := db.Exec("CREATE TABLE theirs (x)"); err != nil {
		t.Fatal(err)
	}
	db.Close()
	for path, want := range map[string]string{
		prose:                               "is no notebook",
		other:                               "database of another program",
		folder:                              "is a folder",
		"":                                  "is empty",
		filepath.Join(folder, "no", "such"): "there is no folder",
	} {
		before, _ := os.ReadFile(path)
		var p *Problem
		if _, err := Open(ctx, path); !errors.As(err, &p) || !strings.Contains(p.What, want) {
			t.Errorf("%q: %v, want %q", path, err, want)
		}
		if after, _ := os.ReadFile(path); !bytes.Equal(before, after) {
			t.Errorf("%q was changed", path)
		}
	}
	missing := filepath.Join(folder, "missing")
	if _, err := OpenExisting(ctx, missing); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("missing: %v", err)
	}
	if _, err := os.Stat(missing); err == nil {
		t.Error("it was made nevertheless")
	}
}

func TestLaterFormatIsRefused(t *testing.T) {
	t.Parallel()
	ctx, n := t.Context(), fresh(t)
	if _, err := n.db.ExecContext(ctx, "PRAGMA user_version = 99"); err != nil {
		t.Fatal(err)
	}
	var p *Problem
	if _, err := Open(ctx, n.path); !errors.As(err, &p) || !strings.Contains(p.What, "newer version") {
		t.Errorf("%v", err)
	}
}

// A notebook that has been through the first steps only goes through the
// rest, and keeps what it has.
func TestMigrationGoesOnWhereItStopped(t *testing.T) {
	t.Parallel()
	ctx, n := t.Context(), fresh(t)
	id := must[int64](t)(n.CreateTrial(ctx, full("")))
	steps, err := steps()
	if err != nil {
		t.Fatal(err)
	}
	broken := append(steps, "CREATE TABLE more (x) STRICT; nonsense")
	if err := n.write(ctx, func(tx *sql.Tx) error { return migrate(ctx, tx, broken, len(steps)) }); err == nil {
		t.Error("a wrong step went through")
	}
	for _, more := range []string{"CREATE TABLE more (x TEXT) STRICT", "ALTER TABLE more ADD COLUMN y TEXT"} {
		version := len(steps)
		steps = append(steps, more)
		if err := n.write(ctx, func(tx *sql.Tx) error { return migrate(ctx, tx, steps, version) }); err != nil {
			t.Fatal(err)
		}
	}
	var version int
	if err := n.db.QueryRowContext(ctx, "PRAGMA user_version").Scan(&version); err != nil || version != len(steps) {
		t.Errorf("version %d after %d steps, %v", version, len(steps), err)
	}
	if diff := cmp.Diff(full(""), must[trial.Trial](t)(n.Trial(ctx, id)), equal); diff != "" {
		t.Error(diff)
	}
}

func TestManyMayOpenANewNotebookAtOnce(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "odd ?#%41 name.notebook")
	var wait sync.WaitGroup
	for range 8 {
		wait.Go(func() {
			n, err := Open(t.Context(), path)
			if err != nil {
				t.Error(err)
				return
			}
			defer n.Close()
			if _, err := n.CreateTrial(t.Context(), trial.Trial{Kind: trial.Run, Start: math.NaN()}); err != nil {
				t.Error(err)
			}
		})
	}
	wait.Wait()
	if trials := must[[]Head](t)(opened(t, path).Trials(t.Context())); len(trials) != 8 {
		t.Errorf("%d trials of 8", len(trials))
	}
	if _, err := os.Stat(path); err != nil {
		t.Error(err)
	}
}

func TestCancelledWorkIsNotKept(t *testing.T) {
	t.Parallel()
	n := fresh(t)
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := n.CreateTrial(ctx, full("")); !errors.Is(err, context.Canceled) {
		t.Errorf("%v", err)
	}
	if trials := must[[]Head](t)(n.Trials(t.Context())); len(trials) != 0 {
		t.Error("it was kept")
	}
}
