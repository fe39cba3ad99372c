package web

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"net/http"
	"strings"

	"meltspan/calibrate"
	"meltspan/design"
	"meltspan/network"
	"meltspan/next"
	"meltspan/predict"
	"meltspan/quantity"
	"meltspan/report"
	"meltspan/search"
	"meltspan/trial"
)

// order asks for a job. Which fields count depends on the kind.
type order struct {
	source
	Kind       string            `json:"kind"`
	Samples    int               `json:"samples,omitempty"`
	Other      string            `json:"other,omitempty"`      // compare: the second design
	Others     []string          `json:"others,omitempty"`     // next: revisions of the design
	Unprinted  bool              `json:"unprinted,omitempty"`  // next: the stand is still to be printed
	Vary       []varied          `json:"vary,omitempty"`       // search
	Aims       []string          `json:"aims,omitempty"`       // search
	Hold       map[string]string `json:"hold,omitempty"`       // search
	Candidates int               `json:"candidates,omitempty"` // search
	Trials     []int64           `json:"trials,omitempty"`     // calibrate
}

// varied is an input with the ends of its range, in words of the design.
type varied struct {
	Path string `json:"path"`
	From string `json:"from"`
	To   string `json:"to"`
}

type teller func(stage string, done, of int)

// Limits of what a page may ask for; the command line has its own.
const (
	mostSamples    = 5000
	mostCandidates = 20000
	mostTrials     = 24
	sectionSpacing = 1e-3 // m
	sectionFrames  = 24
)

// startJob begins the work that an order asks for.
func (s *Server) startJob(w http.ResponseWriter, r *http.Request) error {
	if _, err := unitsOf(r); err != nil { // the result is asked for in them
		return err
	}
	var in order
	if err := take(w, r, &in); err != nil {
		return err
	}
	if in.Samples < 0 || in.Samples > mostSamples || in.Candidates < 0 || in.Candidates > mostCandidates || len(in.Trials) > mostTrials || len(in.Others) > mostTrials {
		return bad("fewer; the command line takes more", "More was asked for than the page works out.")
	}
	make, ok := map[string]func(context.Context, order) (func(context.Context, teller) (*finished, error), error){
		"predict": s.predicting, "section": s.sectioning, "compare": s.comparing, "search": s.searching, "next": s.nexting, "calibrate": s.calibrating, "weigh": s.weighing, "report": s.reporting,
	}[in.Kind]
	if !ok {
		return bad("predict, section, compare, search, next, calibrate, weigh or report", "There is no computation "+clip(in.Kind)+".")
	}
	work, err := make(r.Context(), in)
	if err != nil {
		return err
	}
	j, err := s.jobs.start(in.Kind, func(ctx context.Context, tell func(string, int, int)) (*finished, error) { return work(ctx, tell) })
	if err != nil {
		return err
	}
	reply(w, http.StatusAccepted, map[string]string{"id": j.ID})
	return nil
}

// shellWord quotes a word of a command line that a shell would split.
func shellWord(word string) string {
	if word != "" && !strings.ContainsAny(word, " \t\n\"'`$&|;<>()*?[]#~\\!{}") {
		return word
	}
	return "'" + strings.ReplaceAll(word, "'", `'\''`) + "'"
}

// command is a command line that does what the page did.
func command(words ...string) string {
	out := "meltspan"
	for _, w := range words {
		out += " " + shellWord(w)
	}
	return out
}

func (in *source) called() string {
	if in.Name == examplePrefix+design.DemoNames()[0] {
		return "demo"
	}
	return in.Name
}

// say words a result and draws what there is to draw; a picture with nothing to
// show is left out.
func (f *finished) say(write func(io.Writer) error, pictures ...picture) (err error) {
	if f.Text, err = textOf(write); err != nil {
		return err
	}
	for _, p := range pictures {
		picture, err := p.draw()
		if err != nil {
			continue
		}
		svg, err := drawn(picture)
		if err != nil {
			return err
		}
		f.Pictures = append(f.Pictures, drawing{p.name, svg})
	}
	return nil
}

type picture = struct {
	name string
	draw func() (*report.Picture, error)
}

func textOf(write func(io.Writer) error) (string, error) {
	var b bytes.Buffer
	err := write(&b)
	return b.String(), err
}

