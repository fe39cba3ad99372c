package cli

import (
	"github.com/spf13/cobra"

	"meltspan/design"
)

func (s *session) schemaCommand() *cobra.Command {
	var file string
	c := &cobra.Command{
		Use:   "schema",
		Short: "print the JSON Schema of design files, for editors",
		Long: "Prints the JSON Schema (draft 2020-12) of the design file. An editor that knows it completes keys, " +
			"explains them and marks mistakes while you type. It sees the form of a file only; \"meltspan check\" sees more.",
		Example: "  meltspan schema --out design.schema.json\n",
		Args:    arguments(0, 0, "", `"meltspan schema", or "meltspan schema --out FILE"`),
		RunE: func(cmd *cobra.Command, _ []string) error {
			text := design.Schema()
			if !cmd.Flags().Changed("out") || file == stdinName {
				_, err := s.out.Write(text)
				return err
			}
			if file == "" {
				return wrong("such as --out design.schema.json", "the name after --out is empty")
			}
			if err := writeFile(file, text); err != nil {
				return err
			}
			s.note("wrote %s", file)
			return nil
		},
	}
	c.Flags().StringVar(&file, "out", "", "write it to `FILE`, replacing what is there")
	return c
}
