package cli

import (
	"context"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"meltspan/live"
	"meltspan/notebook"
	"meltspan/quantity"
	"meltspan/trial"
	"meltspan/trial/logfile"
)

// liveFlags are those of trial live.
type liveFlags struct {
	notebook, mapping, credentials, trust, duration, stallDifference string
	columns, topics, pulses                                          []string
	baud                                                             int
	ports, create, wait, dry, untilStall, json, quiet                bool
}

// listenFor is how long a dry run listens unless told.
const listenFor = 10 * time.Second

const liveExample = `"meltspan trial live 3 /dev/ttyUSB0"`

func (s *session) liveCommand() *cobra.Command {
	var f liveFlags
	c := &cobra.Command{
		Use:   "live TRIAL SOURCE",
		Short: "take readings from a serial port or an MQTT broker while a trial runs",
		Long: "Takes readings into a trial as they come, until Ctrl-C. They are on the disk at once, " +
			"so that a power cut costs the last one at most. A port that is unplugged, or a broker that restarts, is connected to again.\n\n" +
			"TRIAL is a number or a name. SOURCE is a serial port (/dev/ttyUSB0, COM3; --ports lists them), " +
			"a broker (mqtt://HOST or mqtts://HOST, with --topic), or - for lines on standard input.\n\n" +
			"Lines are JSON objects, key=value pairs, or CSV with a header; a payload of MQTT may also be a bare number, " +
			"whose key is its topic. What a key measures is guessed from its name and told at its first reading; " +
			"--column says it instead. Readings bear the time of their arrival.\n\n" +
			"--pulses makes speed of the pulses of a turning part: KEY=times, UNIT, N for the moments of pulses, " +
			"KEY=periods, UNIT, N for the time between them, KEY=counts, N for a counter, with N pulses to a revolution " +
			"and s, ms or us as the unit.\n\n" +
			"The stall is found from the speed, or else from the plate difference against the design's stall difference, " +
			"and written down with its uncertainty once it has lasted.\n\n" +
			"User and password of a broker come from the file of --credentials (two lines), or from " + userVariable + " and " +
			passwordVariable + "; never from the command line, which others can read.\n\n" +
			"Caution: do not leave a heater or hot water unattended because a program watches it. Keep mains leads and " +
			"chargers away from ice, melt and condensate, and lead a USB cable so that no drop runs along it into the computer.",
		Example: "  meltspan trial live 3 /dev/ttyUSB0\n" +
			"  meltspan trial live 3 COM3 --column \"T1=bottom plate, degF\" --baud 9600\n" +
			"  meltspan trial live 3 COM3 --pulses \"hall=times, ms, 2\" --until-stall\n" +
			"  meltspan trial live 3 mqtts://my.host --topic \"bench/#\" --credentials login\n" +
			"  meltspan trial live 3 /dev/ttyUSB0 --dry-run\n",
		Args: func(cmd *cobra.Command, args []string) error {
			if f.ports {
				return arguments(0, 0, "", `"meltspan trial live --ports"`)(cmd, args)
			}
			return arguments(2, 2, "a trial and a source", liveExample)(cmd, args)
		},
		RunE: func(_ *cobra.Command, args []string) error {
			if f.ports {
				return s.listPorts()
			}
			return s.live(args[0], args[1], &f)
		},
	}
	flags := c.Flags()
	notebookFlag(flags, &f.notebook)
	flags.StringArrayVar(&f.columns, "column", nil, "a key means `\"KEY=QUANTITY, UNIT, PLACE\"`; unit and place may be left out; KEY=none leaves it out")
	flags.StringVar(&f.mapping, "mapping", "", "take what keys mean from the mapping file `FILE`, as for a log; --column goes before it")
	flags.StringArrayVar(&f.pulses, "pulses", nil, "a key gives pulses: `\"KEY=times, ms, 2\"`")
	flags.StringArrayVar(&f.topics, "topic", nil, "hear the `TOPIC` of the broker; + stands for one level, # for all below")
	flags.IntVar(&f.baud, "baud", live.DefaultBaud, "rate of the serial port, in `BITS` per second")
	flags.StringVar(&f.credentials, "credentials", "", "user and password of the broker are the two lines of `FILE`")
	flags.StringVar(&f.trust, "trust", "", "trust the certificate in `FILE` (PEM), beside those the system trusts")
	flags.StringVar(&f.duration, "for", "", "end after `TIME`, such as \"8 h\"")
	flags.BoolVar(&f.untilStall, "until-stall", false, "end once the stall is written down")
	flags.StringVar(&f.stallDifference, "stall-difference", "", "the load stalls below `DIFFERENCE`, such as \"6 K +- 0.5 K\", in place of what its design says")
	flags.BoolVar(&f.create, "new", false, "make the trial, starting now, if there is none of that name")
	flags.BoolVar(&f.wait, "wait", false, "wait for a source that is not there yet")
	flags.BoolVar(&f.dry, "dry-run", false, "listen for 10 s, or as long as --for says, and keep nothing")
	flags.BoolVar(&f.ports, "ports", false, "list the serial ports of this computer")
	jsonFlag(flags, &f.json)
	flags.BoolVar(&f.quiet, "quiet", false, "no status line and no notes, only the answer and errors")
	return c
}

