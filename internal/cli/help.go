package cli

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"meltspan/internal/textpage"
)

// help prints what a command or a topic is about.
func (s *session) help(cmd *cobra.Command) {
	var p textpage.Page
	if cmd.HasParent() {
		commandHelp(&p, cmd)
	} else {
		overview(&p, cmd)
	}
	fmt.Fprint(s.out, p.String())
}

func overview(p *textpage.Page, root *cobra.Command) {
	p.Para(0, 0, root.Short)
	p.Blank()
	p.Line("meltspan COMMAND ...")
	var commands, topics [][]string
	for _, c := range root.Commands() {
		if c.Runnable() {
			commands = append(commands, []string{c.Use, c.Short})
		} else {
			topics = append(topics, []string{"help " + c.Name(), c.Short})
		}
	}
	p.Blank()
	p.Line("Commands")
	p.Explain(commands)
	p.Blank()
	p.Line("Topics")
	p.Explain(topics)
	p.Blank()
	p.Line(`"meltspan help COMMAND" says more, with flags and examples.`)
}

func commandHelp(p *textpage.Page, cmd *cobra.Command) {
	if !cmd.Runnable() {
		p.Para(0, 2, cmd.Name()+": "+cmd.Short)
		p.Blank()
		p.Verbatim(cmd.Long)
		return
	}
	p.Line(strings.TrimSuffix(cmd.CommandPath(), cmd.Name()) + cmd.Use)
	p.Blank()
	for i, part := range strings.Split(cmd.Long, "\n\n") {
		if i > 0 {
			p.Blank()
		}
		if strings.HasPrefix(part, " ") { // a file as it is written
			p.Verbatim(part + "\n")
			continue
		}
		p.Para(0, 0, part)
	}
	if cmd.HasSubCommands() {
		var commands [][]string
		for _, c := range cmd.Commands() {
			commands = append(commands, []string{cmd.Name() + " " + c.Use, c.Short})
		}
		p.Blank()
		p.Line("Commands")
		p.Explain(commands)
		p.Blank()
		p.Para(0, 0, `"meltspan help `+cmd.Name()+` COMMAND" says more, with flags and examples.`)
	}
	var rows [][]string
	cmd.LocalFlags().VisitAll(func(f *pflag.Flag) {
		if f.Hidden {
			return
		}
		name, usage := pflag.UnquoteUsage(f)
		flag := "--" + f.Name
		if f.Value.Type() != "bool" {
			flag += " " + name
			if f.DefValue != "" && f.DefValue != "[]" {
				usage += " (" + f.DefValue + " unless given)"
			}
		}
		rows = append(rows, []string{flag, usage})
	})
	if len(rows) > 0 {
		p.Blank()
		p.Line("Flags")
		p.Explain(rows)
	}
	if cmd.Example != "" {
		p.Blank()
		p.Line("Examples")
		p.Verbatim(cmd.Example)
	}
}

func (s *session) helpCommand() *cobra.Command {
	return &cobra.Command{
		Use:     "help [COMMAND]",
		Short:   "say more about a command or a topic",
		Long:    "Says what a command does, with its flags and examples, or explains a topic.",
		Example: "  meltspan help predict\n  meltspan help trial import\n  meltspan help exit-codes\n",
		Args:    arguments(0, 2, "one command or topic", "meltspan help predict"),
		RunE: func(cmd *cobra.Command, args []string) error {
			at := cmd.Root()
			for _, name := range args {
				next, names := commandNamed(at, name)
				if next == nil && len(names) == 0 {
					return wrong("meltspan help "+called(at), "%s has no commands below it, and got %s", called(at), quoted(name))
				} else if next == nil {
					return wrong(choice(name, names), "there is no help on %s", quoted(name))
				}
				at = next
			}
			s.help(at)
			return nil
		},
	}
}

// commandNamed finds a command below another; else it lists those there are.
func commandNamed(parent *cobra.Command, name string) (*cobra.Command, []string) {
	var names []string
	for _, c := range parent.Commands() {
		if c.Name() == name {
			return c, nil
		}
		names = append(names, c.Name())
	}
	return nil, names
}

func designsTopic() *cobra.Command {
	return &cobra.Command{
		Use:   "designs",
		Short: "how a DESIGN is named on the command line",
		Long: `  design.yaml    a design file; "meltspan starter" writes one to begin with
  -              the design comes by standard input
  demo           the first built-in example
  demo:NAME      another built-in example; "meltspan starter --list" names them

demo is always the example, even where a file of that name lies in the folder;
write ./demo for the file.

A room log that a design names is read from the folder of the design, or from
the current folder when the design comes by standard input.
`,
	}
}

func exitCodesTopic() *cobra.Command {
	return &cobra.Command{
		Use:   "exit-codes",
		Short: "what the program tells scripts by its exit code",
		Long: `    0  done. A device that never starts is an answer, too.
    1  failed: a file cannot be read or written, or a fault of the program.
    2  bad input: a mistake in a design or on the command line, or a design
       that is not there. What is wrong and what would be right is printed.
  130  interrupted. What was computed until then was printed; the answer says
       how many samples its band rests on.

Ctrl-C is how "trial live" and "forecast --follow" are meant to end: they keep
what came, and give 0.

Answers go to standard output; errors, progress and notes to standard error.
Progress is shown only on a terminal. A first Ctrl-C (or request to terminate)
ends the sampling, a second one ends the program at once.
`,
	}
}
