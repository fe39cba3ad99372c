package notebook

import (
	"bytes"
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"
	"os"
	"strconv"
	"strings"

	"meltspan/design"
	"meltspan/trial"
)

// Import reads a folder that Export wrote into this notebook, which must be
// empty: all of it or nothing. Mistakes in the files come back as a
// design.Problem with file, line and text.
func (n *Notebook) Import(ctx context.Context, folder string) error {
	// Nothing outside of the folder can be named: os.Root follows neither ..
	// nor a link that leads out.
	root, err := os.OpenRoot(folder)
	if err != nil {
		return problem("a folder written by meltspan notebook export", "cannot read the folder %q: %v", folder, plainly(err))
	}
	defer root.Close()
	r := &importer{ctx: ctx, root: root}
	return n.write(ctx, func(tx *sql.Tx) error {
		r.tx = tx
		var count int
		if err := tx.QueryRowContext(ctx, "SELECT (SELECT count(*) FROM design) + (SELECT count(*) FROM trial) + (SELECT count(*) FROM result)").Scan(&count); err != nil {
			return err
		}
		if count > 0 {
			return problem("the name of a new notebook, such as --notebook copy.notebook", "the notebook %q is not empty", n.path)
		}
		return r.all()
	})
}

type importer struct {
	ctx  context.Context
	tx   *sql.Tx
	root *os.Root
}

func (r *importer) all() error {
	var index folderIndex
	if err := r.json(indexFile, &index); err != nil {
		return err
	}
	if index.Format != folderFormat {
		return design.Problem{File: indexFile, What: fmt.Sprintf("the folder is of format %d", index.Format), Right: fmt.Sprintf("format %d, or a newer version of the program", folderFormat)}
	}
	for _, entry := range index.Designs {
		if err := r.design(entry); err != nil {
			return err
		}
	}
	for _, name := range index.Trials {
		if err := r.trial(name); err != nil {
			return err
		}
	}
	for _, name := range index.Results {
		var result Result
		if err := r.json(name, &result); err != nil {
			return err
		}
		if err := insertResult(r.ctx, r.tx, &result); err != nil {
			return inFile(name, err)
		}
	}
	for table, last := range map[string]int64{"trial": index.LastTrial, "result": index.LastResult} {
		if last <= 0 {
			continue
		}
		if err := raiseLast(r.ctx, r.tx, table, last); err != nil {
			return err
		}
	}
	return nil
}

func (r *importer) design(entry folderDesign) (err error) {
	d := entry.Design
	if d.Text, err = r.file(entry.Path); err != nil {
		return err
	}
	if entry.Log != "" {
		if d.LogText, err = r.file(entry.Log); err != nil {
			return err
		}
	}
	if d.content() != entry.SHA256 {
		return design.Problem{File: entry.Path, What: "the design was changed after it was exported: its hash is another", Right: "the file as exported; a changed design is kept with the next trial of it"}
	}
	return inFile(entry.Path, insertDesign(r.ctx, r.tx, &d))
}

func (r *importer) trial(name string) error {
	var f folderTrial
	if err := r.json(name, &f); err != nil {
		return err
	}
	t := trial.Trial{
		Name: f.Name, Kind: f.Kind, Design: f.Design, Revision: f.Revision, Start: orUnknown(f.Start), Zone: f.Zone, Note: f.Note,
		Settings: f.Settings, Events: f.Events,
	}
	for _, s := range f.Series {
		samples, err := r.series(s)
		if err != nil {
			return err
		}
		t.Series = append(t.Series, trial.Series{Quantity: s.Quantity, Place: s.Place, Source: s.Source, Uncertainty: s.Uncertainty, Emissivity: s.Emissivity, Samples: samples})
	}
	if f.Number < 1 {
		return design.Problem{File: name, What: fmt.Sprintf("a trial cannot have the number %d", f.Number), Right: "a number from 1 on"}
	}
	if err := insertTrial(r.ctx, r.tx, f.Number, &t, f.Created); err != nil {
		return inFile(name, err)
	}
	for _, a := range f.Attachments {
		data, err := r.file(a.Path)
		if err != nil {
			return err
		}
		if hashOf(data) != a.Hash {
			return design.Problem{File: a.Path, What: "the file was changed after it was exported: its hash is another", Right: "the file as exported"}
		}
		kept := Attachment{Name: a.Name, Hash: a.Hash, Bytes: a.Bytes, Time: orUnknown(a.Time), Note: a.Note, Added: a.Added}
		if err := insertAttachment(r.ctx, r.tx, f.Number, kept, data); err != nil {
			return inFile(name, err)
		}
	}
	return nil
}

