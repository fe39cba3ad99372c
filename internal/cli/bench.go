package cli

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"meltspan/calibrate"
	"meltspan/design"
	"meltspan/notebook"
	"meltspan/quantity"
	"meltspan/record"
	"meltspan/trial"
)

// benchAnswer is what the command gives as JSON.
type benchAnswer struct {
	Number int64 `json:"number"`
	record.Bench
	Written []calibrate.Setting `json:"written,omitempty"`
}

func (a *benchAnswer) settings() []calibrate.Setting {
	switch {
	case a.Load != nil:
		return a.Load.Settings
	case a.Heater != nil:
		return a.Heater.Settings
	}
	return nil
}

func (s *session) benchCommand() *cobra.Command {
	var f learnFlags
	var write, heater string
	c := &cobra.Command{
		Use:   "bench TRIAL",
		Short: "read a load, or a stand, off a test at the bench",
		Long: "Reads off one test at the bench what it says by itself. From a bench log (kind \"warm plate\": the engine on a plate of controlled temperature, both plates logged, with or without speed): " +
			"the plate difference at which it stalls, its conductance at rest, its intake per cycle and its speed, and whether the log was long and steady enough. " +
			"From a run with a heater of known power on the upper plate (\"plate heater\"): the conductance at rest in watts that a meter gives. " +
			"From a weighed melt of the stand without its engine (\"blank melt\"): the stand's own leak.\n\n" +
			"--write puts the values into a design file, where they stand in it, and leaves its comments as they are. What was read is kept in the notebook.\n\n" +
			"TRIAL is a number or name. The last two tests count in \"meltspan calibrate\" as well, together with runs.",
		Example: "  meltspan trial import warm.csv design.yaml --kind \"warm plate\"\n  meltspan bench 4\n  meltspan bench 4 --write design.yaml --pictures pictures\n",
		Args:    arguments(1, 1, "one trial", `"meltspan bench 4"`),
		RunE: func(cmd *cobra.Command, args []string) error {
			if err := f.check(cmd.Flags()); err != nil {
				return err
			}
			if cmd.Flags().Changed("write") {
				if err := checkFile(write); err != nil {
					return err
				}
			}
			return s.withCases(&f, args, func(n *notebook.Notebook, cases []keptCase) error { return s.bench(n, cases[0], write, heater, &f) })
		},
	}
	flags := c.Flags()
	notebookFlag(flags, &f.notebook)
	jsonFlag(flags, &f.json)
	flags.StringVar(&f.pictures, "pictures", "", "write pictures into the folder `DIR`, as SVG and PNG: heat over speed")
	flags.StringVar(&heater, "heater", "", "the heater of a plate heater had `POWER` throughout, such as \"1.2 W +- 0.02 W\"; kept with the trial, where no log holds it")
	flags.StringVar(&write, "write", "", "put the values into the design `FILE`")
	flags.BoolVar(&f.quiet, "quiet", false, "no notes, only the answer and errors")
	f.seed = 1 // nothing is drawn here
	return c
}

func (s *session) bench(n *notebook.Notebook, c keptCase, write, heater string, f *learnFlags) error {
	if heater != "" {
		if err := s.keepPower(n, &c, heater); err != nil {
			return err
		}
	}
	a, err := readBench(c)
	if err != nil {
		return err
	}
	if write != "" {
		if a.Written = a.settings(); len(a.Written) == 0 {
			return wrong(fmt.Sprintf("meltspan calibrate %d, which takes it together with runs", c.number), "%s, a %s, gives no value that stands in a design", c.Trial.Name, c.Trial.Kind)
		}
		if err := amend(write, a.Written); err != nil {
			return err
		}
	}
	if a.Number, err = s.keepResult(n, notebook.Bench, []keptCase{c}, map[string]any{"assumed_discrepancy": calibrate.DefaultDiscrepancy()}, a); err != nil {
		return err
	}
	if err := s.deliver(&runFlags{json: f.json, pictures: f.pictures}, a, record.OfBench(&a.Bench)); err != nil {
		return err
	}
	if write != "" {
		s.note("%s: put in %d values; all else stands as it was, remarks beside them too.", write, len(a.Written))
		if a.Load != nil && !a.Load.Enough {
			s.note("The log was not long or steady enough: see the remarks before you rely on these values.")
		}
	}
	return nil
}

