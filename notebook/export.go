package notebook

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"os"
	"path"
	"path/filepath"
	"strconv"

	"meltspan/trial"
)

// Export writes the whole notebook, as it is at one moment, into a folder
// that must not exist yet (or be empty). The folder appears when it is
// complete, or not at all.
func (n *Notebook) Export(ctx context.Context, folder string) error {
	if entries, err := os.ReadDir(folder); err == nil && len(entries) > 0 {
		return problem("the name of a new folder", "the folder %q is not empty", folder)
	} else if err != nil && !errors.Is(err, os.ErrNotExist) {
		return problem("the name of a new folder", "%q cannot be a folder for the export: %v", folder, plainly(err))
	}
	folder = filepath.Clean(folder)
	beside, err := os.MkdirTemp(filepath.Dir(folder), "."+filepath.Base(folder)+".part-*")
	if err != nil {
		return fmt.Errorf("cannot export into %s: %w", folder, plainly(err))
	}
	defer os.RemoveAll(beside) // what is left after an error
	w := &exporter{ctx: ctx, folder: beside}
	if err := n.read(ctx, w.all); err != nil {
		return err
	}
	if err := os.Chmod(beside, 0o755); err != nil {
		return err
	}
	os.Remove(folder) // an empty one; any other makes the renaming fail
	if err := os.Rename(beside, folder); err != nil {
		return fmt.Errorf("cannot export into %s: %w", folder, plainly(err))
	}
	return nil
}

// plainly is what the operating system says, without the temporary name.
func plainly(err error) error {
	var path *os.PathError
	var link *os.LinkError
	switch {
	case errors.As(err, &path):
		return path.Err
	case errors.As(err, &link):
		return link.Err
	}
	return err
}

type exporter struct {
	ctx    context.Context
	tx     *sql.Tx
	folder string
}

func (w *exporter) all(tx *sql.Tx) error {
	w.tx = tx
	index := folderIndex{Format: folderFormat, Designs: []folderDesign{}, Trials: []string{}, Results: []string{}}
	designs, err := designsOf(w.ctx, tx)
	if err != nil {
		return err
	}
	for i, d := range designs {
		entry, err := w.design(i+1, d)
		if err != nil {
			return err
		}
		index.Designs = append(index.Designs, entry)
	}
	heads, err := headsOf(w.ctx, tx)
	if err != nil {
		return err
	}
	for _, h := range heads {
		name := fmt.Sprintf("trials/%04d/trial.json", h.ID)
		if err := w.trial(h, path.Dir(name)); err != nil {
			return err
		}
		index.Trials = append(index.Trials, name)
	}
	results, err := resultsOf(w.ctx, tx, allOfResult, "", 0)
	if err != nil {
		return err
	}
	for _, r := range results {
		name := fmt.Sprintf("results/%04d.json", r.ID)
		if err := w.json(name, r); err != nil {
			return err
		}
		index.Results = append(index.Results, name)
	}
	if index.LastTrial, err = lastNumber(w.ctx, tx, "trial"); err != nil {
		return err
	}
	if index.LastResult, err = lastNumber(w.ctx, tx, "result"); err != nil {
		return err
	}
	return w.json(indexFile, index)
}

func (w *exporter) design(number int, d Design) (folderDesign, error) {
	entry := folderDesign{Design: d, SHA256: d.content(), Path: fmt.Sprintf("designs/%04d-%s.yaml", number, safeName(d.Revision))}
	if err := w.file(entry.Path, d.Text); err != nil {
		return entry, err
	}
	if d.LogFile == "" {
		return entry, nil
	}
	entry.Log = fmt.Sprintf("designs/%04d-%s-room.csv", number, safeName(d.Revision))
	return entry, w.file(entry.Log, d.LogText)
}

func (w *exporter) trial(h Head, folder string) error {
	t := h.Trial
	out := folderTrial{
		Number: h.ID, Name: t.Name, Kind: t.Kind, Design: t.Design, Revision: t.Revision, Start: known(t.Start), Zone: t.Zone, Created: h.Created, Note: t.Note,
		Settings: append([]trial.Setting{}, t.Settings...), Events: append([]trial.Event{}, t.Events...),
		Series: []folderSeries{}, Attachments: []folderAttachment{},
	}
	for i, s := range t.Series {
		name := fmt.Sprintf("%s/series-%02d.csv", folder, i+1)
		samples, err := samplesOf(w.ctx, w.tx, h.Series[i].ID, 0)
		if err != nil {
			return err
		}
		if err := w.file(name, seriesCSV(s.Quantity, samples)); err != nil {
			return err
		}
		out.Series = append(out.Series, folderSeries{s.Quantity, s.Place, s.Source, s.Uncertainty, s.Emissivity, len(samples), name})
	}
	attached, err := attachmentsOf(w.ctx, w.tx, h.ID)
	if err != nil {
		return err
	}
	for i, a := range attached {
		name := fmt.Sprintf("%s/files/%02d-%s", folder, i+1, safeName(a.Name))
		data, err := contentOf(w.ctx, w.tx, a.Hash)
		if err != nil {
			return err
		}
		if err := w.file(name, data); err != nil {
			return err
		}
		out.Attachments = append(out.Attachments, folderAttachment{a.Name, a.Hash, a.Bytes, known(a.Time), a.Note, a.Added, name})
	}
	return w.json(folder+"/trial.json", out)
}

// seriesCSV writes samples so that they read back to the last bit; a value
// that is missing is empty.
func seriesCSV(q trial.Quantity, samples []trial.Sample) []byte {
	out := append(make([]byte, 0, 32*len(samples)), seriesHead(q)+"\n"...)
	for _, s := range samples {
		out = strconv.AppendFloat(out, s.Time, 'g', -1, 64)
		out = append(out, ',')
		if s.Value == s.Value {
			out = strconv.AppendFloat(out, s.Value, 'g', -1, 64)
		}
		out = append(append(append(out, ','), s.Mark...), '\n')
	}
	return out
}

func (w *exporter) json(name string, v any) error {
	data, err := toJSON(v)
	if err != nil {
		return err
	}
	return w.file(name, data)
}

func (w *exporter) file(name string, data []byte) error {
	whole := filepath.Join(w.folder, filepath.FromSlash(name))
	if err := os.MkdirAll(filepath.Dir(whole), 0o755); err != nil {
		return err
	}
	return os.WriteFile(whole, data, 0o644)
}