func (s *session) listPorts() error {
	ports, err := live.Ports()
	switch {
	case err != nil:
		return failed("", "cannot list the serial ports: %v", err)
	case len(ports) == 0:
		fmt.Fprintln(s.out, "There are no serial ports.")
	}
	for _, p := range ports {
		fmt.Fprintln(s.out, p)
	}
	return nil
}

func (s *session) live(called, source string, f *liveFlags) error {
	s.quiet = f.quiet
	clock := live.NewClock()
	heard, pause, err := s.source(source, f, clock)
	if err != nil {
		return err
	}
	in := &live.Intake{Source: heard.Name(), Clock: clock, Watch: true}
	if in.Columns, in.Rotors, err = meanings(f); err != nil {
		return err
	}
	lasts, err := f.lasts()
	if err != nil {
		return err
	}
	n, id, done, err := s.liveTrial(called, f)
	if err != nil {
		return err
	}
	defer done()
	in.Notebook, in.Trial = n, id
	t, err := n.Head(s.ctx, id)
	if err != nil {
		return err
	}
	if in.Stalling, err = s.stalling(n, &t.Trial, f.stallDifference); err != nil {
		return err
	}
	in.Watch = t.Trial.Kind == trial.Run
	return s.listen(in, heard, pause, lasts, f)
}

// lasts is how long to listen; 0 without end.
func (f *liveFlags) lasts() (time.Duration, error) {
	if f.duration == "" {
		if f.dry {
			return listenFor, nil
		}
		return 0, nil
	}
	v, err := parseFlag("for", f.duration, quantity.Time)
	if err == nil && !(v.SI > 0 && v.SI <= mostHours*secondsPerHour) {
		err = wrong(`more than 0, up to a year, such as --for "8 h"`, "--for cannot be %s", quoted(f.duration))
	}
	return time.Duration(v.SI * float64(time.Second)), err
}

