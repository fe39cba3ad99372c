package cli

import (
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"meltspan/internal/textpage"
	"meltspan/notebook"
	"meltspan/record"
	"meltspan/report"
)

func (s *session) trialRecordCommand() *cobra.Command {
	var f aboutFlags
	c := &cobra.Command{
		Use:   "record [DESIGN]",
		Short: "keep a trial typed in by hand",
		Long: "Keeps a trial of which there is no log: what was weighed and read off, and times by a watch. The design is kept with it as it is written now, " +
			"and what --set says is checked against it. Times are from setting on the load.\n\n" +
			"A time without an uncertainty of its own is taken as +- 30 s, as well as someone sees it who looks up now and then.",
		Example: "  meltspan trial record demo --set \"store.mass=119 g\" --stalled \"6 h 40 min\"\n" +
			"  meltspan trial record design.yaml --start \"2026-01-31 14:05\" --name thick \\\n" +
			"    --set \"store.mass=119.4 g +- 0.2 g\" --set \"room.temperature=21.4 degC\" \\\n" +
			"    --started \"40 s\" --ice-gone \"6 h\" --stalled \"2026-01-31 20:22\"\n",
		Args: arguments(0, 1, "one design", `"meltspan trial record design.yaml", with what was measured as flags`),
		RunE: func(_ *cobra.Command, args []string) error { return s.trialRecord(args, &f) },
	}
	f.add(c.Flags())
	return c
}

func (s *session) trialRecord(args []string, f *aboutFlags) (err error) {
	t, err := f.trial()
	if err != nil {
		return err
	}
	var d record.Design
	if len(args) > 0 {
		if d, err = s.readToKeep(args[0]); err != nil {
			return err
		}
	}
	if err := checkedAgainst(&t, d.Design); err != nil {
		return err
	}
	n, err := notebook.Open(s.ctx, f.notebook)
	if err != nil {
		return err
	}
	defer closing(n, &err)
	id, err := record.Create(s.ctx, n, d, t)
	if err != nil {
		return err
	}
	v, err := record.View(s.ctx, n, id, false)
	if err != nil {
		return err
	}
	if f.json {
		return report.JSON(s.out, v)
	}
	return s.page(func(w io.Writer) error {
		var p textpage.Page
		p.Para(0, 2, keptText(id, v.Trial.Name, f.notebook))
		p.Blank()
		fmt.Fprint(w, p.String())
		return report.TrialText(w, s.units, v)
	})
}

// page writes text; what fails in the writing stays in s.out.
func (s *session) page(write func(io.Writer) error) error { return write(s.out) }
