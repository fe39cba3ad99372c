package web

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"slices"
	"strconv"

	"meltspan/notebook"
	"meltspan/predict"
	"meltspan/quantity"
	"meltspan/record"
	"meltspan/report"
	"meltspan/result"
	"meltspan/search"
)

// finished is what a job came to, as the page shows it.
type finished struct {
	Kind     string    `json:"kind"`               // of the order
	Name     string    `json:"name,omitempty"`     // of the design, as it was opened
	Text     string    `json:"text,omitempty"`     // as the command prints it
	Command  string    `json:"command"`            // that does the same
	Pictures []drawing `json:"pictures,omitempty"` // in the order in which to show them
	Frames   []moment  `json:"frames,omitempty"`   // of a section; their pictures are fetched by number
	Views    []string  `json:"views,omitempty"`    // the pictures that each frame has
	Points   []point   `json:"points,omitempty"`   // of a search
	Aims     []string  `json:"aims,omitempty"`     // of it
	Map      *valueMap `json:"map,omitempty"`      // of a variation
	Partial  bool      `json:"partial,omitempty"`  // ended before it was through
	Files    []string  `json:"files,omitempty"`    // to be fetched by name
	Kept     int64     `json:"kept,omitempty"`     // number in the notebook's results
	Unkept   string    `json:"unkept,omitempty"`   // why the notebook has it not, though there is one

	made
	source source            // the design it began from
	texts  []string          // of the designs found
	files  map[string][]byte // in the usual units

	// What is shown in the units of a reader is made for each who asks.
	shown *record.Shown                         // the answer, worded and drawn into Text and Pictures
	chart func(f *finished, u quantity.Display) // what opens designs, into Points or Map
	frame func(u quantity.Display, number int, what string) (*report.Picture, error)
	file  func(u quantity.Display, name string) ([]byte, error) // nil: the files stay as they were kept

	open func(number int, file string) (*openedPoint, error) // a point of a search or a variation; file is where it is to be written, "" any
}

// in is a result in the units of a reader. In the usual ones it is as it was first
// shown, and kept.
func (f *finished) in(u quantity.Display) (*finished, error) {
	if u == (quantity.Display{}) {
		return f, nil
	}
	shown := *f
	shown.Command = inUnits(f.Command, u)
	return &shown, shown.say(u)
}

// say words a result and draws what there is to draw; a picture with nothing to
// show is left out.
func (f *finished) say(u quantity.Display) error {
	if f.chart != nil {
		f.chart(f, u)
	}
	if f.shown == nil {
		return nil
	}
	var err error
	if f.Text, err = textOf(func(w io.Writer) error { return f.shown.Text(w, u) }); err != nil {
		return err
	}
	f.Pictures = nil
	for _, p := range f.shown.Pictures {
		picture, err := p.Draw(u)
		if err != nil {
			continue
		}
		svg, err := drawn(picture)
		if err != nil {
			return err
		}
		f.Pictures = append(f.Pictures, drawing{p.Caption, svg})
	}
	return nil
}

// made is what the notebook keeps beside what is shown.
type made struct {
	kind     string // of the notebook's results; "": never kept
	answer   any    // as the command has it in JSON
	revision string
	trials   []int64
	inputs   map[string]any // beside the order
	designs  []source       // kept with it
}

type drawing struct {
	Name string `json:"name"`
	SVG  string `json:"svg"`
}

// moment is one frame of a section.
type moment struct {
	Time  float64 `json:"time_s"`
	Words string  `json:"words"`
	Event string  `json:"event,omitempty"`
}

// point is one design of a search, as it is drawn and opened.
type point struct {
	Number  int     `json:"number"`
	Name    string  `json:"name"`
	RunTime float64 `json:"run_time_s"`
	Run     string  `json:"run_time"`
	Median  float64 `json:"median_s"` // NaN: only screened
	Print   float64 `json:"print_s"`
	Plastic float64 `json:"plastic_kg"`
	Changes string  `json:"changes"`
}

// openedPoint is a design made by the program, as it is opened.
type openedPoint struct {
	Text    string `json:"text"`
	Name    string `json:"name"` // a file name to begin with
	Command string `json:"command"`
}

// valueMap is run time over the values of one input, or of two.
type valueMap struct {
	Axes  []mapAxis `json:"axes"`
	Cells []mapCell `json:"cells"` // the last axis runs fastest
}

type mapAxis struct {
	Path   string   `json:"path"`
	About  string   `json:"about"`
	Labels []string `json:"labels"`
	Now    int      `json:"now"` // of the labels, the one that the design has; -1: none
}