// liveTrial opens the notebook and finds or makes the trial. A dry run works
// on a notebook of its own, which done takes away.
func (s *session) liveTrial(called string, f *liveFlags) (n *notebook.Notebook, id int64, done func(), err error) {
	file := f.notebook
	if f.dry {
		folder, err := os.MkdirTemp("", "meltspan-*")
		if err != nil {
			return nil, 0, nil, failed("", "cannot make a folder for the dry run: %v", cause(err))
		}
		done = func() { os.RemoveAll(folder) }
		file = filepath.Join(folder, defaultNotebook)
	} else {
		done = func() {}
	}
	if f.create || f.dry {
		n, err = notebook.Open(s.ctx, file)
	} else {
		n, err = s.openNotebook(file)
	}
	if err != nil {
		done()
		return nil, 0, nil, err
	}
	clear := done
	done = func() {
		n.Close()
		clear()
	}
	switch {
	case f.dry:
		id, err = n.CreateTrial(s.ctx, trial.Trial{Kind: trial.Run, Start: now()})
	case f.create && !known(s.ctx, n, called):
		id, err = n.CreateTrial(s.ctx, trial.Trial{Name: called, Kind: trial.Run, Start: now(), Zone: time.Now().Format("-07:00")})
	default:
		id, err = n.Find(s.ctx, called)
	}
	if err != nil {
		done()
		return nil, 0, nil, err
	}
	return n, id, done, nil
}

func known(ctx context.Context, n *notebook.Notebook, called string) bool {
	_, err := n.Find(ctx, called)
	return err == nil
}

func now() float64 { return float64(time.Now().UnixMilli()) / 1000 }

// listen runs source and intake until the user, the time or the stall ends it.
func (s *session) listen(in *live.Intake, heard live.Source, pause live.Wait, lasts time.Duration, f *liveFlags) error {
	ctx, cancel := context.WithCancel(s.ctx)
	defer cancel()
	if lasts > 0 {
		time.AfterFunc(lasts, cancel)
	}
	screen := newScreen(s)
	var last live.Status
	in.Tell = screen.tell
	in.Show = func(status live.Status) {
		last = status
		screen.show(status)
		if f.untilStall && status.Stalled != nil {
			cancel()
		}
	}
	began := time.Now()
	messages, changes := make(chan live.Message, 1024), make(chan live.Change, 16)
	listened := make(chan error, 1)
	go func() {
		err := live.Listen(ctx, heard, pause, f.wait,
			func(m live.Message) {
				select {
				case messages <- m:
				case <-ctx.Done():
				}
			},
			func(c live.Change) {
				select {
				case changes <- c:
				case <-ctx.Done():
				}
			})
		listened <- err
		close(messages)
	}()
	err := in.Run(ctx, messages, changes)
	cancel()
	screen.clear()
	if cause := <-listened; cause != nil {
		return sourceFault(heard, cause)
	}
	if err != nil {
		return err
	}
	return s.liveReport(in, last, time.Since(began), f)
}

// sourceFault is about a source that could not be connected to at all.
func sourceFault(heard live.Source, err error) error {
	if errors.Is(err, live.ErrPort) {
		right := "plug it in first, or --wait for it"
		if ports, e := live.Ports(); e == nil && len(ports) > 0 {
			right += "; there are " + strings.Join(ports, ", ")
		}
		return wrong(right, "there is no serial port %s", quoted(heard.Name()))
	}
	return failed("", "%v", err)
}

// meanings reads what the user says of keys.
func meanings(f *liveFlags) ([]logfile.Column, []live.Rotor, error) {
	var columns []logfile.Column
	for _, text := range f.columns {
		c, err := logfile.ParseColumn(text)
		if err != nil {
			return nil, nil, err
		}
		columns = append(columns, c)
	}
	if f.mapping != "" {
		text, err := readPlain(f.mapping, 1<<20)
		if err != nil {
			return nil, nil, err
		}
		m, err := logfile.ParseMapping(f.mapping, text)
		if err != nil {
			return nil, nil, err
		}
		columns = append(columns, m.Columns...)
	}
	var rotors []live.Rotor
	for _, text := range f.pulses {
		r, err := parseRotor(text)
		if err != nil {
			return nil, nil, err
		}
		rotors = append(rotors, r)
	}
	return columns, rotors, nil
}

// age words how long ago something was.
func age(seconds float64) string {
	switch {
	case math.IsNaN(seconds):
		return "nothing heard yet"
	case seconds < 9.95:
		return fmt.Sprintf("%.1f s ago", max(seconds, 0))
	}
	return quantity.FormatDuration(seconds) + " ago"
}
