package cli

import (
	"fmt"
	"os"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"meltspan/design"
	"meltspan/next"
	"meltspan/predict"
	"meltspan/quantity"
	"meltspan/report"
)

// nextFlags are those of the next command.
type nextFlags struct {
	json    bool
	quiet   bool
	by      string
	draws   string
	samples int
	seed    uint64
	hours   float64
	worth   string
	unbuilt bool
	known   knownFlags
}

const mostRevisions = 9

func (s *session) nextCommand() *cobra.Command {
	var f nextFlags
	c := &cobra.Command{
		Use:   "next DESIGN [REVISION]...",
		Short: "rank the trials that could come next",
		Long: "Ranks candidate trials of a design by what they are expected to bring for each hour of print, freeze and run: " +
			"running it again with a clock, or with its plates logged; with a heater of known power on the top plate; " +
			"letting it melt without its engine and weighing the melt; a resistor in place of the engine; the engine on the " +
			"bench; and printing one of the REVISIONs. Says what each would settle, and when none is worth a day.\n\n" +
			"--by information ranks by how much narrower the run time's band becomes, that of the longest running of the " +
			"designs; --by run_time by the run time won in choosing among them.\n\n--learned takes what trials have taught so far, kept by \"meltspan calibrate\". " +
			"--draws takes it from a file of another program: CSV with a line of inputs (and perhaps weight) and one draw a line in SI units, or JSON with columns and " +
			"draws.\n\n" +
			"DESIGN and REVISION are files, demo or demo:NAME for a built-in example, or revisions that the notebook keeps, such as 95510764ea30.",
		Example: "  meltspan next demo\n  meltspan next design.yaml found/found-01.yaml found/found-06.yaml \\\n    --by run_time\n  meltspan next design.yaml --learned latest\n",
		Args:    arguments(1, 1+mostRevisions, "one design and up to nine revisions", `"meltspan next design.yaml", or "meltspan next design.yaml other.yaml"`),
		RunE: func(_ *cobra.Command, args []string) error {
			worth, err := f.check()
			if err != nil {
				return err
			}
			return s.next(args, &f, worth)
		},
	}
	f.add(c.Flags())
	return c
}

func (f *nextFlags) add(flags *pflag.FlagSet) {
	jsonFlag(flags, &f.json)
	flags.StringVar(&f.by, "by", string(next.ByInformation), "rank by `WHAT`: information or run_time, each per hour")
	flags.StringVar(&f.draws, "draws", "", "take what trials have taught from the `FILE` of draws")
	f.known.add(flags)
	flags.StringVar(&f.worth, "worth", "10 min", "a gain of `TIME` of run time is worth a day")
	flags.BoolVar(&f.unbuilt, "unprinted", false, "the stand of DESIGN is still to be printed")
	flags.IntVar(&f.samples, "samples", next.DefaultDraws, fmt.Sprintf("take `N` draws of what is uncertain, %d to %d", leastTrialDraws, mostSamples))
	flags.Uint64Var(&f.seed, "seed", predict.DefaultSeed, "draw the samples that belong to the number `N`; the same number, the same samples")
	flags.Float64Var(&f.hours, "hours", 48, "simulate `H` hours at most")
	flags.BoolVar(&f.quiet, "quiet", false, "no progress and no notes, only the answer and errors")
}

// leastTrialDraws keeps a regression on a trial's readings from fitting noise.
const leastTrialDraws = 100

// check looks at the values and returns what is worth a day, s.
func (f *nextFlags) check() (float64, error) {
	worth, err := quantity.Parse(f.worth, quantity.Time)
	switch {
	case err != nil || !(worth.SI > 0):
		return 0, wrong(`a time, such as --worth "10 min"`, "--worth cannot be %s", quoted(f.worth))
	case f.by != string(next.ByInformation) && f.by != string(next.ByRunTime):
		return 0, wrong(choice(f.by, []string{string(next.ByInformation), string(next.ByRunTime)}), "--by cannot be %s", quoted(f.by))
	case f.samples < leastTrialDraws || f.samples > mostSamples:
		return 0, wrong(fmt.Sprintf("%d to %d, such as --samples %d", leastTrialDraws, mostSamples, next.DefaultDraws), "--samples cannot be %d", f.samples)
	case f.seed == 0:
		return 0, wrong("a whole number from 1 on, such as --seed 1", "--seed cannot be 0")
	case !(f.hours > 0 && f.hours <= mostHours):
		return 0, wrong(fmt.Sprintf("more than 0, up to %d, such as --hours 48", mostHours), "--hours cannot be %v", f.hours)
	}
	return worth.SI, nil
}

func (s *session) next(args []string, f *nextFlags, worth float64) error {
	s.quiet = f.quiet
	var designs []*design.Design
	for _, name := range args {
		d, err := s.readAny(name, f.known.notebook)
		if err != nil {
			return err
		}
		designs = append(designs, d)
	}
	o := next.Options{Draws: f.samples, Seed: f.seed, Horizon: f.hours * secondsPerHour, By: next.By(f.by), Printed: !f.unbuilt, Worth: worth}
	if f.draws != "" && f.known.learned != "" {
		return wrong("one of the two", "--learned and --draws both say what trials have taught")
	}
	var err error
	if o.Known, err = s.known(&f.known, designs[0], f.seed); err != nil {
		return err
	}
	if f.draws != "" {
		text, err := os.ReadFile(f.draws)
		if err != nil {
			return failed("a file of draws that you may read", "cannot read %s: %v", quoted(f.draws), cause(err))
		}
		if o.Known, err = next.ParseDraws(text, designs[0]); err != nil {
			return wrong("draws of this design's uncertain inputs; see meltspan help next", "%s: %v", f.draws, err)
		}
	}
	clear := func() {}
	if !f.quiet && s.terminal {
		p := newProgress(s.err, time.Now)
		p.what = "draw"
		o.Progress, clear = p.report, p.clear
	}
	r, err := next.Rank(s.ctx, designs[0], designs[1:], o)
	clear()
	if err != nil {
		return err
	}
	if f.json {
		return report.JSON(s.out, r)
	}
	return report.NextText(s.out, s.units, r)
}
