package cli

import (
	"fmt"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"meltspan/internal/textpage"
)

func init() {
	cobra.EnableCommandSorting = false // help lists commands in the order of use
	// Shown to those who start the program from a file manager of Windows.
	cobra.MousetrapHelpText = "Meltspan works in a terminal: open one and type meltspan there.\n"
}

// commands builds the tree of commands, in the order in which help lists
// them.
func (s *session) commands() *cobra.Command {
	root := &cobra.Command{
		Use:           "meltspan",
		Short:         "Predicts how long a small passive thermal device keeps running.",
		SilenceErrors: true,
		SilenceUsage:  true,
		Args:          cobra.ArbitraryArgs,
		RunE:          s.start,
	}
	root.CompletionOptions.DisableDefaultCmd = true
	root.Flags().SortFlags = false
	root.Flags().Bool("version", false, "print the version")
	root.SetFlagErrorFunc(flagFault)
	root.SetHelpFunc(func(cmd *cobra.Command, _ []string) { s.help(cmd) })
	help := s.helpCommand()
	root.SetHelpCommand(help)
	root.AddCommand(
		s.starterCommand(), s.amendCommand(), s.checkCommand(), s.predictCommand(), s.compareCommand(), s.sectionCommand(), s.varyCommand(),
		s.searchCommand(), s.nextCommand(), s.workCommand(),
		s.estimateCommand(), s.partsCommand(), s.drawingCommand(),
		s.trialCommand(), s.notebookCommand(),
		s.benchCommand(), s.calibrateCommand(), s.forecastCommand(), s.reportCommand(), s.pageCommand(),
		s.assumptionsCommand(), s.materialsCommand(), s.schemaCommand(), s.versionCommand(),
		help, designsTopic(), exitCodesTopic(),
	)
	s.addUnits(root)
	addHelpFlags(root)
	return root
}

func addHelpFlags(parent *cobra.Command) {
	for _, c := range parent.Commands() {
		c.Flags().SortFlags = false
		c.Flags().BoolP("help", "h", false, "show this help")
		c.Flags().Lookup("help").Hidden = true
		addHelpFlags(c)
	}
}

// group makes a command of the commands below it; alone, it says which there
// are.
func (s *session) group(name, short, long string, commands ...*cobra.Command) *cobra.Command {
	g := &cobra.Command{Use: name + " COMMAND", Short: short, Long: long, Args: cobra.ArbitraryArgs,
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 {
				s.help(cmd)
				return nil
			}
			var names []string
			for _, c := range cmd.Commands() {
				names = append(names, c.Name())
			}
			return wrong(choice(args[0], names), "%s has no command %s", name, quoted(args[0]))
		}}
	g.AddCommand(commands...)
	return g
}

// start is what the program says when it is given nothing to do.
func (s *session) start(cmd *cobra.Command, _ []string) error {
	if version, _ := cmd.Flags().GetBool("version"); version {
		return s.version()
	}
	var p textpage.Page
	p.Para(0, 0, "Meltspan predicts how long a small passive thermal device keeps running: an engine on a few "+
		"tens of grams of ice, say. It gives the run time with its band, where the heat goes, what will sweat or spill, "+
		"and what to change first.")
	p.Blank()
	p.Line("To begin with:")
	p.Explain([][]string{
		{"meltspan predict demo", "see a whole answer, for a built-in example"},
		{"meltspan starter", "write design.yaml, a commented design to change"},
		{"meltspan predict design.yaml", "predict from your own"},
	})
	p.Blank()
	p.Line(`"meltspan help" lists all commands.`)
	fmt.Fprint(s.out, p.String())
	return nil
}

// arguments asks for a number of arguments; what says what they are, and
// example how they are written.
func arguments(least, most int, what, example string) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		switch {
		case len(args) < least && len(args) == 0:
			return wrong(example, "%s needs %s", called(cmd), what)
		case len(args) < least:
			return wrong(example, "%s needs %s, and got only %s", called(cmd), what, quoted(args[0]))
		case len(args) > most && most == 0:
			return wrong(example, "%s takes no argument, and got %s", called(cmd), quoted(args[0]))
		case len(args) > most:
			return wrong(example, "%s takes %s, and got %s as well", called(cmd), what, quoted(args[most]))
		}
		return nil
	}
}

// jsonFlag is the same wherever an answer can be had as JSON.
func jsonFlag(flags *pflag.FlagSet, to *bool) {
	flags.BoolVar(to, "json", false, "print JSON, in SI units, instead of text")
}
