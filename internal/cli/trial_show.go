package cli

import (
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"meltspan/notebook"
	"meltspan/record"
	"meltspan/report"
)

func (s *session) trialShowCommand() *cobra.Command {
	var name, pictures, files string
	var json bool
	c := &cobra.Command{
		Use:   "show TRIAL",
		Short: "show a trial, and what the network predicts for it",
		Long: "Shows what is known of a trial: settings, events, series with what is doubtful in them, and attachments. Where its design is in the notebook, " +
			"the network's prediction with the trial's settings and in its logged room stands beside it.\n\n" +
			"TRIAL is its number or its name.",
		Example: "  meltspan trial show 3 --pictures pictures\n  meltspan trial show \"thick wall\" --json\n",
		Args:    arguments(1, 1, "one trial", `"meltspan trial show 3"`),
		RunE: func(cmd *cobra.Command, args []string) error {
			for flag, folder := range map[string]string{"pictures": pictures, "files": files} {
				if cmd.Flags().Changed(flag) {
					if err := makeFolder(folder); err != nil {
						return err
					}
				}
			}
			return s.withTrial(name, args[0], func(n *notebook.Notebook, id int64) error {
				v, err := record.View(s.ctx, n, id, true)
				if err != nil {
					return err
				}
				if err := s.deliver(&runFlags{json: json, pictures: pictures}, v, record.OfTrial(v)); err != nil || files == "" {
					return err
				}
				return s.writeAttachments(n, v, files)
			})
		},
	}
	flags := c.Flags()
	notebookFlag(flags, &name)
	jsonFlag(flags, &json)
	flags.StringVar(&pictures, "pictures", "", "draw the log into the folder `DIR`, as SVG and PNG")
	flags.StringVar(&files, "files", "", "write what is attached into the folder `DIR`")
	return c
}

// writeAttachments writes attached files. Their names come from whoever
// attached them; only the last part counts.
func (s *session) writeAttachments(n *notebook.Notebook, v *report.TrialView, folder string) error {
	for _, a := range v.Attachments {
		data, err := n.Content(s.ctx, a.Hash)
		if err != nil {
			return err
		}
		name := filepath.Join(folder, filepath.Base(filepath.Clean("/"+filepath.ToSlash(a.Name))))
		if _, err := os.Lstat(name); err == nil {
			return wrong("another folder", "%s is there already", quoted(name))
		}
		if err := writeFile(name, data); err != nil {
			return err
		}
		s.note("wrote %s", name)
	}
	return nil
}
