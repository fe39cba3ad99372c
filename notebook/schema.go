package notebook

import (
	"context"
	"database/sql"
	"embed"
	"fmt"
	"io/fs"
	"time"
)

// applicationID marks the file as one of ours in the header of SQLite
// ("Database File Format", section 1.3.16): the letters Mspn.
const applicationID = 0x4d73706e

//go:embed schema/*.sql
var schemaFiles embed.FS

// steps are the migrations, in order. The version of a notebook is how many of
// them it has been through; SQLite keeps it in its header (user_version), so
// that it changes in the same transaction as the tables do.
func steps() ([]string, error) {
	names, err := fs.Glob(schemaFiles, "schema/*.sql") // sorted
	if err != nil {
		return nil, err
	}
	var out []string
	for _, name := range names {
		text, err := schemaFiles.ReadFile(name)
		if err != nil {
			return nil, err
		}
		out = append(out, string(text))
	}
	return out, nil
}

// prepare brings a notebook to the present version.
func (n *Notebook) prepare(ctx context.Context) error {
	steps, err := steps()
	if err != nil {
		return err
	}
	current := false
	if err := n.within(ctx, &sql.TxOptions{ReadOnly: true}, func(tx *sql.Tx) error {
		version, err := n.version(ctx, tx, len(steps))
		current = version == len(steps)
		return err
	}); err != nil || current {
		return err
	}
	if err := n.journal(ctx); err != nil {
		return err
	}
	return n.write(ctx, func(tx *sql.Tx) error {
		version, err := n.version(ctx, tx, len(steps)) // another process may have been quicker
		if err != nil {
			return err
		}
		return migrate(ctx, tx, steps, version)
	})
}

// migrate goes through the steps from a version on.
func migrate(ctx context.Context, tx *sql.Tx, steps []string, version int) error {
	for _, step := range steps[version:] {
		if _, err := tx.ExecContext(ctx, step); err != nil {
			return err
		}
	}
	_, err := tx.ExecContext(ctx, fmt.Sprintf("PRAGMA application_id = %d; PRAGMA user_version = %d", applicationID, len(steps)))
	return err
}

// version reads how many steps a file has been through, and refuses what is
// no notebook or one of a later program.
func (n *Notebook) version(ctx context.Context, tx *sql.Tx, latest int) (int, error) {
	var id, version, tables int
	if err := tx.QueryRowContext(ctx, `SELECT (SELECT application_id FROM pragma_application_id),
		(SELECT user_version FROM pragma_user_version), (SELECT count(*) FROM sqlite_schema)`).Scan(&id, &version, &tables); err != nil {
		return 0, err
	}
	switch {
	case id != applicationID && (id != 0 || version != 0 || tables != 0):
		return 0, problem("the name of a notebook, or of a new file", "%q is a database of another program, no notebook", n.path)
	case version > latest:
		return 0, problem("a newer version of the program", "the notebook %q was written by a newer version of the program (format %d; this one knows formats up to %d)", n.path, version, latest)
	}
	return version, nil
}

// journal turns on the write-ahead log, which lets others read while one
// writes. The file remembers it. SQLite does not wait for a lock here by
// itself (sqlite.org/pragma.html, journal_mode).
func (n *Notebook) journal(ctx context.Context) error {
	for deadline := time.Now().Add(busyWait); ; {
		_, err := n.db.ExecContext(ctx, "PRAGMA journal_mode = WAL")
		if err == nil || time.Now().After(deadline) {
			return err
		}
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-time.After(5 * time.Millisecond):
		}
	}
}
