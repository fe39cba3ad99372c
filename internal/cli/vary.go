package cli

import (
	"fmt"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"meltspan/predict"
	"meltspan/record"
)

// varyFlags are those of the vary command.
type varyFlags struct {
	answerFlags
	steps int
}

const varyExample = `"meltspan vary design.yaml stand.wall.skin '0.8 mm' '2 mm'"`

func (s *session) varyCommand() *cobra.Command {
	var f varyFlags
	c := &cobra.Command{
		Use:   "vary DESIGN INPUT FROM TO",
		Short: "run time along one input, or over two",
		Long: "Runs a design with one of its inputs at several values between FROM and TO, all on the same draws of " +
			"everything else, and says where the run time is longest, where its band reaches down least, and where " +
			"the device comes to stall early. With a second INPUT FROM TO it does so for all combinations of two.\n\n" +
			"INPUT is a key of the design with its sections, such as stand.wall.skin or store.mass. FROM and TO are " +
			"written as in a design, with the unit: \"0.8 mm\", \"-12 degC\", 3. Values are evenly spaced, or in equal " +
			"ratios where the ends are a factor of 20 or more apart; counts take every whole number unless --steps " +
			"asks for fewer; the design's own value is put in where it lies between. An input keeps the spread it has " +
			"in the design.\n\n" +
			"DESIGN is a file, - for standard input, or demo or demo:NAME for a built-in example.",
		Example: "  meltspan vary demo stand.wall.cavities 0 4\n" +
			"  meltspan vary design.yaml store.temperature \"-18 degC\" \"-2 degC\"\n" +
			"  meltspan vary demo stand.wall.skin \"1 mm\" \"2 mm\" stand.wall.cavities 1 3\n",
		RunE: func(cmd *cobra.Command, args []string) error {
			args = joinUnits(args)
			if err := varyArguments(args); err != nil {
				return err
			}
			if err := f.check(cmd.Flags()); err != nil {
				return err
			}
			return s.vary(args, &f, cmd.Flags().Changed("steps"))
		},
	}
	flags := c.Flags()
	flags.IntVar(&f.steps, "steps", predict.DefaultSteps, fmt.Sprintf("take `N` values of each input, %d to %d; %d where there are two inputs", predict.LeastSteps, predict.MostSteps, predict.DefaultMapSteps))
	f.add(flags, "run time along the input, or a map over two", predict.DefaultVarySamples)
	return c
}

func (f *varyFlags) check(flags *pflag.FlagSet) error {
	if f.steps < predict.LeastSteps || f.steps > predict.MostSteps {
		return wrong(fmt.Sprintf("%d to %d, such as --steps %d", predict.LeastSteps, predict.MostSteps, predict.DefaultSteps), "--steps cannot be %d", f.steps)
	}
	return f.answerFlags.check(flags)
}

// varyArguments asks for a design and one or two inputs with both ends.
func varyArguments(args []string) error {
	switch n := len(args); {
	case n == 0:
		return wrong(varyExample, "vary needs a design, an input, and the two ends of its range")
	case n == 1:
		return wrong(varyExample, "vary needs an input and the two ends of its range, and got only the design %s", quoted(args[0]))
	case n == 4 || n == 7:
		return nil
	case n > 7:
		return wrong(varyExample, "vary takes two inputs at most, and got %s as well", quoted(args[7]))
	case n%3 == 2:
		return wrong(varyExample, "the range of %s has no ends", quoted(args[n-1]))
	}
	return wrong(varyExample, "the range of %s has one end only, %s", quoted(args[len(args)-2]), quoted(args[len(args)-1]))
}

func (s *session) vary(args []string, f *varyFlags, counted bool) error {
	o, clear := s.options(&f.answerFlags)
	d, err := s.read(args[0])
	if err != nil {
		return err
	}
	var ranges [][3]string
	for i := 1; i < len(args); i += 3 {
		ranges = append(ranges, [3]string(args[i:i+3]))
	}
	steps := 0
	if counted {
		steps = f.steps
	}
	knobs, values, err := predict.Along(d, ranges, steps)
	if err != nil {
		return asFault(err)
	}
	v, err := predict.Vary(s.ctx, d, knobs, values, o)
	clear()
	if v == nil {
		return err
	}
	if err := s.deliver(&f.runFlags, v, record.OfVariation(v)); err != nil {
		return err
	}
	return interrupted(err, predict.Band{Samples: v.Samples, Asked: v.Asked})
}
