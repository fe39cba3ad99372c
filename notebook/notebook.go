// Package notebook keeps designs, trials and results in one SQLite file.
//
// Several processes may have the same notebook open: a logger that writes and
// others that read. Every change is one transaction, and is on the disk when
// the call that made it returns. Times are Unix seconds for when something was
// kept, and seconds from the trial's start within a trial; all values are SI.
package notebook

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"time"

	"modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"
)

// Problem is a mistake that the user can mend: what is wrong, and what would
// be right.
type Problem struct{ What, Right string }

func (p *Problem) Error() string {
	if p.Right == "" {
		return p.What
	}
	return p.What + "; right: " + p.Right
}

func problem(right, format string, args ...any) error {
	return &Problem{fmt.Sprintf(format, args...), right}
}

// Notebook is an open notebook. Its methods may be called from several
// goroutines.
type Notebook struct {
	db   *sql.DB
	path string
	now  func() float64
}

// busyWait is how long a writer waits for another one.
const busyWait = 20 * time.Second

// Open opens the notebook of that file, and makes it when there is none. A
// file that is no notebook, or one of a later version of the program, gives a
// Problem and stays as it is.
func Open(ctx context.Context, path string) (*Notebook, error) {
	return open(ctx, path, true, safest)
}

// OpenExisting is Open for a notebook that must be there: when it is not, the
// error is fs.ErrNotExist.
func OpenExisting(ctx context.Context, path string) (*Notebook, error) {
	return open(ctx, path, false, safest)
}

// safest makes a commit wait until it has reached the disk.
const safest = "FULL"

func open(ctx context.Context, path string, create bool, synchronous string) (*Notebook, error) {
	if err := look(path, create); err != nil {
		return nil, err
	}
	name, err := source(path, synchronous)
	if err != nil {
		return nil, err
	}
	db, err := sql.Open("sqlite", name)
	if err != nil {
		return nil, fmt.Errorf("opening the notebook %s: %w", path, err)
	}
	n := &Notebook{db: db, path: path, now: unixNow}
	if err := n.prepare(ctx); err != nil {
		db.Close() // the first error is the one to tell
		return nil, n.worded(err)
	}
	return n, nil
}

// look catches what SQLite would word badly.
func look(path string, create bool) error {
	info, err := os.Stat(path)
	switch {
	case path == "":
		return problem("the name of a file, such as trials.notebook", "the name of the notebook is empty")
	case errors.Is(err, fs.ErrNotExist) && !create:
		return fmt.Errorf("there is no notebook %s: %w", path, fs.ErrNotExist)
	case errors.Is(err, fs.ErrNotExist):
		if folder := filepath.Dir(path); !isFolder(folder) {
			return problem("make the folder first", "there is no folder %q", folder)
		}
		return nil
	case err != nil:
		return fmt.Errorf("opening the notebook: %w", err)
	case info.IsDir():
		return problem("the name of a file, such as "+filepath.Join(path, "trials.notebook"), "%q is a folder", path)
	}
	return nil
}

func isFolder(path string) bool {
	info, err := os.Stat(path)
	return err == nil && info.IsDir()
}

// source is how SQLite is told of the file: as a URI, so that no character of
// the path is taken for an option.
func source(path, synchronous string) (string, error) {
	whole, err := filepath.Abs(path)
	if err != nil {
		return "", fmt.Errorf("opening the notebook: %w", err)
	}
	whole = filepath.ToSlash(whole)
	if !strings.HasPrefix(whole, "/") {
		whole = "/" + whole // a drive of Windows
	}
	options := url.Values{
		"_busy_timeout": {fmt.Sprint(busyWait.Milliseconds())},
		"_txlock":       {"immediate"}, // a writer waits at its start, never fails half-way
		"_pragma":       {"foreign_keys(1)", "synchronous(" + synchronous + ")"},
	}
	return (&url.URL{Scheme: "file", Path: whole, RawQuery: options.Encode()}).String(), nil
}

func unixNow() float64 { return float64(time.Now().UnixMilli()) / 1000 }

// Close closes the notebook.
func (n *Notebook) Close() error { return n.db.Close() }

// Path is the file it was opened by.
func (n *Notebook) Path() string { return n.path }

// write does the work of f in one transaction: all of it or nothing.
func (n *Notebook) write(ctx context.Context, f func(tx *sql.Tx) error) error {
	return n.within(ctx, nil, f)
}

// read lets f see one state of the notebook, whatever is written meanwhile.
func (n *Notebook) read(ctx context.Context, f func(tx *sql.Tx) error) error {
	return n.within(ctx, &sql.TxOptions{ReadOnly: true}, f)
}

func (n *Notebook) within(ctx context.Context, o *sql.TxOptions, f func(tx *sql.Tx) error) error {
	tx, err := n.db.BeginTx(ctx, o)
	if err != nil {
		return n.worded(err)
	}
	if err := f(tx); err != nil {
		tx.Rollback() // the first error is the one to tell
		return n.worded(err)
	}
	return n.worded(tx.Commit())
}

// worded turns what SQLite says into what a user can act upon.
func (n *Notebook) worded(err error) error {
	var known *sqlite.Error
	if !errors.As(err, &known) {
		return err
	}
	switch known.Code() & 0xff {
	case sqlite3.SQLITE_NOTADB:
		return problem("the name of a notebook, or of a new file", "%q is no notebook", n.path)
	case sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED:
		return fmt.Errorf("the notebook %s was kept locked by another program for more than %.0f s: %w", n.path, busyWait.Seconds(), err)
	case sqlite3.SQLITE_READONLY, sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_PERM:
		return fmt.Errorf("the notebook %s cannot be written to (its folder must be writable, too): %w", n.path, err)
	case sqlite3.SQLITE_INTERRUPT:
		return context.Canceled // nothing else interrupts
	case sqlite3.SQLITE_FULL:
		return fmt.Errorf("the disk of the notebook %s is full; nothing of this change was kept: %w", n.path, err)
	case sqlite3.SQLITE_CORRUPT:
		return fmt.Errorf("the file of the notebook %s is damaged; keep a copy of it with its -wal file, and go on from an export: %w", n.path, err)
	}
	return fmt.Errorf("notebook %s: %w", n.path, err)
}