// series reads the CSV of a series.
func (r *importer) series(s folderSeries) ([]trial.Sample, error) {
	data, err := r.file(s.Path)
	if err != nil {
		return nil, err
	}
	head, rest, _ := strings.Cut(strings.ReplaceAll(string(data), "\r\n", "\n"), "\n")
	wrong := func(line, column int, right, format string, args ...any) error {
		lines := strings.Split(string(data), "\n")
		return design.Problem{File: s.Path, Line: line, Column: column, Excerpt: design.Excerpt(lines, line, column), What: fmt.Sprintf(format, args...), Right: right}
	}
	if head != seriesHead(s.Quantity) {
		return nil, wrong(1, 1, seriesHead(s.Quantity), "the first line of a series of %s is %q", s.Quantity, head)
	}
	samples := make([]trial.Sample, 0, s.Samples)
	for number, line := 2, ""; rest != ""; number++ {
		line, rest, _ = strings.Cut(rest, "\n")
		time, after, ok := strings.Cut(line, ",")
		value, mark, ok2 := strings.Cut(after, ",")
		if !ok || !ok2 {
			return nil, wrong(number, 1, "time, value and mark, parted by commas", "this line has no three cells")
		}
		sample := trial.Sample{Mark: trial.Mark(mark), Value: math.NaN()}
		if sample.Time, err = strconv.ParseFloat(time, 64); err != nil || math.IsNaN(sample.Time) || math.IsInf(sample.Time, 0) {
			return nil, wrong(number, 1, "seconds from the trial's start", "%q is no time", time)
		}
		if value != "" {
			if sample.Value, err = strconv.ParseFloat(value, 64); err != nil {
				return nil, wrong(number, len(time)+2, "a number, or nothing when it is missing", "%q is no value", value)
			}
		}
		if !knownMark(sample.Mark) {
			return nil, wrong(number, len(time)+len(value)+3, "nothing, or one of "+markNames(), "there is no mark %q", mark)
		}
		samples = append(samples, sample)
	}
	return samples, nil
}

func knownMark(mark trial.Mark) bool {
	for _, m := range marks {
		if m == mark {
			return true
		}
	}
	return false
}

func markNames() string {
	var names []string
	for _, m := range marks {
		if m != trial.Good {
			names = append(names, string(m))
		}
	}
	return strings.Join(names, ", ")
}

func (r *importer) file(name string) ([]byte, error) {
	f, err := r.root.Open(name)
	if err != nil {
		what := fmt.Sprintf("the folder lacks the file %q", name)
		if !errors.Is(err, fs.ErrNotExist) {
			what = fmt.Sprintf("cannot read %q in the folder: %v", name, plainly(err))
		}
		return nil, design.Problem{File: indexFile, What: what, Right: "a folder written by meltspan notebook export, as a whole"}
	}
	defer f.Close()
	if info, err := f.Stat(); err != nil || !info.Mode().IsRegular() {
		return nil, design.Problem{File: name, What: "this is no file", Right: "a folder written by meltspan notebook export"}
	}
	data, err := io.ReadAll(f)
	if err != nil {
		return nil, fmt.Errorf("reading %s: %w", name, plainly(err))
	}
	return data, nil
}

// json reads a JSON file. Unknown keys are mistakes: they would be lost.
func (r *importer) json(name string, to any) error {
	data, err := r.file(name)
	if err != nil {
		return err
	}
	d := json.NewDecoder(bytes.NewReader(data))
	d.DisallowUnknownFields()
	err = d.Decode(to)
	if err == nil && d.More() {
		err = errors.New("something follows the end")
	}
	if err == nil {
		return nil
	}
	line := 1 + bytes.Count(data[:min(int(d.InputOffset()), len(data))], []byte("\n"))
	var syntax *json.SyntaxError
	if errors.As(err, &syntax) {
		line = 1 + bytes.Count(data[:min(int(syntax.Offset), len(data))], []byte("\n"))
	}
	lines := strings.Split(string(data), "\n")
	return design.Problem{File: name, Line: line, Column: 1, Excerpt: design.Excerpt(lines, line, 1),
		What: "this is not as it was exported: " + strings.TrimPrefix(err.Error(), "json: "), Right: "JSON with the keys of the export"}
}

// inFile says in which file what is wrong.
func inFile(name string, err error) error {
	var p *Problem
	if errors.As(err, &p) {
		return design.Problem{File: name, What: p.What, Right: p.Right}
	}
	return err
}
