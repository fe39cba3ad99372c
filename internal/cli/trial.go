package cli

import (
	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

func (s *session) trialCommand() *cobra.Command {
	c := &cobra.Command{
		Use:   "trial COMMAND ...",
		Short: "trials at the bench: live readings, pictures, spots, weighings",
		Long: "Keeps what sensors, cameras, a thermal camera and a balance say of a trial, in a notebook: one file, " +
			"trials.notebook in the current folder unless --notebook names another.",
		Example: "  meltspan trial live 3 /dev/ttyUSB0\n  meltspan help trial live\n",
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 {
				s.help(cmd)
				return nil
			}
			var names []string
			for _, sub := range cmd.Commands() {
				names = append(names, sub.Name())
			}
			return wrong(choice(args[0], names), "there is no command trial %s", quoted(args[0]))
		},
	}
	c.AddCommand(s.liveCommands()...)
	return c
}

// defaultNotebook lies beside the designs.
const defaultNotebook = "trials.notebook"

// notebookFlag is the same wherever a notebook is used.
func notebookFlag(flags *pflag.FlagSet, to *string) {
	flags.StringVar(to, "notebook", defaultNotebook, "the notebook is `FILE`")
}
