package notebook

import (
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"errors"

	"meltspan/internal/textpage"
)

// Attachment is a file kept with a trial: a photo, a note, a raw log.
type Attachment struct {
	Name  string  `json:"name"`
	Hash  string  `json:"sha256"`
	Bytes int64   `json:"bytes"`
	Time  float64 `json:"time_s"` // from the trial's start; NaN: not stated
	Note  string  `json:"note,omitempty"`
	Added float64 `json:"added_unix_s"`
}

// MostAttached bounds one attachment: SQLite holds no more than 1 GB in one
// value, and a notebook should stay easy to copy.
const MostAttached = 256 << 20

// File is an attachment with what is in it.
type File struct {
	Attachment
	Data []byte
}

// Attach keeps a file with a trial, under its name, with the moment it
// belongs to and a note. The same content is stored once, however often it is
// attached.
func (n *Notebook) Attach(ctx context.Context, trialID int64, a Attachment, data []byte) (Attachment, error) {
	f := []File{{a, data}}
	err := n.write(ctx, func(tx *sql.Tx) error { return n.attachAll(ctx, tx, trialID, f) })
	return f[0].Attachment, err
}

// attachAll attaches files, and completes what is said of them.
func (n *Notebook) attachAll(ctx context.Context, tx *sql.Tx, trialID int64, files []File) error {
	for i := range files {
		f := &files[i]
		f.Hash, f.Bytes, f.Added = hashOf(f.Data), int64(len(f.Data)), n.now()
		if err := checkFile(f); err != nil {
			return err
		}
		if err := mustExist(ctx, tx, trialID); err != nil {
			return err
		}
		var hash string
		err := tx.QueryRowContext(ctx, "SELECT hash FROM attachment WHERE trial_id = ? AND name = ?", trialID, f.Name).Scan(&hash)
		switch {
		case err == nil:
			return problem("another name", "trial %d has an attachment called %q already", trialID, f.Name)
		case !errors.Is(err, sql.ErrNoRows):
			return err
		}
		if err := insertAttachment(ctx, tx, trialID, f.Attachment, f.Data); err != nil {
			return err
		}
	}
	return nil
}

func checkFile(f *File) error {
	if len(f.Data) > MostAttached {
		return problem("a smaller file, or a note of where it lies", "%q has %d MB; an attachment may have %d MB", f.Name, len(f.Data)>>20, MostAttached>>20)
	}
	if f.Name == "" || textpage.Plain(f.Name) != f.Name {
		return problem("a name of printable characters", "an attachment cannot be called %q", f.Name)
	}
	return nil
}

func hashOf(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}

func insertAttachment(ctx context.Context, tx *sql.Tx, trialID int64, a Attachment, data []byte) error {
	if err := plainText(a.Name, a.Note); err != nil {
		return err
	}
	if _, err := tx.ExecContext(ctx, "INSERT INTO content (hash, data) VALUES (?, ?) ON CONFLICT DO NOTHING", a.Hash, notNil(data)); err != nil {
		return err
	}
	_, err := tx.ExecContext(ctx, "INSERT INTO attachment (trial_id, name, hash, time, note, added) VALUES (?, ?, ?, ?, ?, ?)",
		trialID, a.Name, a.Hash, nullable(a.Time), a.Note, a.Added)
	return err
}

// Attachments lists what is attached to a trial.
func (n *Notebook) Attachments(ctx context.Context, trialID int64) ([]Attachment, error) {
	var out []Attachment
	err := n.read(ctx, func(tx *sql.Tx) (err error) {
		out, err = attachmentsOf(ctx, tx, trialID)
		return err
	})
	return out, err
}

func attachmentsOf(ctx context.Context, tx *sql.Tx, trialID int64) ([]Attachment, error) {
	var out []Attachment
	err := each(ctx, tx, `SELECT a.name, a.hash, length(c.data), a.time, a.note, a.added
		FROM attachment a JOIN content c ON c.hash = a.hash WHERE a.trial_id = ? ORDER BY a.id`, func(scan func(...any) error) error {
		var a Attachment
		var at sql.NullFloat64
		err := scan(&a.Name, &a.Hash, &a.Bytes, &at, &a.Note, &a.Added)
		a.Time = orNaN(at)
		out = append(out, a)
		return err
	}, trialID)
	return out, err
}

// Content reads an attachment by its hash, and makes sure that it is what was
// kept.
func (n *Notebook) Content(ctx context.Context, hash string) ([]byte, error) {
	var data []byte
	err := n.read(ctx, func(tx *sql.Tx) (err error) {
		data, err = contentOf(ctx, tx, hash)
		return err
	})
	return data, err
}

func contentOf(ctx context.Context, tx *sql.Tx, hash string) ([]byte, error) {
	var data []byte
	err := tx.QueryRowContext(ctx, "SELECT data FROM content WHERE hash = ?", hash).Scan(&data)
	switch {
	case errors.Is(err, sql.ErrNoRows):
		return nil, problem("the hash of an attachment", "there is no content %s in the notebook", hash)
	case err == nil && hashOf(data) != hash:
		return nil, errors.New("the content " + hash + " is not what was attached: the notebook is damaged")
	}
	return data, err
}
