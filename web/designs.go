package web

import (
	"crypto/rand"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net/http"
	"path"
	"path/filepath"
	"strings"

	"meltspan/design"
)

// examplePrefix names the built-in designs, as on the command line.
const examplePrefix = "demo:"

// source is a design as the page has it: the name that it was opened by, and
// the text in the editor.
type source struct {
	Name string `json:"name"`
	Text string `json:"text"`
}

// parse reads the design.
func (s *Server) parse(in source) (*design.Design, error) {
	return design.Parse(in.Name, []byte(in.Text), s.beside(in))
}

// beside opens a design's room log, which lies beside it in the project; nil
// for the built-in designs, which have none.
func (s *Server) beside(in source) func(string) ([]byte, error) {
	if strings.HasPrefix(in.Name, examplePrefix) {
		return nil
	}
	return func(name string) ([]byte, error) {
		return s.readFile(path.Join(path.Dir(in.Name), filepath.ToSlash(name)), mostLog)
	}
}

// local says whether a name may be a file of the project.
func local(name string) error {
	switch {
	case name == "" || !fs.ValidPath(name) || !filepath.IsLocal(filepath.FromSlash(name)) || strings.ContainsAny(name, "\\\x00:"):
		return bad("a name such as stand.yaml or thick/stand.yaml", fmt.Sprintf("%s is no name of a file in the project folder.", clip(name)))
	case strings.HasPrefix(path.Base(name), "."):
		return bad("a name such as stand.yaml", "Hidden files are left alone.")
	}
	return nil
}

func isDesign(name string) bool {
	ending := strings.ToLower(path.Ext(name))
	return ending == ".yaml" || ending == ".yml"
}

// readFile reads a file of the project, through a root that no link leads out of.
func (s *Server) readFile(name string, most int64) ([]byte, error) {
	if err := local(name); err != nil {
		return nil, err
	}
	info, err := s.root.Stat(filepath.FromSlash(name))
	if err != nil {
		return nil, outside(err)
	}
	if !info.Mode().IsRegular() {
		return nil, bad("the name of a file", clip(name)+" is no file.")
	}
	f, err := s.root.Open(filepath.FromSlash(name))
	if err != nil {
		return nil, outside(err)
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, most+1))
	if err == nil && int64(len(data)) > most {
		err = bad("a smaller file", fmt.Sprintf("%s is larger than %d MB.", clip(name), most>>20))
	}
	return data, err
}

// outside words what the system says of a path, without the path: a link that
// leads out of the project shall not tell where to.
func outside(err error) error {
	if errors.Is(err, fs.ErrNotExist) || errors.Is(err, fs.ErrPermission) {
		return err
	}
	return &Problem{Status: http.StatusForbidden, Title: "Not in the project", Detail: "The path does not lead to a file of the project folder."}
}

// revision tells two texts of a file apart.
func revision(text []byte) string {
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:8])
}

func tagged(revision string) string { return `"` + revision + `"` }

// opened is a design file as it is opened.
type opened struct {
	Name     string `json:"name"`
	Text     string `json:"text"`
	Revision string `json:"revision"`          // of the file's text
	Example  bool   `json:"example"`           // built in: it is saved under another name
	Command  string `json:"command,omitempty"` // that writes what was saved
}

func (s *Server) getDesign(w http.ResponseWriter, r *http.Request) error {
	name := r.PathValue("name")
	var text []byte
	var err error
	example := strings.HasPrefix(name, examplePrefix)
	if example {
		if text, err = design.DemoNamed(strings.TrimPrefix(name, examplePrefix)); err != nil {
			return missing("There is no built-in design " + clip(name) + ".")
		}
	} else if text, err = s.readDesign(name); err != nil {
		return err
	}
	w.Header().Set("ETag", tagged(revision(text)))
	reply(w, http.StatusOK, opened{Name: name, Text: string(text), Revision: revision(text), Example: example})
	return nil
}

