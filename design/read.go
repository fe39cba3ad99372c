package design

import (
	"fmt"
	"io"
	"io/fs"
	"path"
	"strings"

	"meltspan/internal/plainyaml"
)

// Read reads, completes and checks the design file of that name. A room log
// that the design names is read from the same folder. Mistakes in the file
// come back as Problems; a file that cannot be opened as the error of fsys.
func Read(fsys fs.FS, name string) (*Design, error) {
	text, err := readAtMost(fsys, name, int64(written.Bytes)+1)
	if err != nil {
		return nil, fmt.Errorf("cannot read the design: %w", err)
	}
	return Parse(name, text, func(beside string) ([]byte, error) {
		return readAtMost(fsys, path.Join(path.Dir(name), beside), maxLogBytes+1)
	})
}

func readAtMost(fsys fs.FS, name string, most int64) ([]byte, error) {
	f, err := fsys.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(io.LimitReader(f, most))
}

// written is how a design is written. A full one has some 200 lines and 4
// levels; the limits leave ample room.
var written = plainyaml.Kind{
	One: "a design", Many: "designs",
	Shape: `lines such as "name: bench engine", and sections indented under their key`,
	Begin: `a design; "meltspan starter" writes one to begin with`,
	Bytes: 1 << 20, Tokens: 20000, Depth: 16,
}

// Parse reads a design from text, fills in what it leaves out and checks that
// it can be. name is used in messages only. open reads the room log beside
// the design; with nil, a design that names a log is refused. The error, if
// any, is of type Problems and holds every mistake found.
func Parse(name string, text []byte, open func(path string) ([]byte, error)) (*Design, error) {
	r, text := newReader(name, text)
	d := r.read(text, open)
	if len(r.problems) > 0 {
		r.finish()
		return nil, r.problems
	}
	return d, nil
}

// newReader prepares to read a text, and gives it without byte order mark and
// with ends of lines as we write them.
func newReader(name string, text []byte) (*reader, []byte) {
	text = plainyaml.Clean(text)
	r := &reader{file: name, places: map[string]place{}}
	if len(text) <= written.Bytes {
		r.lines = strings.Split(string(text), "\n")
	}
	return r, text
}

// read goes stage by stage, and no further than the first stage with
// mistakes: a later one would complain about their consequences.
func (r *reader) read(text []byte, open func(path string) ([]byte, error)) *Design {
	root, faults := written.Parse(text)
	r.take(faults)
	if root == nil {
		return nil
	}
	d := &Design{}
	r.design(root, d)
	r.materials(d)
	if len(r.problems) > 0 {
		return nil
	}
	if d.Room.Log != "" {
		r.roomLog(d, open)
	}
	if len(r.problems) > 0 {
		return nil
	}
	d.complete()
	for _, p := range d.Check() {
		r.report(r.nearestPlace(p.Key), p.Key, p.What, p.Right)
	}
	return d
}
