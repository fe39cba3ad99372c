package cli

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"meltspan/design"
	"meltspan/predict"
	"meltspan/record"
	"meltspan/search"
)

// searchFlags are those of the search command.
type searchFlags struct {
	answerFlags
	file       string
	choose     []string
	hold       []string
	aim        []string
	quantile   string
	candidates int
	write      string
	sharing    shareFlags
}

// Limits of the flags.
const (
	leastCandidates = 10
	mostCandidates  = 1_000_000 // each is remembered
)

const searchExample = `"meltspan search design.yaml stand.cup.diameter '70 mm' '90 mm' stand.wall.cavities 1 4"`

func (s *session) searchCommand() *cobra.Command {
	var f searchFlags
	c := &cobra.Command{
		Use:   "search DESIGN [INPUT FROM TO]...",
		Short: "find the design worth printing next",
		Long: "Varies inputs of a design within bounds and finds the design of longest run time among those that keep what " +
			"must hold, or, with more than one --aim, the front of designs none of which is beaten in every respect. Designs " +
			"are ranked by a low quantile of their run time on common draws of all that is uncertain, not by the mean alone; " +
			"the best is followed once more on other draws and on the fine section of the stand.\n\n" +
			"INPUT FROM TO is written as for vary. Besides the keys of a design, INPUT may be " + strings.Join(search.InputPaths()[:3], ", ") +
			", which move the outside of the body. --choose varies a word: stand.material=pla,petg, stand.contact.mode, or " +
			search.Top + "=closed,open. --hold says what must hold: " + strings.Join(search.LimitNames(), ", ") +
			". That the stand prints (walls as thick as nozzle and watertightness need), that the ice comes out, that the plate has 1 mm to lie on, and that a tray, " +
			"where there is one, holds melt and condensate is asked for unless switched off: --hold printable=no.\n\n" +
			"--file reads the same from a search file:\n\n" +
			"  search: 1\n  vary:\n    stand.cup.diameter: 70 mm to 90 mm\n    stand.material: [pla, petg]\n  hold:\n    envelope: 120 mm x 40 mm\n" +
			"    dry_at: 60 %\n    print_time: 6 h\n  aim: [run_time, print_time]\n  quantile: 5 %\n\n" +
			"DESIGN is a file, - for standard input, or demo or demo:NAME for a built-in example.",
		Example: "  meltspan search demo stand.cup.diameter \"74 mm\" \"90 mm\" \\\n    stand.wall.cavities 1 4\n" +
			"  meltspan search design.yaml --file search.yaml --write found --pictures found\n" +
			"  meltspan search design.yaml --file search.yaml --candidates 200000 --share\n",
		RunE: func(cmd *cobra.Command, args []string) error {
			args = joinUnits(args)
			if err := searchArguments(args, &f); err != nil {
				return err
			}
			if err := f.check(cmd.Flags()); err != nil {
				return err
			}
			return s.search(args, &f, cmd.Flags())
		},
	}
	flags := c.Flags()
	flags.StringVar(&f.file, "file", "", "read what varies, what must hold and what is wanted from the search file `FILE`")
	flags.StringArrayVar(&f.choose, "choose", nil, "vary a word: `INPUT=WORD,WORD`")
	flags.StringArrayVar(&f.hold, "hold", nil, "what must hold: `NAME=VALUE`, such as print_time=\"6 h\"")
	flags.StringSliceVar(&f.aim, "aim", nil, "what is wanted: `AIM,AIM` of run_time, print_time, freeze_time, material, sweat")
	flags.StringVar(&f.quantile, "quantile", "5 %", "rank by this quantile of the run time, `Q`")
	flags.IntVar(&f.candidates, "candidates", search.DefaultCandidates, fmt.Sprintf("screen `N` candidates, %d to %d", leastCandidates, mostCandidates))
	flags.StringVar(&f.write, "write", "", "write the found designs into the folder `DIR`")
	f.sharing.add(flags)
	f.add(flags, "run time over the other aims", search.DefaultSamples)
	return c
}

func (f *searchFlags) check(flags *pflag.FlagSet) error {
	if f.candidates < leastCandidates || f.candidates > mostCandidates {
		return wrong(fmt.Sprintf("%d to %d, such as --candidates %d", leastCandidates, mostCandidates, search.DefaultCandidates), "--candidates cannot be %d", f.candidates)
	}
	if flags.Changed("write") {
		if err := makeFolder(f.write); err != nil {
			return err
		}
	}
	if err := f.sharing.check(flags); err != nil {
		return err
	}
	return f.answerFlags.check(flags)
}

// searchArguments asks for a design, and for inputs with both ends each.
func searchArguments(args []string, f *searchFlags) error {
	switch n := len(args); {
	case n == 0:
		return wrong(searchExample, "search needs a design, and what may vary in it")
	case n == 1 && f.file == "" && len(f.choose) == 0:
		return wrong(searchExample+", or --file search.yaml", "search needs to know what may vary in %s", quoted(args[0]))
	case n%3 == 2:
		return wrong(searchExample, "the range of %s has no ends", quoted(args[n-1]))
	case n%3 == 0:
		return wrong(searchExample, "the range of %s has one end only, %s", quoted(args[n-2]), quoted(args[n-1]))
	}
	return nil
}

