package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"strconv"
	"strings"

	"github.com/spf13/pflag"

	"meltspan/calibrate"
	"meltspan/design"
	"meltspan/notebook"
	"meltspan/predict"
	"meltspan/record"
	"meltspan/report"
)

// learnFlags are those of all commands that learn from trials.
type learnFlags struct {
	notebook string
	pictures string
	json     bool
	quiet    bool
	seed     uint64
}

func (f *learnFlags) add(flags *pflag.FlagSet, pictures string) {
	notebookFlag(flags, &f.notebook)
	jsonFlag(flags, &f.json)
	flags.StringVar(&f.pictures, "pictures", "", "write pictures into the folder `DIR`, as SVG and PNG: "+pictures)
	f.addSeed(flags)
}

func (f *learnFlags) addSeed(flags *pflag.FlagSet) {
	flags.Uint64Var(&f.seed, "seed", 1, "draw what belongs to the number `N`; the same number, the same answer")
	flags.BoolVar(&f.quiet, "quiet", false, "no progress and no notes, only the answer and errors")
}

func (f *learnFlags) check(flags *pflag.FlagSet) error {
	switch {
	case f.seed == 0:
		return wrong("a whole number from 1 on, such as --seed 1", "--seed cannot be 0")
	case flags.Changed("pictures"):
		return makeFolder(f.pictures)
	}
	return nil
}

// within checks a count that the user gave.
func within(name string, n, least, most int) error {
	if n < least || n > most {
		return wrong(fmt.Sprintf("%d to %d", least, most), "--%s cannot be %d", name, n)
	}
	return nil
}

// keptCase is a trial of the notebook with its design.
type keptCase struct {
	calibrate.Case
	number int64
}

// caseOf reads a trial and its design.
func (s *session) caseOf(n *notebook.Notebook, called string) (keptCase, error) {
	id, err := n.Find(s.ctx, called)
	if err != nil {
		return keptCase{}, err
	}
	c, err := record.Case(s.ctx, n, id)
	return keptCase{c, id}, settingFault(err)
}

// casesOf reads several; each once.
func (s *session) casesOf(n *notebook.Notebook, called []string) ([]keptCase, error) {
	var out []keptCase
	for _, name := range called {
		c, err := s.caseOf(n, name)
		if err != nil {
			return nil, err
		}
		for _, other := range out {
			if other.number == c.number {
				return nil, wrong("each trial once", "%s is trial %d, which is named already", quoted(name), c.number)
			}
		}
		out = append(out, c)
	}
	return out, nil
}

// withCases opens the notebook at trials by number or name, and closes it when
// the work is done.
func (s *session) withCases(f *learnFlags, called []string, do func(n *notebook.Notebook, cases []keptCase) error) (err error) {
	s.quiet = f.quiet
	n, err := s.openNotebook(f.notebook)
	if err != nil {
		return err
	}
	defer closing(n, &err)
	cases, err := s.casesOf(n, called)
	if err != nil {
		return err
	}
	return do(n, cases)
}

func bare(cases []keptCase) []calibrate.Case {
	out := make([]calibrate.Case, len(cases))
	for i := range cases {
		out[i] = cases[i].Case
	}
	return out
}

// usedTrial is what a result says of a trial that went into it.
type usedTrial struct {
	Number   int64    `json:"number"`
	Name     string   `json:"name"`
	Kind     string   `json:"kind"`
	Revision string   `json:"revision"`
	Settings []string `json:"settings,omitempty"`
	Events   []string `json:"events,omitempty"`
	Series   []string `json:"series,omitempty"` // quantity and number of samples that counted
}

func usedTrials(cases []keptCase) []usedTrial {
	var out []usedTrial
	for _, c := range cases {
		u := usedTrial{Number: c.number, Name: c.Trial.Name, Kind: string(c.Trial.Kind), Revision: c.Design.Revision()}
		for _, x := range c.Trial.Settings {
			u.Settings = append(u.Settings, x.Path+" = "+x.Value)
		}
		for _, e := range c.Trial.Events {
			u.Events = append(u.Events, fmt.Sprintf("%s at %g s +- %g s", e.Kind, e.Time, e.Uncertainty))
		}
		for i := range c.Trial.Series {
			times, _ := c.Trial.Series[i].Good()
			u.Series = append(u.Series, fmt.Sprintf("%s: %d", c.Trial.Series[i].Quantity, len(times)))
		}
		out = append(out, u)
	}
	return out
}

// keepResult keeps what was worked out from trials, with all that made it: also
// after an interruption.
func (s *session) keepResult(n *notebook.Notebook, kind string, cases []keptCase, options, payload any) (int64, error) {
	r := notebook.Result{Kind: kind, Code: codeVersion()}
	revision := cases[0].Design.Revision()
	for _, c := range cases {
		r.Trials = append(r.Trials, c.number)
		if c.Design.Revision() != revision {
			revision = "" // of several designs: each stands with its trial
		}
	}
	r.Revision = revision
	var inputs, text bytes.Buffer
	if err := report.JSON(&inputs, map[string]any{"trials": usedTrials(cases), "options": options}); err != nil {
		return 0, err
	}
	if err := report.JSON(&text, payload); err != nil {
		return 0, err
	}
	r.Inputs, r.Payload = json.RawMessage(inputs.Bytes()), json.RawMessage(text.Bytes())
	return n.Keep(context.WithoutCancel(s.ctx), r)
}