// keepPower keeps a heater's power that was typed in with its trial.
func (s *session) keepPower(n *notebook.Notebook, c *keptCase, text string) error {
	v, err := quantity.Parse(text, quantity.Power)
	switch {
	case err != nil || !(v.SI > 0):
		return wrong(`a power, such as --heater "1.2 W +- 0.02 W"`, "--heater cannot be %s", quoted(text))
	case c.Trial.Kind != trial.PlateHeater:
		return wrong("a plate heater", "--heater: trial %d, %s, is a %s", c.number, c.Trial.Name, c.Trial.Kind)
	case c.Trial.Find(trial.HeaterPower) != nil:
		return wrong("no --heater", "trial %d, %s, has a series of heater power already", c.number, c.Trial.Name)
	}
	series := trial.Series{Quantity: trial.HeaterPower, Source: record.ByHand, Uncertainty: v.Spread,
		Samples: []trial.Sample{{Time: 0, Value: v.SI}, {Time: knownUntil(c.Trial), Value: v.SI}}}
	if err := n.AddSeries(s.ctx, c.number, []trial.Series{series}); err != nil {
		return err
	}
	c.Trial.Series = append(c.Trial.Series, series)
	return nil
}

func readBench(c keptCase) (*benchAnswer, error) {
	a, d := &benchAnswer{}, calibrate.DefaultDiscrepancy()
	var err error
	switch c.Trial.Kind {
	case trial.WarmPlate:
		a.Load, err = calibrate.Characterise(c.Design, c.Trial, d)
	case trial.PlateHeater:
		a.Heater, err = calibrate.Heater(c.Design, c.Trial, d)
	case trial.BlankMelt:
		a.Blank, err = calibrate.Melt(c.Design, c.Trial, d)
	default:
		return nil, wrong(fmt.Sprintf("meltspan calibrate %d", c.number), "trial %d, %s, is a %s, not a test at the bench (%s, %s, %s)",
			c.number, c.Trial.Name, c.Trial.Kind, trial.WarmPlate, trial.PlateHeater, trial.BlankMelt)
	}
	if f, ok := lacking(err).(*fault); ok {
		f.right = benchNeeds[c.Trial.Kind]
		return nil, f
	}
	return a, err
}

// benchNeeds says what each test at the bench must hold.
var benchNeeds = map[trial.Kind]string{
	trial.WarmPlate:   `an engine in the design, and both plates logged while the warm one slowly cools: meltspan trial import LOG DESIGN --kind "warm plate"`,
	trial.PlateHeater: `both plates logged until they are steady, and the heater's power: meltspan bench TRIAL --heater "1.2 W +- 0.02 W"`,
	trial.BlankMelt:   `the water that ran off, weighed twice at least: meltspan trial weigh TRIAL "1 h=20.1 g" "4 h=68.9 g"`,
}

// amend puts values into a design file.
func amend(name string, list []calibrate.Setting) error {
	text, err := os.ReadFile(name)
	if err != nil {
		return failed("a file that you may read", "cannot read %s: %v", quoted(name), cause(err))
	}
	var changes []design.Amendment
	for _, x := range list {
		changes = append(changes, design.Amendment{Path: x.Path, Value: strings.Replace(x.Value, "±", "+-", 1)})
	}
	changed, _, err := design.Amend(filepath.ToSlash(name), text, changes, beside(filepath.Dir(name)))
	if err != nil {
		return err
	}
	return writeFile(name, changed)
}