func (s *session) search(args []string, f *searchFlags, flags *pflag.FlagSet) error {
	s.quiet = f.quiet
	d, err := s.read(args[0])
	if err != nil {
		return err
	}
	p, err := s.problem(d, args, f, flags)
	if err != nil {
		return err
	}
	o := search.Options{Candidates: f.candidates, Seed: f.seed, Samples: f.samples}
	unshare, err := s.share(&f.sharing, &o)
	if err != nil {
		return err
	}
	clear := s.searchProgress(&o)
	r, err := p.Run(s.ctx, o)
	clear()
	unshare()
	if r == nil || err != nil && r.Tried == 0 && s.ctx.Err() == nil {
		return err // nothing to show
	}
	return s.deliverSearch(r, f, err)
}

// deliverSearch writes what was found, whole or not.
func (s *session) deliverSearch(r *search.Result, f *searchFlags, err error) error {
	files, failed := writeFound(r, f.write)
	if failed != nil {
		return failed
	}
	if failed := s.deliver(&f.runFlags, r, record.OfSearch(r, files)); failed != nil {
		return failed
	}
	switch {
	case err != nil && s.ctx.Err() == nil: // such as a server that was lost: what was found is shown
		return err
	case err != nil:
		return &fault{exitInterrupted, fmt.Sprintf("interrupted: %d of %d candidates were screened; what was found until then stands above", r.Tried, r.Asked), ""}
	}
	return nil
}

// problem puts together what file and flags say; flags come after the file.
func (s *session) problem(d *design.Design, args []string, f *searchFlags, flags *pflag.FlagSet) (*search.Problem, error) {
	spec := &search.File{Limits: search.UsualLimits(d)}
	if f.file != "" {
		text, err := os.ReadFile(f.file)
		if err != nil {
			return nil, failed("a search file that you may read", "cannot read %s: %v", quoted(f.file), cause(err))
		}
		if spec, err = search.ParseFile(filepath.ToSlash(f.file), text, d); err != nil {
			return nil, err
		}
	}
	add := func(in search.Input, err error) error {
		if err == nil {
			spec.Inputs = append(spec.Inputs, in)
		}
		return err
	}
	for i := 1; i < len(args); i += 3 {
		if err := add(search.ParseRange(d, args[i], args[i+1], args[i+2])); err != nil {
			return nil, asFault(err)
		}
	}
	for _, text := range f.choose {
		path, words, found := strings.Cut(text, "=")
		if !found {
			return nil, wrong("such as --choose stand.material=pla,petg", "--choose cannot be %s", quoted(text))
		}
		if err := add(search.NewChoice(d, path, strings.Split(words, ","))); err != nil {
			return nil, wrong("words that the key may hold, such as --choose stand.material=pla,petg", "%v", err)
		}
	}
	for _, text := range f.hold {
		name, value, found := strings.Cut(text, "=")
		if !found {
			return nil, wrong(`such as --hold print_time="6 h"`, "--hold cannot be %s", quoted(text))
		}
		if err := spec.Limits.Set(name, value); err != nil {
			return nil, asFault(err)
		}
	}
	if flags.Changed("aim") {
		aims, err := search.ParseAims(f.aim)
		if err != nil {
			return nil, asFault(err)
		}
		spec.Aims = aims
	}
	if flags.Changed("quantile") || spec.Quantile == 0 {
		q, err := search.ParseQuantile(f.quantile)
		if err != nil {
			return nil, asFault(err)
		}
		spec.Quantile = q
	}
	if err := predict.CheckQuantile(spec.Quantile, f.samples); err != nil {
		return nil, wrong("more --samples, or a quantile nearer to the middle", "%v", err)
	}
	p, err := search.NewProblem(d, spec.Inputs, spec.Limits, spec.Aims, spec.Quantile, f.hours*secondsPerHour)
	if err != nil {
		return nil, wrong(searchExample, "%v", err)
	}
	return p, nil
}

// asFault turns a mistake of the user's into what the command line tells.
func asFault(err error) error {
	var m *search.Mistake
	var r *predict.Mistake
	switch {
	case errors.As(err, &m):
		return wrong(m.Right, "%s", m.What)
	case errors.As(err, &r):
		return wrong(r.Right, "%s", r.What)
	}
	return err
}

// searchProgress shows the stages of a search one after the other.
func (s *session) searchProgress(o *search.Options) (clear func()) {
	if s.quiet || !s.terminal {
		return func() {}
	}
	var p *progress
	stage := ""
	o.Progress = func(now string, done, of int) {
		if now != stage {
			if p != nil {
				p.clear()
			}
			p = newProgress(s.err, time.Now)
			p.what, stage = now, now
		}
		p.report(done, of)
	}
	return func() {
		if p != nil {
			p.clear()
		}
	}
}

// writeFound writes the designs of the front into a folder, and returns their
// names.
func writeFound(r *search.Result, folder string) ([]string, error) {
	if folder == "" {
		return nil, nil
	}
	var files []string
	for i := range r.Front {
		name := filepath.Join(folder, fmt.Sprintf("found-%02d.yaml", i+1))
		if err := writeFile(name, r.DesignOf(i).YAML()); err != nil {
			return nil, err
		}
		files = append(files, name)
	}
	return files, nil
}