// latestName names the newest calibration of a notebook.
const latestName = "latest"

const learnedUsage = "take what trials taught from the `CALIBRATION`: its number in the notebook, latest, or a file that calibrate --json wrote"

// learnt is a calibration and where it comes from.
type learnt struct {
	*calibrate.Posterior
	key  string // its number in the notebook, or the file
	from string // in words
}

// learned finds a calibration: by its number in the notebook, the latest, or
// from a file.
func (s *session) learned(called, name string) (_ *learnt, err error) {
	number, numberErr := strconv.ParseInt(called, 10, 64)
	if called != latestName && numberErr != nil {
		return s.learnedFrom(called)
	}
	n, err := s.openNotebook(name)
	if err != nil {
		return nil, err
	}
	defer closing(n, &err)
	list, err := n.Results(s.ctx, notebook.Calibration)
	if err != nil {
		return nil, err
	}
	var numbers []string
	for i := len(list) - 1; i >= 0; i-- {
		r := &list[i]
		numbers = append([]string{strconv.FormatInt(r.ID, 10)}, numbers...)
		if called != latestName && r.ID != number {
			continue
		}
		p := &calibrate.Posterior{}
		if err := report.ReadJSON(r.Payload, p); err != nil {
			return nil, fmt.Errorf("calibration %d in %s: %w", r.ID, name, err)
		}
		if called == latestName && p.Sampling.Interrupted {
			continue
		}
		if err := p.Valid(); err != nil {
			return nil, fmt.Errorf("calibration %d in %s cannot be used: %w", r.ID, name, err)
		}
		return &learnt{p, numbers[0], fmt.Sprintf("calibration %d in %s, of %s", r.ID, name, trialNames(p))}, nil
	}
	if len(numbers) == 0 {
		return nil, wrong(`"meltspan calibrate TRIAL" keeps one`, "there is no calibration in %s", name)
	}
	return nil, wrong("one of "+strings.Join(numbers, ", ")+", or "+latestName, "there is no calibration %s in %s", called, name)
}

func trialNames(p *calibrate.Posterior) string {
	var names []string
	for _, t := range p.Trials {
		names = append(names, t.Name)
	}
	return strings.Join(names, ", ")
}

// learnedFrom reads a calibration from a file.
func (s *session) learnedFrom(file string) (*learnt, error) {
	const right = `the number of a calibration, latest, or a file that "meltspan calibrate --json" wrote`
	text, err := os.ReadFile(file)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, wrong(right, "there is no calibration or file %s", quoted(file))
	case err != nil:
		return nil, failed("a file that you may read", "cannot read %s: %v", quoted(file), cause(err))
	}
	var a calibrationAnswer
	if err := report.ReadJSON(text, &a); err != nil {
		return nil, wrong(right, "%s: %v", file, err)
	}
	if a.Calibration == nil {
		return nil, wrong(right, "%s holds no calibration", file)
	}
	if err := a.Calibration.Valid(); err != nil {
		return nil, wrong(right, "%s: %v", file, err)
	}
	return &learnt{a.Calibration, file, fmt.Sprintf("the calibration in %s, of %s", file, trialNames(a.Calibration))}, nil
}

// knownFlags name a calibration where a design is given.
type knownFlags struct{ learned, notebook string }

func (f *knownFlags) add(flags *pflag.FlagSet) {
	flags.StringVar(&f.learned, "learned", "", learnedUsage)
	flags.StringVar(&f.notebook, "notebook", defaultNotebook, "the calibration is in the notebook `FILE`")
}

// known is what a calibration says of the inputs of a design; nil when none was
// named.
func (s *session) known(f *knownFlags, d *design.Design, seed uint64) (*predict.Draws, error) {
	if f.learned == "" {
		return nil, nil
	}
	p, err := s.learned(f.learned, f.notebook)
	if err != nil {
		return nil, err
	}
	draws, err := p.Known(d, seed)
	if err != nil {
		return nil, wrong("a design that shares something with those tried", "%v", err)
	}
	draws.From = p.from
	if text := unlikeText(p.Unlike(d)); text != "" {
		s.note("%s", s.units.Restate(text))
	}
	return draws, nil
}

// unlikeText tells of inputs that are stated otherwise than where they were
// learned; "" for none.
func unlikeText(list []string) string {
	if len(list) == 0 {
		return ""
	}
	return "Stated otherwise than where it was learned: " + strings.Join(list, "; ") +
		". What trials taught of such an input is carried over as so many standard deviations from what is stated, which is rough. " +
		"Better: state it in the trials too (meltspan trial change TRIAL --set PATH=VALUE) and calibrate anew."
}
