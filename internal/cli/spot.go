package cli

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"meltspan/quantity"
	"meltspan/trial"
)

// spotFlags are those of trial spot.
type spotFlags struct {
	readingFlags
	emissivity, set, reflected, setReflected string
}

func (s *session) spotCommand() *cobra.Command {
	var f spotFlags
	c := &cobra.Command{
		Use:   "spot TRIAL [TIME=]TEMPERATURE ...",
		Short: "put spot readings of a thermal camera into a trial",
		Long: "Puts temperatures that a thermal camera shows at a spot into a trial. Where the spot's emissivity is not " +
			"the one the camera was set to, the reading is corrected for it and for what the spot reflects; the answer " +
			"shows both. Bare metal shows the room more than itself: put tape or paint on it, and read that.\n\n" + readingNote,
		Example: "  meltspan trial spot 3 \"17.4 degC\" --place \"top plate, tape\"\n" +
			"  meltspan trial spot 3 19.8degC --place rim --emissivity 0.9 --reflected 22degC\n",
		Args: atLeast(2, "a trial and a temperature", `"meltspan trial spot 3 '17.4 degC' --place rim"`),
		RunE: func(cmd *cobra.Command, args []string) error {
			if f.place == "" {
				return wrong(`such as --place "rim"`, "a spot needs its place")
			}
			reading, corrected, err := f.reading()
			if err != nil {
				return err
			}
			series := trial.Series{Quantity: trial.Spot, Place: f.place, Source: f.source(corrected), Emissivity: reading.Emissivity}
			return s.typeIn(args, &f.readingFlags, &series, func(v quantity.Value) (quantity.Value, string, error) {
				if !corrected {
					return v, "", nil
				}
				reading.Shown, reading.ShownUncertainty = v.SI, v.Spread
				temperature, uncertainty, err := reading.Corrected()
				shown := quantity.Format(v.SI, quantity.Temperature, 3)
				if errors.Is(err, trial.ErrSpot) {
					return v, "", wrong("look at the emissivities and at what is reflected", "%s: %v", shown, err)
				}
				return quantity.Value{SI: temperature, Spread: uncertainty}, "the camera showed " + shown, err
			})
		},
	}
	flags := c.Flags()
	f.add(flags, "where the spot is: `PLACE`, in your words")
	flags.StringVar(&f.set, "set-emissivity", "0.95", "the camera was set to the emissivity `E`")
	flags.StringVar(&f.emissivity, "emissivity", "", "the spot has the emissivity `E`, such as \"0.9 +- 0.03\" (as set unless given)")
	flags.StringVar(&f.reflected, "reflected", "", "the spot reflects surroundings of `TEMPERATURE`, such as \"22 degC +- 1 K\"")
	flags.StringVar(&f.setReflected, "set-reflected", "", "the camera was set to surroundings of `TEMPERATURE` (as reflected unless given)")
	return c
}

// reading reads what is stated of camera and spot, and whether there is
// anything to correct.
func (f *spotFlags) reading() (r trial.SpotReading, corrected bool, err error) {
	parse := func(name, text string, kind quantity.Kind) (v quantity.Value) {
		if err == nil && text != "" {
			v, err = parseFlag(name, text, kind)
		}
		return v
	}
	set := parse("set-emissivity", f.set, quantity.Fraction)
	own := parse("emissivity", f.emissivity, quantity.Fraction)
	reflected := parse("reflected", f.reflected, quantity.Temperature)
	setReflected := parse("set-reflected", f.setReflected, quantity.Temperature)
	if f.emissivity == "" {
		own = set
	}
	if f.setReflected == "" {
		setReflected = reflected
	}
	r = trial.SpotReading{SetEmissivity: set.SI, SetReflected: setReflected.SI, Emissivity: own.SI, EmissivityUncertainty: own.Spread,
		Reflected: reflected.SI, ReflectedUncertainty: reflected.Spread}
	corrected = own.SI != set.SI || own.Spread > 0 || setReflected.SI != reflected.SI
	switch {
	case err != nil:
	case !(set.SI > 0 && set.SI <= 1) || !(own.SI > 0 && own.SI <= 1):
		err = wrong("more than 0, up to 1", "an emissivity cannot be %g", min(set.SI, own.SI))
	case corrected && f.reflected == "":
		err = wrong(`such as --reflected "22 degC"; the room's, indoors`, "a correction needs to know what the spot reflects")
	}
	return r, corrected, err
}

// source says how the values came about.
func (f *spotFlags) source(corrected bool) string {
	if !corrected {
		return "thermal camera, as shown"
	}
	setReflected := f.setReflected
	if setReflected == "" {
		setReflected = f.reflected
	}
	own := f.emissivity
	if own == "" {
		own = f.set
	}
	return fmt.Sprintf("thermal camera, corrected from emissivity %s and surroundings of %s to %s and %s", f.set, setReflected, own, f.reflected)
}
