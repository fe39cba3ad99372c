package cli

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"meltspan/design"
	"meltspan/internal/textpage"
)

const amendExample = `"meltspan amend design.yaml store.mass '90 g' --write lighter.yaml"`

func (s *session) amendCommand() *cobra.Command {
	var write string
	var inPlace bool
	c := &cobra.Command{
		Use:   "amend DESIGN INPUT VALUE...",
		Short: "put other values into the text of a design",
		Long: "Writes the design with other values for some of its inputs, and leaves the rest of its text as it is, comments and all. " +
			"INPUT is a key of the design with its sections, such as stand.wall.skin or store.mass; VALUE is written as in a design, with the unit and, if known, its spread, \"90 g +- 0.5 g\", or as a word, such as petg for stand.material.\n\n" +
			"The text is printed, or written to a new file with --write, or put in the place of the old one with --in-place.\n\n" +
			"DESIGN is a file, - for standard input, or demo or demo:NAME for a built-in example.",
		Example: "  meltspan amend demo store.mass \"90 g\" --write lighter.yaml\n  meltspan amend design.yaml stand.wall.skin \"1.6 mm\" store.mass \"90 g\" --in-place\n",
		RunE: func(_ *cobra.Command, args []string) error {
			args = joinUnits(args)
			switch {
			case len(args) < 3:
				return wrong(amendExample, "amend needs a design, an input and its value")
			case len(args)%2 == 0:
				return wrong(amendExample, "%s has no value", quoted(args[len(args)-1]))
			case inPlace && write != "":
				return wrong("one of the two", "--in-place and --write both say where to")
			}
			return s.amend(args[0], args[1:], write, inPlace)
		},
	}
	c.Flags().StringVar(&write, "write", "", "write to the file `FILE`, which must not be there yet")
	c.Flags().BoolVar(&inPlace, "in-place", false, "replace the file DESIGN")
	return c
}

func (s *session) amend(name string, pairs []string, write string, inPlace bool) error {
	k, err := s.readToKeep(name)
	if err != nil {
		return err
	}
	var list []design.Amendment
	for i := 0; i < len(pairs); i += 2 {
		list = append(list, design.Amendment{Path: pairs[i], Value: strings.ReplaceAll(pairs[i+1], minusSign, "-")})
	}
	text, _, err := design.Amend(k.File, k.Text, list, k.Open)
	if err != nil {
		return err
	}
	if !inPlace {
		return s.writeNew(write, text)
	}
	if filepath.ToSlash(name) != k.File || name == stdinName {
		return wrong("--write FILE", "%s is no file to be replaced", quoted(name))
	}
	if err := writeFile(name, text); err != nil {
		return err
	}
	_, err = fmt.Fprintf(s.out, "Changed %s.\n", textpage.Plain(name))
	return err
}

// writeNew writes a text to a file that is not there yet, or prints it where
// none is named.
func (s *session) writeNew(file string, text []byte) error {
	if file == "" || file == stdinName {
		_, err := s.out.Write(text)
		return err
	}
	if _, err := os.Lstat(file); !errors.Is(err, fs.ErrNotExist) {
		return wrong("another name", "there is a file %s already", quoted(file))
	}
	if err := writeFile(file, text); err != nil {
		return err
	}
	_, err := fmt.Fprintf(s.out, "Wrote %s.\n", textpage.Plain(file))
	return err
}