func (s *Server) predicting(_ context.Context, in order) (func(context.Context, teller) (*finished, error), error) {
	d, err := s.parse(in.source)
	if err != nil {
		return nil, err
	}
	return func(ctx context.Context, tell teller) (*finished, error) {
		a, err := predict.Predict(ctx, d, predict.Options{Samples: in.Samples, Progress: func(done, of int) { tell("sample", done, of) }})
		if a == nil {
			return nil, err
		}
		words := []string{"predict", in.called()}
		if in.Samples > 0 {
			words = append(words, "--samples", fmt.Sprint(in.Samples))
		}
		f := &finished{Command: command(words...)}
		course := report.ChartOptions{Probability: a.Band.Probability, Low: a.Band.Low, Median: a.Band.Median, High: a.Band.High, StallDifference: stallOf(d)}
		f.show = func(f *finished, u quantity.Display) error {
			return f.say(func(w io.Writer) error { return report.Text(w, u, a, d) },
				picture{"Band of the run time", func() (*report.Picture, error) { return report.BandPicture(a) }},
				picture{"Course, with the band", func() (*report.Picture, error) { return report.Chart(u, a.Nominal, course) }},
				picture{"Inputs that matter most", func() (*report.Picture, error) { return report.Influences(u, a) }},
			)
		}
		return f, err
	}, nil
}

func (s *Server) comparing(_ context.Context, in order) (func(context.Context, teller) (*finished, error), error) {
	a, err := s.parse(in.source)
	if err != nil {
		return nil, err
	}
	b, err := s.stored(in.Other)
	if err != nil {
		return nil, err
	}
	return func(ctx context.Context, tell teller) (*finished, error) {
		c, err := predict.Compare(ctx, a, b, predict.Options{Samples: in.Samples, Progress: func(done, of int) { tell("sample", done, of) }})
		if c == nil {
			return nil, err
		}
		other := source{Name: in.Other}
		f := &finished{Command: command("compare", in.called(), other.called())}
		f.show = func(f *finished, u quantity.Display) error {
			return f.say(func(w io.Writer) error { return report.CompareText(w, u, c) },
				picture{"Run times of both", func() (*report.Picture, error) { return report.CompareChart(u, c) }})
		}
		return f, err
	}, nil
}

// stored reads a design by its name: a file of the project or an example.
func (s *Server) stored(name string) (*design.Design, error) {
	var text []byte
	var err error
	if example, ok := strings.CutPrefix(name, examplePrefix); ok {
		if text, err = design.DemoNamed(example); err != nil {
			return nil, missing("There is no built-in design " + clip(name) + ".")
		}
	} else if text, err = s.readDesign(name); err != nil {
		return nil, err
	}
	return s.parse(source{name, string(text)})
}

func (s *Server) sectioning(_ context.Context, in order) (func(context.Context, teller) (*finished, error), error) {
	d, err := s.parse(in.source)
	if err != nil {
		return nil, err
	}
	fine, err := network.BuildSection(d, sectionSpacing)
	if err != nil {
		return nil, bad("", err.Error())
	}
	return func(ctx context.Context, tell teller) (*finished, error) {
		coarse, err := nominal(ctx, d)
		if err != nil {
			return nil, err
		}
		minutes := int(coarse.Simulated/60) + 1
		run, err := fine.Run(ctx, network.Options{Course: true, Frames: sectionFrames, Progress: func(at float64) { tell("minute", min(int(at/60), minutes), minutes) }})
		if run == nil || run.Section == nil || len(run.Section.Frames) == 0 {
			return nil, errors.Join(err, ctx.Err())
		}
		f := &finished{Command: command("section", in.called(), "--frames", fmt.Sprint(sectionFrames), "--pictures", "pictures")}
		for _, frame := range run.Section.Frames {
			f.Frames = append(f.Frames, moment{frame.Time, quantity.FormatDuration(frame.Time), frame.Event})
		}
		f.frame = func(u quantity.Display, n int, what string) (*report.Picture, error) {
			if what == "outside" {
				return report.OutsidePicture(u, run, n)
			}
			return report.SectionPicture(u, run, n)
		}
		f.show = func(f *finished, u quantity.Display) error {
			return f.say(func(w io.Writer) error { return report.DepthsText(w, u, coarse, run) })
		}
		return f, err
	}, nil
}

