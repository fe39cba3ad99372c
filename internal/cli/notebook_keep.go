package cli

import (
	"fmt"
	"path/filepath"

	"github.com/spf13/cobra"

	"meltspan/design"
	"meltspan/internal/textpage"
	"meltspan/notebook"
)

func (s *session) notebookKeepCommand() *cobra.Command {
	var name string
	c := &cobra.Command{
		Use:   "keep DESIGN",
		Short: "keep a design before there is any trial of it",
		Long: "Keeps a design in the notebook as it is written, and makes the notebook where there is none. Its revision, which is printed, names it from then on: " +
			"for \"meltspan next\" and \"meltspan report\". What is there already is not kept twice.",
		Example: "  meltspan notebook keep found/found-01.yaml\n",
		Args:    arguments(1, 1, "one design", `"meltspan notebook keep design.yaml"`),
		RunE: func(_ *cobra.Command, args []string) (err error) {
			k, err := s.readToKeep(args[0])
			if err != nil {
				return err
			}
			n, err := notebook.Open(s.ctx, name)
			if err != nil {
				return err
			}
			defer closing(n, &err)
			kept, err := n.SaveDesign(s.ctx, filepath.Base(k.File), k.Text, k.Open)
			if err != nil {
				return err
			}
			_, err = fmt.Fprintf(s.out, "%s: %s is kept as revision %s\n", textpage.Plain(filepath.ToSlash(name)), textpage.Plain(kept.Name), kept.Revision)
			return err
		},
	}
	notebookFlag(c.Flags(), &name)
	return c
}

// readAny reads a design, from the notebook where the name is that of a revision
// there.
func (s *session) readAny(name, book string) (_ *design.Design, err error) {
	if !inNotebook(name) {
		return s.read(name)
	}
	n, err := s.openNotebook(book)
	if err != nil {
		return nil, err
	}
	defer closing(n, &err)
	kept, err := n.Design(s.ctx, name)
	if err != nil {
		return nil, err
	}
	return kept.Parse()
}
