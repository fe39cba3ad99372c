package cli

import (
	"fmt"
	"os"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"meltspan/design"
	"meltspan/internal/textpage"
)

const starterFile = "design.yaml"

func (s *session) starterCommand() *cobra.Command {
	var force, list bool
	var name string
	c := &cobra.Command{
		Use:   "starter [FILE]",
		Short: "write a commented design to change",
		Long: "Writes a commented design file to begin with: " + starterFile + " in the current folder, or FILE; - prints it. " +
			"A file that is there already stays as it is, unless --force is given.",
		Example: "  meltspan starter\n  meltspan starter cubes.yaml --example sample-on-cubes\n  meltspan starter --list\n",
		Args:    arguments(0, 1, "one file", `"meltspan starter", or "meltspan starter my.yaml"`),
		RunE: func(cmd *cobra.Command, args []string) error {
			if list {
				return s.listExamples()
			}
			file := starterFile
			if len(args) > 0 {
				file = args[0]
			}
			return s.writeStarter(file, name, force)
		},
	}
	c.Flags().StringVar(&name, "example", design.DemoNames()[0], "write the built-in example `NAME`")
	c.Flags().BoolVar(&list, "list", false, "list the built-in examples and write nothing")
	c.Flags().BoolVar(&force, "force", false, "replace a file that is there")
	return c
}

func (s *session) writeStarter(file, name string, force bool) error {
	text, err := example(name)
	if err != nil {
		return err
	}
	asked := strings.TrimPrefix(file, demoPrefix)
	switch {
	case file == stdinName:
		_, err := s.out.Write(text)
		return err
	case file == "":
		return wrong("a name such as "+starterFile, "the name of the file is empty")
	case file == demoName || slices.Contains(design.DemoNames(), asked):
		if file == demoName {
			asked = design.DemoNames()[0]
		}
		return wrong("meltspan starter --example "+asked, "%s names a built-in example, not a file to write", quoted(file))
	}
	if info, err := os.Lstat(file); err == nil && !info.IsDir() && !force {
		return wrong("another name, or --force to replace it", "there is a file %s already", quoted(file))
	}
	if err := writeFile(file, text); err != nil {
		return err
	}
	word := shellWord(file)
	fmt.Fprintf(s.out, "Wrote %s. Change it to what stands on your bench, then:\n  meltspan check %s\n  meltspan predict %s\n", textpage.Plain(file), textpage.Plain(word), textpage.Plain(word))
	return nil
}

func (s *session) listExamples() error {
	var p textpage.Page
	p.Line("Built-in examples, for predict as demo:NAME, for starter with --example NAME:")
	for i, name := range design.DemoNames() {
		text, err := example(name)
		if err != nil {
			return err
		}
		d, err := design.Parse(demoPrefix+name, text, nil)
		if err != nil {
			return err
		}
		first := ""
		if i == 0 {
			first = " (also just demo)"
		}
		p.Blank()
		p.Line("  " + name + first)
		p.Para(6, 0, d.Note)
	}
	fmt.Fprint(s.out, p.String())
	return nil
}