func (s *Server) searching(_ context.Context, in order) (func(context.Context, teller) (*finished, error), error) {
	d, err := s.parse(in.source)
	if err != nil {
		return nil, err
	}
	words := []string{"search", in.called()}
	var inputs []search.Input
	for _, v := range in.Vary {
		input, err := search.ParseRange(d, v.Path, v.From, v.To)
		if err != nil {
			return nil, rangeProblem(err)
		}
		inputs = append(inputs, input)
		words = append(words, v.Path, v.From, v.To)
	}
	limits := search.UsualLimits(d)
	for _, name := range search.LimitNames() {
		if value := in.Hold[name]; value != "" {
			if err := limits.Set(name, value); err != nil {
				return nil, err
			}
			words = append(words, "--hold", name+"="+value)
		}
	}
	var aims []search.Aim
	if len(in.Aims) > 0 {
		if aims, err = search.ParseAims(in.Aims); err != nil {
			return nil, err
		}
		words = append(words, "--aim", strings.Join(in.Aims, ","))
	}
	if in.Candidates > 0 {
		words = append(words, "--candidates", fmt.Sprint(in.Candidates))
	}
	p, err := search.NewProblem(d, inputs, limits, aims, search.DefaultQuantile, network.DefaultHorizon)
	if err != nil {
		return nil, rangeProblem(err)
	}
	return func(ctx context.Context, tell teller) (*finished, error) {
		found, err := p.Run(ctx, search.Options{Candidates: in.Candidates, Progress: tell})
		if found == nil || found.Tried == 0 {
			return nil, errors.Join(err, ctx.Err())
		}
		f := &finished{Command: command(append(words, "--write", "found")...), found: found}
		f.show = func(f *finished, u quantity.Display) error {
			for i := range found.Front {
				f.Points = append(f.Points, pointOf(u, found, i))
			}
			return f.say(func(w io.Writer) error { return report.SearchText(w, u, found, nil) },
				picture{"Designs found", func() (*report.Picture, error) { return report.SearchPicture(found) }})
		}
		return f, err
	}, nil
}

// rangeProblem words what is wrong with the inputs of a search.
func rangeProblem(err error) error {
	if p := problemOf(err); p.Status != http.StatusInternalServerError {
		return p
	}
	return bad("inputs with both ends of a range", err.Error())
}

// pointOf is one design found.
func pointOf(u quantity.Display, r *search.Result, i int) point {
	c := &r.Front[i]
	p := point{Number: i, Name: r.Name(i), RunTime: c.RunTime(), Run: quantity.FormatDuration(math.Round(c.RunTime()/300) * 300), Print: c.PrintTime, Plastic: c.Material}
	if p.Median = math.NaN(); c.Ranked != nil {
		p.Median = c.Ranked.Band.Median
	}
	var changes []string
	for k := range r.Inputs {
		if k < len(c.At) {
			changes = append(changes, r.Inputs[k].Path+" "+report.InputLabel(u, &r.Inputs[k], c.At[k]))
		}
	}
	p.Changes = strings.Join(changes, ", ")
	return p
}

func (s *Server) nexting(_ context.Context, in order) (func(context.Context, teller) (*finished, error), error) {
	d, err := s.parse(in.source)
	if err != nil {
		return nil, err
	}
	words := []string{"next", in.called()}
	var revisions []*design.Design
	for _, name := range in.Others {
		other, err := s.stored(name)
		if err != nil {
			return nil, err
		}
		revisions, words = append(revisions, other), append(words, name)
	}
	if in.Unprinted {
		words = append(words, "--unprinted")
	}
	return func(ctx context.Context, tell teller) (*finished, error) {
		r, err := next.Rank(ctx, d, revisions, next.Options{Printed: !in.Unprinted, Progress: func(done, of int) { tell("draw", done, of) }})
		if r == nil {
			return nil, err
		}
		f := &finished{Command: command(words...)}
		f.show = func(f *finished, u quantity.Display) error {
			return f.say(func(w io.Writer) error { return report.NextText(w, u, r) })
		}
		return f, err
	}, nil
}

