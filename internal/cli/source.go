package cli

import (
	"bytes"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"meltspan/design"
)

// How a DESIGN may be named other than by its file.
const (
	stdinName  = "-"
	stdinLabel = "standard input"
	demoName   = "demo"
	demoPrefix = "demo:"
)

// read reads the design that the user names.
func (s *session) read(name string) (*design.Design, error) {
	switch {
	case name == stdinName:
		text, err := s.readInput()
		if err != nil {
			return nil, err
		}
		return design.Read(disk{input: text}, stdinLabel)
	case name == demoName:
		return design.Parse(demoPrefix+design.DemoNames()[0], design.Demo(), nil)
	case strings.HasPrefix(name, demoPrefix):
		text, err := example(strings.TrimPrefix(name, demoPrefix))
		if err != nil {
			return nil, err
		}
		return design.Parse(name, text, nil)
	}
	if err := checkFile(name); err != nil {
		return nil, err
	}
	d, err := design.Read(disk{}, filepath.ToSlash(name))
	var path *fs.PathError
	if errors.As(err, &path) {
		return nil, failed("a file that you may read", "cannot read %s: %v", quoted(name), path.Err)
	}
	return d, err
}

func example(name string) ([]byte, error) {
	text, err := design.DemoNamed(name)
	if err != nil {
		return nil, wrong(choice(name, design.DemoNames()), "there is no example %s", quoted(name))
	}
	return text, nil
}

// checkFile catches what can be told about a name before it is read.
func checkFile(name string) error {
	if name == "" {
		return wrong("the name of a design file, such as design.yaml", "the name of the design is empty")
	}
	info, err := os.Stat(name)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		right := `"meltspan starter" writes a first design to change; "demo" names a built-in one`
		if near := nearest(filepath.Base(name), designsIn(filepath.Dir(name))); near != "" {
			right = "did you mean " + filepath.Join(filepath.Dir(name), near) + "?"
		} else if short := strings.TrimPrefix(name, "demo-"); nearest(short, design.DemoNames()) == short {
			right = "for the built-in example: " + demoPrefix + short
		}
		return wrong(right, "there is no file %s", quoted(name))
	case err != nil:
		return failed("a file that you may read", "cannot read %s: %v", quoted(name), cause(err))
	case info.IsDir():
		right := "the name of a design file"
		if found := designsIn(name); len(found) > 0 {
			right += ", such as " + filepath.Join(name, found[0])
		}
		return wrong(right, "%s is a folder", quoted(name))
	}
	return nil
}

// designsIn names the files of a folder that look like designs.
func designsIn(folder string) []string {
	entries, _ := os.ReadDir(folder) // a folder that cannot be listed offers nothing
	var names []string
	for _, e := range entries {
		if looksLikeDesign(e.Name()) {
			names = append(names, e.Name())
		}
	}
	return names
}

func looksLikeDesign(name string) bool {
	ending := strings.ToLower(filepath.Ext(name))
	return ending == ".yaml" || ending == ".yml" || name == demoName || strings.HasPrefix(name, demoPrefix)
}

// cause is what the operating system says, without call and path.
func cause(err error) error {
	var path *fs.PathError
	if errors.As(err, &path) {
		return path.Err
	}
	return err
}

// disk opens files by any path of the operating system, in slashes. It is
// wider than fs.FS asks for: users name designs wherever they are. With input
// set, it also holds what came by standard input.
type disk struct{ input []byte }

func (d disk) Open(name string) (fs.File, error) {
	if d.input != nil && name == stdinLabel {
		return inputFile{bytes.NewReader(d.input)}, nil
	}
	return os.Open(filepath.FromSlash(name))
}

type inputFile struct{ *bytes.Reader }

func (inputFile) Stat() (fs.FileInfo, error) { return nil, errors.ErrUnsupported }
func (inputFile) Close() error               { return nil }

// mostInput bounds what is read from standard input, well beyond what a
// design may be, so that the reader can say that it is too large.
const mostInput = 4 << 20

// readInput reads standard input, until the user has had enough of waiting.
func (s *session) readInput() ([]byte, error) {
	if isTerminal(s.in) {
		s.note("Reading the design from the terminal; end it with Ctrl-D (on Windows Ctrl-Z and Enter).")
	}
	type read struct {
		text []byte
		err  error
	}
	done := make(chan read, 1)
	go func() {
		text, err := io.ReadAll(io.LimitReader(s.in, mostInput))
		done <- read{append([]byte{}, text...), err}
	}()
	select {
	case r := <-done:
		if r.err != nil {
			return nil, failed("", "cannot read standard input: %v", cause(r.err))
		}
		return r.text, nil
	case <-s.ctx.Done():
		return nil, s.ctx.Err()
	}
}

// isTerminal reports whether a stream is a character device other than the
// null device: a terminal, for all that matters here.
func isTerminal(stream any) bool {
	f, ok := stream.(*os.File)
	if !ok {
		return false
	}
	info, err := f.Stat()
	if err != nil || info.Mode()&os.ModeCharDevice == 0 {
		return false
	}
	null, err := os.Stat(os.DevNull)
	return err != nil || !os.SameFile(info, null)
}

// shellWord quotes a word that a shell would split.
func shellWord(word string) string {
	if strings.ContainsAny(word, " \t") {
		return `"` + word + `"`
	}
	return word
}