type mapCell struct {
	Median     string `json:"median"`
	Low        string `json:"low"`
	High       string `json:"high"`
	Early      string `json:"early"` // chance of an early stall
	Impossible string `json:"impossible,omitempty"`
	Longest    bool   `json:"longest,omitempty"`
	Safest     bool   `json:"safest,omitempty"`
}

// shown is what is kept of it beside the answer, to be looked at again as it was.
type shown struct {
	finished
	Source  source            `json:"source"`
	Designs []string          `json:"designs,omitempty"`
	Data    map[string][]byte `json:"data,omitempty"`
}

// again makes what was kept as good as new: what the page kept as it was shown
// then, what a command kept as that would show it.
func (s *Server) again(ctx context.Context, r *notebook.Result) (*finished, error) {
	var p struct {
		Shown *shown `json:"shown"`
	}
	f, bare := &finished{Kind: r.Kind, Command: s.bookCommand("notebook", "results", strconv.FormatInt(r.ID, 10))}, true
	if err := report.ReadJSON(r.Payload, &p); err == nil && p.Shown != nil {
		f, bare = &p.Shown.finished, false
		f.source, f.texts, f.files = p.Shown.Source, p.Shown.Designs, p.Shown.Data
	}
	f.Kept = r.ID
	err := s.takeUp(ctx, f, r)
	if err == nil && bare {
		err = f.say(quantity.Display{})
	}
	if err != nil {
		return nil, fmt.Errorf("the result %d in the notebook cannot be used: %w", r.ID, err)
	}
	return f, nil
}

// takeUp gives a result the answer that the notebook kept.
func (s *Server) takeUp(ctx context.Context, f *finished, r *notebook.Result) error {
	switch r.Kind {
	case notebook.Report: // its files are all there is
		return nil
	case notebook.Variation:
		v, err := record.Answer[predict.Variation](r)
		if err != nil {
			return err
		}
		s.varies(f, v)
		return nil
	case notebook.SectionRun:
		all, err := record.Answer[result.Depths](r)
		if err != nil {
			return err
		}
		return f.follows(all)
	case notebook.Search:
		found, err := record.Answer[search.Result](r)
		if err != nil {
			return err
		}
		f.finds(s.bookCommand, found)
		return nil
	}
	n, err := s.existing(ctx)
	if err != nil {
		return err
	}
	if f.shown, err = record.Again(ctx, n, r); err == nil && f.shown == nil { // a command shows it whole
		f.shown = &record.Shown{Text: func(w io.Writer, _ quantity.Display) error {
			if _, err := io.WriteString(w, "Inputs, as JSON:\n"); err != nil {
				return err
			}
			return report.JSON(w, r.Inputs)
		}}
	}
	return err
}

// views that frames can have, by the names under which they are fetched.
const (
	viewSection = "section"
	viewOutside = "outside"
	viewThrough = "through"
	viewCuts    = "cuts"
)

// follows shows a trial in its depths: in words, and by the frames of the finest
// that there is.
func (f *finished) follows(all *result.Depths) error {
	f.shown = &record.Shown{Text: record.OfDepths(all).Text}
	run := all.Section
	f.Views = []string{viewSection, viewOutside}
	if all.Round != nil {
		run, f.Views = all.Round, []string{viewThrough, viewCuts}
	}
	if run == nil || run.Section == nil || len(run.Section.Frames) == 0 {
		return fmt.Errorf("there is no frame of the section")
	}
	through := *run
	if all.Round != nil {
		if through.Section = run.ThroughSection(); through.Section == nil {
			return fmt.Errorf("there is no section in three dimensions")
		}
	}
	f.Frames = nil
	for _, frame := range run.Section.Frames {
		f.Frames = append(f.Frames, moment{frame.Time, quantity.FormatDuration(frame.Time), frame.Event})
	}
	f.frame = func(u quantity.Display, n int, what string) (*report.Picture, error) {
		switch what {
		case viewOutside:
			return report.OutsidePicture(u, run, n)
		case viewCuts:
			return report.RoundPicture(u, run, n)
		}
		return report.SectionPicture(u, &through, n)
	}
	return nil
}

// payload is the answer as the command has it, with what was shown as one more
// member.
func (f *finished) payload() (json.RawMessage, error) {
	kept := shown{finished: *f, Source: f.source, Designs: f.texts, Data: f.files}
	kept.Kept, kept.Unkept = 0, ""
	return withMember(f.answer, "shown", kept)
}

func (s *Server) frame(w http.ResponseWriter, r *http.Request, f *finished) error {
	n, err := strconv.Atoi(r.PathValue("number"))
	what := r.PathValue("what")
	if err != nil || f.frame == nil || n < 0 || n >= len(f.Frames) || !slices.Contains(f.Views, what) {
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