func (s *Server) calibrating(ctx context.Context, in order) (func(context.Context, teller) (*finished, error), error) {
	if len(in.Trials) == 0 {
		return nil, bad("one trial at least", "Choose the trials to learn from.")
	}
	cases, numbers, err := s.runs(ctx, in.Trials)
	if err != nil {
		return nil, err
	}
	words := append([]string{"calibrate"}, numbers...)
	var d *design.Design
	if in.Text != "" {
		if d, err = s.parse(in.source); err != nil {
			return nil, err
		}
		words = append(words, "--for", in.called())
	}
	return func(ctx context.Context, tell teller) (*finished, error) {
		p, err := calibrate.Calibrate(ctx, cases, calibrate.Options{Progress: tell})
		if err != nil {
			return nil, err
		}
		f := &finished{Command: command(words...)}
		kept, err := s.keep(ctx, p, cases, in.Trials)
		if err != nil {
			return nil, err
		}
		f.Kept = kept
		var predictions []*calibrate.Prediction
		if d != nil {
			prediction, err := p.Predict(ctx, d, calibrate.PredictOptions{})
			if err != nil {
				return nil, err
			}
			predictions = append(predictions, prediction)
		}
		f.show = func(f *finished, u quantity.Display) error {
			return f.say(func(w io.Writer) error { return report.CalibrationText(w, u, p, predictions...) },
				picture{"What the trials taught", func() (*report.Picture, error) { return report.PosteriorPicture(u, p) }},
				picture{"Run time before and after", func() (*report.Picture, error) { return report.LearntRunTimes(predictions, nil) }},
			)
		}
		return f, nil
	}, nil
}

// runs are trials with their designs, and their numbers as words.
func (s *Server) runs(ctx context.Context, ids []int64) (cases []calibrate.Case, numbers []string, err error) {
	for _, id := range ids {
		c, err := s.caseOf(ctx, id)
		if err != nil {
			return nil, nil, err
		}
		if c.Trial.Kind != trial.Run {
			return nil, nil, bad("runs only", fmt.Sprintf("Trial %d is no run: a %s characterises the load by itself.", id, c.Trial.Kind))
		}
		cases, numbers = append(cases, c), append(numbers, fmt.Sprint(id))
	}
	return cases, numbers, nil
}

// weighing compares two trials at common room conditions, by what both taught.
func (s *Server) weighing(ctx context.Context, in order) (func(context.Context, teller) (*finished, error), error) {
	if len(in.Trials) != 2 {
		return nil, bad("two trials", "Choose the two trials to compare.")
	}
	cases, numbers, err := s.runs(ctx, in.Trials)
	if err != nil {
		return nil, err
	}
	return func(ctx context.Context, tell teller) (*finished, error) {
		p, err := calibrate.Calibrate(ctx, cases, calibrate.Options{Progress: tell})
		if err != nil {
			return nil, err
		}
		c, err := p.Compare(ctx, cases, calibrate.CompareOptions{})
		if err != nil {
			return nil, err
		}
		f := &finished{Command: command(append([]string{"trial", "compare"}, numbers...)...)}
		f.show = func(f *finished, u quantity.Display) error {
			return f.say(func(w io.Writer) error { return report.ComparisonText(w, u, c) },
				picture{"Both trials in one room", func() (*report.Picture, error) { return report.ComparisonPicture(u, c) }})
		}
		return f, nil
	}, nil
}

func (s *Server) frame(w http.ResponseWriter, r *http.Request) error {
	f, err := s.outcome(r)
	if err != nil {
		return err
	}
	var n int
	what := r.PathValue("what")
	if _, err := fmt.Sscanf(r.PathValue("number"), "%d", &n); err != nil || f.frame == nil || n < 0 || n >= len(f.Frames) || what != "section" && what != "outside" {
		return missing("There is no such frame.")
	}
	u, err := unitsOf(r)
	if err != nil {
		return err
	}
	p, err := f.frame(u, n, what)
	if err != nil {
		return err
	}
	svg, err := p.SVG()
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "image/svg+xml")
	w.Header().Set("Cache-Control", "private, max-age=3600") // a finished job's frames do not change
	w.Write(svg)
	return nil
}

// foundDesign is the text of a design that a search found.
func (s *Server) foundDesign(w http.ResponseWriter, r *http.Request) error {
	f, err := s.outcome(r)
	if err != nil {
		return err
	}
	var n int
	if _, err := fmt.Sscanf(r.PathValue("number"), "%d", &n); err != nil || f.found == nil || n < 0 || n >= len(f.found.Front) {
		return missing("There is no such design.")
	}
	reply(w, http.StatusOK, map[string]string{"text": string(f.found.DesignOf(n).YAML()), "name": f.found.Name(n)})
	return nil
}
