package notebook

import (
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"errors"
	"fmt"

	"meltspan/design"
)

// Design is a design as it was written.
type Design struct {
	Revision string  `json:"revision"`
	Name     string  `json:"name"` // as it states
	File     string  `json:"file"` // the name of its file
	Text     []byte  `json:"-"`
	LogFile  string  `json:"log_file,omitempty"` // the room log that it names
	LogText  []byte  `json:"-"`
	Saved    float64 `json:"saved_unix_s"`
}

// Parse reads the design anew.
func (d *Design) Parse() (*design.Design, error) {
	return design.Parse(d.File, d.Text, func(string) ([]byte, error) { return d.LogText, nil })
}

// content is the hash of what the user wrote.
func (d *Design) content() string {
	h := sha256.New()
	for _, part := range [][]byte{[]byte(d.File), d.Text, []byte(d.LogFile), d.LogText} {
		fmt.Fprintf(h, "%d\n", len(part))
		h.Write(part)
	}
	return hex.EncodeToString(h.Sum(nil))
}

// SaveDesign keeps a design as it is written in text, with the room log that
// it may name, which open reads. A text that is there already is not kept
// twice. The error is design.Problems when the text holds mistakes.
func (n *Notebook) SaveDesign(ctx context.Context, file string, text []byte, open func(path string) ([]byte, error)) (Design, error) {
	kept := Design{File: file, Text: text, Saved: n.now()}
	var beside func(string) ([]byte, error)
	if open != nil {
		beside = func(path string) ([]byte, error) {
			log, err := open(path)
			kept.LogFile, kept.LogText = path, log
			return log, err
		}
	}
	d, err := design.Parse(file, text, beside)
	if err != nil {
		return Design{}, err
	}
	kept.Revision, kept.Name = d.Revision(), d.Name
	err = n.write(ctx, func(tx *sql.Tx) error {
		err := tx.QueryRowContext(ctx, "SELECT revision, saved FROM design WHERE content = ?", kept.content()).Scan(&kept.Revision, &kept.Saved)
		if !errors.Is(err, sql.ErrNoRows) {
			return err
		}
		return insertDesign(ctx, tx, &kept)
	})
	return kept, err
}

func insertDesign(ctx context.Context, tx *sql.Tx, d *Design) error {
	if err := plainText(d.Revision, d.Name, d.File, d.LogFile); err != nil {
		return err
	}
	_, err := tx.ExecContext(ctx, "INSERT INTO design (revision, content, name, file, text, log_file, log_text, saved) VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
		d.Revision, d.content(), d.Name, d.File, notNil(d.Text), d.LogFile, notNil(d.LogText), d.Saved)
	return err
}

func notNil(b []byte) []byte {
	if b == nil {
		return []byte{}
	}
	return b
}

// designRow finds the newest text of a revision; nil for none.
func designRow(ctx context.Context, tx *sql.Tx, revision string) (any, error) {
	if revision == "" {
		return nil, nil
	}
	var id int64
	err := tx.QueryRowContext(ctx, "SELECT id FROM design WHERE revision = ? ORDER BY id DESC LIMIT 1", revision).Scan(&id)
	if errors.Is(err, sql.ErrNoRows) {
		return nil, problem("keep the design first", "there is no design of revision %s in the notebook", revision)
	}
	return id, err
}

const designColumns = "SELECT revision, name, file, text, log_file, log_text, saved FROM design "

func scanDesign(scan func(...any) error) (Design, error) {
	var d Design
	err := scan(&d.Revision, &d.Name, &d.File, &d.Text, &d.LogFile, &d.LogText, &d.Saved)
	return d, err
}

// Design reads the newest text of a revision.
func (n *Notebook) Design(ctx context.Context, revision string) (Design, error) {
	d, err := scanDesign(n.db.QueryRowContext(ctx, designColumns+"WHERE revision = ? ORDER BY id DESC LIMIT 1", revision).Scan)
	if errors.Is(err, sql.ErrNoRows) {
		return d, problem("the revision of a design that was kept with a trial", "there is no design of revision %s in %s", revision, n.path)
	}
	return d, n.worded(err)
}

// Designs reads all designs in the order in which they were kept.
func (n *Notebook) Designs(ctx context.Context) ([]Design, error) {
	var out []Design
	err := n.read(ctx, func(tx *sql.Tx) (err error) {
		out, err = designsOf(ctx, tx)
		return err
	})
	return out, err
}

func designsOf(ctx context.Context, tx *sql.Tx) ([]Design, error) {
	var out []Design
	err := each(ctx, tx, designColumns+"ORDER BY id", func(scan func(...any) error) error {
		d, err := scanDesign(scan)
		out = append(out, d)
		return err
	})
	return out, err
}
