package cli

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"meltspan/design"
	"meltspan/notebook"
	"meltspan/record"
)

// defaultNotebook is the notebook of the working folder.
const defaultNotebook = "trials.notebook"

func notebookFlag(flags *pflag.FlagSet, to *string) {
	flags.StringVar(to, "notebook", defaultNotebook, "the notebook is the file `FILE`")
}

// openNotebook opens a notebook that must be there.
func (s *session) openNotebook(name string) (*notebook.Notebook, error) {
	n, err := notebook.OpenExisting(s.ctx, name)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, wrong(`"meltspan trial record" or "meltspan trial import" makes one; --notebook FILE names another`, "there is no notebook %s", quoted(name))
	}
	return n, err
}

// closing closes a notebook, and tells of it when that fails.
func closing(n *notebook.Notebook, err *error) {
	if e := n.Close(); e != nil && *err == nil {
		*err = fmt.Errorf("closing the notebook %s: %w", n.Path(), e)
	}
}

// withTrial opens a notebook at one of its trials, by number or name, and closes
// it when the work is done.
func (s *session) withTrial(book, called string, do func(n *notebook.Notebook, id int64) error) (err error) {
	n, err := s.openNotebook(book)
	if err != nil {
		return err
	}
	defer closing(n, &err)
	id, err := n.Find(s.ctx, called)
	if err != nil {
		return err
	}
	return do(n, id)
}

// readToKeep reads a design together with its text.
func (s *session) readToKeep(name string) (record.Design, error) {
	var k record.Design
	var err error
	switch {
	case name == stdinName:
		k.File = stdinLabel
		if k.Text, err = s.readInput(); err != nil {
			return k, err
		}
		k.Open = beside(".")
	case name == demoName:
		k.File, k.Text = demoPrefix+design.DemoNames()[0], design.Demo()
	case strings.HasPrefix(name, demoPrefix):
		k.File = name
		if k.Text, err = example(strings.TrimPrefix(name, demoPrefix)); err != nil {
			return k, err
		}
	default:
		if err := checkFile(name); err != nil {
			return k, err
		}
		if k.Text, err = os.ReadFile(name); err != nil {
			return k, failed("a file that you may read", "cannot read %s: %v", quoted(name), cause(err))
		}
		k.File, k.Open = filepath.ToSlash(name), beside(filepath.Dir(name))
	}
	k.Design, err = design.Parse(k.File, k.Text, k.Open)
	return k, err
}

// beside reads files from a folder.
func beside(folder string) func(string) ([]byte, error) {
	return func(path string) ([]byte, error) { return os.ReadFile(filepath.Join(folder, filepath.FromSlash(path))) }
}

func (s *session) notebookCommand() *cobra.Command {
	return s.group("notebook", "export a notebook and import it, list its results, try an example",
		"A notebook is one file in which trials, their logs and designs, and what was worked out from them are kept. "+
			"It can be exported to a folder of CSV, JSON and files at any time, and imported from there.",
		s.notebookKeepCommand(), s.notebookExportCommand(), s.notebookImportCommand(), s.notebookResultsCommand(), s.notebookRemoveCommand(), s.notebookDemoCommand())
}

func (s *session) notebookExportCommand() *cobra.Command {
	var name string
	c := &cobra.Command{
		Use:   "export FOLDER",
		Short: "write a whole notebook into a new folder",
		Long: "Writes all that is in the notebook into a new folder: a CSV file for each series (time in seconds from the trial's start, " +
			"value in SI units, mark), JSON for trials and results, designs and attachments as the files they were. The folder appears when it is complete, or not at all.",
		Example: "  meltspan notebook export backup-2026-01-31\n",
		Args:    arguments(1, 1, "one folder", `"meltspan notebook export FOLDER"`),
		RunE: func(_ *cobra.Command, args []string) (err error) {
			n, err := s.openNotebook(name)
			if err != nil {
				return err
			}
			defer closing(n, &err)
			if args[0] == "" {
				return wrong("the name of a new folder", "the name of the folder is empty")
			}
			if err := n.Export(s.ctx, args[0]); err != nil {
				return err
			}
			fmt.Fprintf(s.out, "%s: exported into %s\n", name, args[0])
			return nil
		},
	}
	notebookFlag(c.Flags(), &name)
	return c
}

func (s *session) notebookImportCommand() *cobra.Command {
	var name string
	c := &cobra.Command{
		Use:   "import FOLDER",
		Short: "make a notebook from an exported folder",
		Long: "Reads a folder that \"meltspan notebook export\" wrote into a new or empty notebook: all of it, or nothing. " +
			"Series may have been changed meanwhile; designs and attachments are recognised by their hashes and may not.",
		Example: "  meltspan notebook import backup-2026-01-31 --notebook restored.notebook\n",
		Args:    arguments(1, 1, "one folder", `"meltspan notebook import FOLDER"`),
		RunE: func(_ *cobra.Command, args []string) error {
			if err := s.importNotebook(args[0], name); err != nil {
				return err
			}
			fmt.Fprintf(s.out, "%s: imported from %s\n", name, args[0])
			return nil
		},
	}
	notebookFlag(c.Flags(), &name)
	return c
}

// importNotebook imports into a notebook that is there and empty, or makes a
// new one beside its place first, so that a failure leaves none.
func (s *session) importNotebook(folder, name string) (err error) {
	target := name
	if _, err := os.Stat(name); errors.Is(err, fs.ErrNotExist) {
		part, err := os.MkdirTemp(filepath.Dir(name), "."+filepath.Base(name)+".part-*")
		if err != nil {
			return cannotWrite(name, err)
		}
		defer os.RemoveAll(part)
		target = filepath.Join(part, "notebook")
	}
	n, err := notebook.Open(s.ctx, target)
	if err != nil {
		return err
	}
	err = n.Import(s.ctx, folder)
	closing(n, &err)
	if err != nil || target == name {
		return err
	}
	if err := os.Link(target, name); err != nil { // unlike a renaming, it never replaces what came there meanwhile
		if errors.Is(err, fs.ErrExist) {
			return wrong("another name", "%s is there by now", quoted(name))
		}
		return os.Rename(target, name)
	}
	return nil
}
