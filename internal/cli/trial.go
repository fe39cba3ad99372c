package cli

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"meltspan/design"
	"meltspan/record"
	"meltspan/trial"
	"meltspan/trial/logfile"
)

func (s *session) trialCommand() *cobra.Command {
	return s.group("trial", "keep trials in a notebook, and look at them",
		"A trial is one run of one design in a real room. Trials are kept in a notebook, the file "+defaultNotebook+" in the working folder unless --notebook names another.",
		s.trialRecordCommand(), s.trialImportCommand(), s.trialListCommand(), s.trialShowCommand(), s.trialEventCommand(),
		s.trialAttachCommand(), s.trialChangeCommand(), s.trialExcludeCommand(), s.trialRemoveCommand(),
		s.trialCompareCommand(), s.liveCommand(), s.framesCommand(), s.spotCommand(), s.weighCommand())
}

// aboutFlags say what is known of a trial beside its logs.
type aboutFlags struct {
	notebook                      string
	name, kind, start, zone, note string
	set, event                    []string
	started, stalled, iceGone     string
	json                          bool
}

func (f *aboutFlags) add(flags *pflag.FlagSet) {
	notebookFlag(flags, &f.notebook)
	flags.StringVar(&f.name, "name", "", "call the trial `NAME` (\"trial 7\" unless given)")
	flags.StringVar(&f.kind, "kind", string(trial.Run), "what was run, `KIND`: "+strings.Join(texts(trial.Kinds()), ", "))
	flags.StringArrayVar(&f.set, "set", nil, "an input of the design as it was in this trial, in the design's notation: `PATH=VALUE`, such as \"store.mass=119.4 g +- 0.2 g\"; as often as needed")
	flags.StringVar(&f.start, "start", "", "the load was set on at `MOMENT`, such as \"2026-01-31 14:05\"")
	flags.StringVar(&f.zone, "zone", "", "time zone `ZONE` of moments that state none: UTC, +01:00, Europe/Berlin (the machine's unless given)")
	flags.StringVar(&f.started, "started", "", "it began to turn after `TIME`")
	flags.StringVar(&f.stalled, "stalled", "", "it stalled after `TIME`, such as \"6 h 40 min +- 1 min\", or at a moment when --start is given")
	flags.StringVar(&f.iceGone, "ice-gone", "", "the last ice was gone after `TIME`")
	flags.StringArrayVar(&f.event, "event", nil, "any event, `KIND=TIME`; kinds: "+strings.Join(texts(trial.EventKinds()), ", "))
	flags.StringVar(&f.note, "note", "", "free `TEXT`")
	jsonFlag(flags, &f.json)
}

func texts[T ~string](list []T) []string {
	var out []string
	for _, x := range list {
		out = append(out, string(x))
	}
	return out
}

// trial makes a trial of the flags, without series.
func (f *aboutFlags) trial() (trial.Trial, error) {
	t := trial.Trial{Name: f.name, Kind: trial.Kind(f.kind), Note: f.note, Start: math.NaN(), Zone: f.zone}
	if !slices.Contains(trial.Kinds(), t.Kind) {
		return t, wrong(choice(f.kind, texts(trial.Kinds())), "--kind cannot be %s", quoted(f.kind))
	}
	zone, err := zoneNamed(f.zone)
	if err != nil {
		return t, err
	}
	if f.start != "" {
		at, ok := logfile.ParseMoment(f.start, zone)
		if !ok {
			return t, wrong(`year first, such as --start "2026-01-31 14:05"`, "--start cannot be %s", quoted(f.start))
		}
		t.Start, t.Zone = at, record.ZoneText(f.zone, at)
	}
	if t.Settings, err = settings(nil, f.set); err != nil {
		return t, err
	}
	words := slices.Clone(f.event)
	for kind, when := range map[trial.EventKind]string{trial.Started: f.started, trial.Stalled: f.stalled, trial.IceGone: f.iceGone} {
		if when != "" {
			words = append(words, string(kind)+"="+when)
		}
	}
	slices.Sort(words)
	for _, word := range words {
		at := strings.Index(word, "=")
		if at < 0 {
			return t, wrong(`KIND=TIME, such as --event "drip seen=2 h"`, "--event cannot be %s", quoted(word))
		}
		kind, err := eventKind(word[:at])
		if err != nil {
			return t, err
		}
		e, err := record.Event(kind, word[at+1:], t.Start, zone)
		if err != nil {
			return t, settingFault(err)
		}
		t.Events = append(t.Events, e)
	}
	if err := t.Check(); err != nil {
		return t, wrong("times from setting on the load", "%v", err)
	}
	return t, nil
}

func zoneNamed(name string) (*time.Location, error) {
	zone, err := logfile.ParseZone(name)
	if err != nil {
		return nil, wrong("UTC, an offset such as +01:00, or a name such as Europe/Berlin", "--zone: %v", err)
	}
	return zone, nil
}

// settings reads words such as "store.mass=119.4 g" over those there are; a
// path without a value takes its setting out.
func settings(old []trial.Setting, words []string) ([]trial.Setting, error) {
	out := slices.Clone(old)
	for _, word := range words {
		path, value, found := strings.Cut(word, "=")
		path, value = strings.TrimSpace(path), strings.TrimSpace(value)
		if !found || path == "" {
			return nil, wrong(`PATH=VALUE, such as --set "store.mass=119.4 g"`, "--set cannot be %s", quoted(word))
		}
		out = slices.DeleteFunc(out, func(s trial.Setting) bool { return s.Path == path })
		if value != "" {
			out = append(out, trial.Setting{Path: path, Value: value})
		}
	}
	return out, nil
}

// eventKind reads a kind of event.
func eventKind(text string) (trial.EventKind, error) {
	kind := trial.EventKind(strings.TrimSpace(text))
	if !slices.Contains(trial.EventKinds(), kind) {
		return kind, wrong(choice(text, texts(trial.EventKinds())), "there is no event %s", quoted(text))
	}
	return kind, nil
}

// checkedAgainst sees to it that a trial's settings fit its design, or are
// inputs that some design has.
func checkedAgainst(t *trial.Trial, d *design.Design) error {
	if d != nil {
		_, err := t.Arranged(d)
		return settingFault(err)
	}
	for _, setting := range t.Settings {
		if _, err := design.Accessor(setting.Path); err != nil {
			return wrong("a path as in a design file, such as store.mass", "%v", err)
		}
	}
	return nil
}

// settingFault words what a design says of a setting.
func settingFault(err error) error {
	var p design.Problem
	if errors.As(err, &p) {
		return wrong(p.Right, "%s", p.What)
	}
	return err
}

// keptText tells under which number and name a trial is kept.
func keptText(number int64, name, notebook string) string {
	if name == fmt.Sprintf("trial %d", number) {
		return fmt.Sprintf("Kept as %s in %s.", name, notebook)
	}
	return fmt.Sprintf("Kept as trial %d, %s, in %s.", number, name, notebook)
}
