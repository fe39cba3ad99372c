package cli

import (
	"fmt"
	"io"
	"time"

	"github.com/spf13/pflag"

	"meltspan/network"
	"meltspan/predict"
	"meltspan/record"
	"meltspan/report"
)

// runFlags are those of all commands that simulate.
type runFlags struct {
	json     bool
	quiet    bool
	pictures string
	hours    float64
}

// answerFlags are those of the commands that predict.
type answerFlags struct {
	runFlags
	samples int
	seed    uint64
}

const secondsPerHour = 3600

// Limits of the flags. A band from 5 % to 95 % needs 20 samples before its
// ends lie within them. Beyond the most samples and hours nothing changes but
// the time it takes; a year outlasts any store of this size.
const (
	leastSamples = 20
	mostSamples  = 200000
	mostHours    = 8760
)

// add declares the flags; own declares the command's own, which help shows
// among them.
func (f *runFlags) add(flags *pflag.FlagSet, pictures string, own func()) {
	jsonFlag(flags, &f.json)
	flags.StringVar(&f.pictures, "pictures", "", "write pictures into the folder `DIR`"+pictures)
	own()
	flags.Float64Var(&f.hours, "hours", network.DefaultHorizon/secondsPerHour, "simulate `H` hours at most")
	flags.BoolVar(&f.quiet, "quiet", false, "no progress and no notes, only the answer and errors")
}

// check looks at the values, and makes the folder for pictures.
func (f *runFlags) check(flags *pflag.FlagSet) error {
	switch {
	case !(f.hours > 0 && f.hours <= mostHours):
		return wrong(fmt.Sprintf("more than 0, up to %d, such as --hours %d", mostHours, network.DefaultHorizon/secondsPerHour),
			"--hours cannot be %v", f.hours)
	case flags.Changed("pictures"):
		return makeFolder(f.pictures)
	}
	return nil
}

// deliver writes an answer as JSON, or as it is shown with what there is to add, and
// its pictures where asked for.
func (s *session) deliver(f *runFlags, answer any, shown *record.Shown, added ...string) error {
	if f.json {
		report.JSON(s.out, answer) // a failure stays in s.out
	} else {
		shown.Text(s.out, s.units) // here too
		for _, text := range added {
			io.WriteString(s.out, text)
		}
	}
	if f.pictures == "" {
		return nil
	}
	return s.writePictures(f.pictures, shown.Pictures)
}

func (a *answerFlags) add(flags *pflag.FlagSet, pictures string, samples int) {
	a.runFlags.add(flags, ", as SVG and PNG: "+pictures, func() { a.addDraws(flags, samples) })
}

// addDraws declares the flags of the samples alone.
func (a *answerFlags) addDraws(flags *pflag.FlagSet, samples int) {
	flags.IntVar(&a.samples, "samples", samples, fmt.Sprintf("draw `N` samples of what is uncertain, %d to %d", leastSamples, mostSamples))
	flags.Uint64Var(&a.seed, "seed", predict.DefaultSeed, "draw the samples that belong to the number `N`; the same number, the same samples")
}

// check looks at the values, and makes the folder for pictures.
func (a *answerFlags) check(flags *pflag.FlagSet) error {
	switch {
	case a.samples < leastSamples || a.samples > mostSamples:
		return wrong(fmt.Sprintf("%d to %d; a band of %.0f %% needs %d at least", leastSamples, mostSamples, 100*predict.Probability, leastSamples),
			"--samples cannot be %d", a.samples)
	case a.seed == 0:
		return wrong("a whole number from 1 on, such as --seed 1", "--seed cannot be 0")
	}
	return a.runFlags.check(flags)
}

// options returns those of a prediction, and what takes the progress off the
// terminal once it is done.
func (s *session) options(a *answerFlags) (o predict.Options, clear func()) {
	s.quiet = a.quiet
	o = predict.Options{Samples: a.samples, Seed: a.seed, Horizon: a.hours * secondsPerHour}
	if a.quiet || !s.terminal {
		return o, func() {}
	}
	p := newProgress(s.err, time.Now)
	o.Progress = p.report
	return o, p.clear
}