func (s *Server) readDesign(name string) ([]byte, error) {
	if !isDesign(name) {
		return nil, bad("a name that ends in .yaml", clip(name)+" is no design file.")
	}
	return s.readFile(name, mostBody)
}

// putDesign saves a design: over the revision that the page read (If-Match), or
// as a new file (If-None-Match: *). Whoever comes second is told.
func (s *Server) putDesign(w http.ResponseWriter, r *http.Request) error {
	name := r.PathValue("name")
	var in struct {
		Text string `json:"text"`
		From source `json:"from"` // what it was opened from, as it was then
	}
	if err := take(w, r, &in); err != nil {
		return err
	}
	if err := local(name); err != nil {
		return err
	}
	if !isDesign(name) {
		return bad("a name that ends in .yaml", clip(name)+" is no name of a design file.")
	}
	s.saving.Lock()
	defer s.saving.Unlock()
	now, err := s.readDesign(name)
	switch read, fresh := r.Header.Get("If-Match"), r.Header.Get("If-None-Match"); {
	case err != nil && !errors.Is(err, fs.ErrNotExist):
		return err
	case read == "" && fresh != "*":
		return &Problem{Status: http.StatusPreconditionRequired, Title: "Revision missing", Detail: "Say which revision is replaced (If-Match), or that the file is new (If-None-Match: *)."}
	case fresh == "*" && err == nil:
		return &Problem{Status: http.StatusPreconditionFailed, Title: "There is one already", Detail: "There is a file " + clip(name) + " already.", Right: "another name, or open it and save over it", Revision: revision(now)}
	case fresh != "*" && err != nil:
		return &Problem{Status: http.StatusPreconditionFailed, Title: "The file is gone", Detail: "The file " + clip(name) + " was there when it was read, and is gone.", Right: "save it as a new file"}
	case fresh != "*" && read != tagged(revision(now)):
		return &Problem{Status: http.StatusPreconditionFailed, Title: "Changed elsewhere", Detail: "The file " + clip(name) + " was changed elsewhere since you opened it. Nothing was written.",
			Right: "look at what stands there now, then save over it or under another name", Revision: revision(now)}
	}
	if err := s.writeFile(name, []byte(in.Text)); err != nil {
		return err
	}
	w.Header().Set("ETag", tagged(revision([]byte(in.Text))))
	reply(w, http.StatusOK, opened{Name: name, Text: in.Text, Revision: revision([]byte(in.Text)), Command: s.savedBy(in.From, name, in.Text)})
	return nil
}

// writeFile writes a file of the project as a whole or not at all: beside its
// place first, then renamed.
func (s *Server) writeFile(name string, data []byte) error {
	target := filepath.FromSlash(name)
	beside := filepath.Join(filepath.Dir(target), "."+filepath.Base(target)+".part-"+rand.Text())
	if info, err := s.root.Lstat(target); err == nil && !info.Mode().IsRegular() {
		return bad("another name", clip(name)+" is no plain file.")
	}
	err := s.root.WriteFile(beside, data, 0o644)
	if err == nil {
		err = s.root.Rename(beside, target)
	}
	if err != nil {
		s.root.Remove(beside) // the first error is the one to tell
		if errors.Is(err, fs.ErrNotExist) {
			return bad("make the folder first", "There is no folder for "+clip(name)+".")
		}
		return outside(err)
	}
	return nil
}

// mostListed bounds the designs that are offered.
const mostListed = 500

// designs lists the design files of the project, three folders deep.
func (s *Server) designs() []string {
	names := []string{}
	fs.WalkDir(s.root.FS(), ".", func(name string, e fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return nil // a folder that cannot be listed offers nothing
		case name != "." && strings.HasPrefix(e.Name(), ".") || strings.Count(name, "/") > 2:
			if e.IsDir() {
				return fs.SkipDir
			}
		case len(names) == mostListed:
			return fs.SkipAll
		case e.Type().IsRegular() && isDesign(name):
			names = append(names, name)
		}
		return nil
	})
	return names
}
