package web

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"net/http"
	"strings"

	"meltspan/design"
	"meltspan/predict"
)

// order asks for a job. Which fields count depends on the kind.
type order struct {
	source
	Kind       string            `json:"kind"`
	Samples    int               `json:"samples,omitempty"`
	Other      string            `json:"other,omitempty"`      // compare: the second design
	Others     []string          `json:"others,omitempty"`     // next: revisions of the design
	Unprinted  bool              `json:"unprinted,omitempty"`  // next: the stand is still to be printed
	Vary       []varied          `json:"vary,omitempty"`       // search, vary
	Choose     []choice          `json:"choose,omitempty"`     // search
	Steps      int               `json:"steps,omitempty"`      // vary; 0: as many as are usual
	Aims       []string          `json:"aims,omitempty"`       // search
	Hold       map[string]string `json:"hold,omitempty"`       // search
	Candidates int               `json:"candidates,omitempty"` // search
	Trials     []int64           `json:"trials,omitempty"`     // calibrate, weigh
	Around     string            `json:"around,omitempty"`     // section: in three dimensions, in cells of this length
	Passing    bool              `json:"passing,omitempty"`    // looked at and left: the notebook does not keep it
}

// varied is an input with the ends of its range, in words of the design.
type varied struct {
	Path string `json:"path"`
	From string `json:"from"`
	To   string `json:"to"`
}

// choice is a word of the design with those that it may be.
type choice struct {
	Path  string   `json:"path"`
	Words []string `json:"words"`
}

// about is what an order asks for, in words, beside its kind and its design.
func (in order) about() string {
	var out []string
	for _, v := range in.Vary {
		out = append(out, fmt.Sprintf("%s from %s to %s", v.Path, v.From, v.To))
	}
	for _, c := range in.Choose {
		out = append(out, c.Path+" among "+strings.Join(c.Words, ", "))
	}
	if in.Other != "" {
		out = append(out, "with "+in.Other)
	}
	if len(in.Others) > 0 {
		out = append(out, "with "+strings.ReplaceAll(strings.Join(in.Others, ", "), revisionPrefix, "revision "))
	}
	if len(in.Trials) > 0 {
		numbers := strings.Trim(fmt.Sprint(in.Trials), "[]")
		out = append(out, map[bool]string{true: "trial ", false: "trials "}[len(in.Trials) == 1]+strings.ReplaceAll(numbers, " ", ", "))
	}
	if in.Around != "" {
		out = append(out, "in three dimensions, cells of "+in.Around)
	}
	if in.Candidates > 0 {
		out = append(out, fmt.Sprintf("%d candidates", in.Candidates))
	}
	if in.Samples > 0 {
		out = append(out, fmt.Sprintf("%d samples", in.Samples))
	}
	return strings.Join(out, "; ")
}

type teller func(stage string, done, of int)

// work is what a job does. What it returns is shown, whole or not.
type work func(context.Context, teller) (*finished, error)

// Limits of what a page may ask for; the command line has its own.
const (
	mostSamples    = 5000
	mostCandidates = 20000
	mostTrials     = 24
	mostRevisions  = 9  // as the command
	mostInputs     = 24 // of a search
	mostWords      = 64
	sectionSpacing = 1e-3 // m
	sectionFrames  = 24
	roundFrames    = 8
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
	if err := in.modest(); err != nil {
		return err
	}
	prepare, ok := map[string]func(context.Context, order) (work, error){
		"predict": s.predicting, "section": s.sectioning, "compare": s.comparing, "vary": s.varying, "search": s.searching, "next": s.nexting,
		"calibrate": s.calibrating, "weigh": s.weighing, "report": s.reporting,
	}[in.Kind]
	if !ok {
		return bad("predict, section, compare, vary, search, next, calibrate, weigh or report", "There is no computation "+clip(in.Kind)+".")
	}
	do, err := prepare(r.Context(), in)
	if err != nil {
		return err
	}
	j, err := s.jobs.start(in, func(ctx context.Context, tell func(string, int, int)) (*finished, error) {
		f, err := do(ctx, tell)
		if f == nil {
			return nil, err
		}
		f.Kind, f.Name, f.source, f.Partial = in.Kind, in.Name, in.source, err != nil
		if !in.Passing {
			s.keep(ctx, f, in, false)
		}
		return f, err
	})
	if err != nil {
		return err
	}
	reply(w, http.StatusAccepted, map[string]string{"id": j.ID})
	return nil
}

// modest refuses what would be too much for a page.
func (in *order) modest() error {
	words := 0
	for _, c := range in.Choose {
		words = max(words, len(c.Words))
	}
	switch {
	case in.Samples < 0 || in.Samples > mostSamples, in.Candidates < 0 || in.Candidates > mostCandidates, len(in.Trials) > mostTrials, len(in.Others) > mostRevisions,
		len(in.Vary) > mostInputs, len(in.Choose) > mostInputs, words > mostWords:
		return bad("fewer; the command line takes more", "More was asked for than the page works out.")
	case in.Steps != 0 && (in.Steps < predict.LeastSteps || in.Steps > predict.MostSteps):
		return bad(fmt.Sprintf("%d to %d", predict.LeastSteps, predict.MostSteps), fmt.Sprintf("An input cannot be varied in %d steps.", in.Steps))
	}
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

func textOf(write func(io.Writer) error) (string, error) {
	var b bytes.Buffer
	err := write(&b)
	return b.String(), err
}

// stored reads a design by its name: a file of the project or an example.
func (s *Server) stored(name string) (*design.Design, source, error) {
	var text []byte
	var err error
	if example, ok := strings.CutPrefix(name, examplePrefix); ok {
		if text, err = design.DemoNamed(example); err != nil {
			return nil, source{}, missing("There is no built-in design " + clip(name) + ".")
		}
	} else if text, err = s.readDesign(name); err != nil {
		return nil, source{}, err
	}
	in := source{name, string(text)}
	d, err := s.parse(in)
	return d, in, err
}
