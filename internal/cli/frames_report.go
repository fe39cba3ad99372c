package cli

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"math"
	"runtime/debug"

	"meltspan/internal/textpage"
	"meltspan/live"
	"meltspan/quantity"
	"meltspan/report"
	"meltspan/trial"
)

// framesAnswer is what pictures say of a trial. Times are s from its start.
type framesAnswer struct {
	Trial      int64          `json:"trial"`
	Folder     string         `json:"folder"`
	Region     live.Region    `json:"region"`
	Pictures   int            `json:"pictures"`
	Unreadable int            `json:"unreadable"`
	TimesFrom  live.TimeBy    `json:"times_from"`
	First      float64        `json:"first_s"`
	Last       float64        `json:"last_s"`
	Interval   float64        `json:"interval_s"`
	Outcome    string         `json:"outcome"`
	Spans      []framesSpan   `json:"spans,omitempty"`
	Stalled    *trial.Event   `json:"stalled,omitempty"`
	From       float64        `json:"from_s,omitempty"` // the pictures between which it stopped
	Until      float64        `json:"until_s,omitempty"`
	Chance     float64        `json:"probability,omitempty"`
	Faint      bool           `json:"faint"` // the motion hardly stands out of the noise
	Written    bool           `json:"written"`
	Instead    *trial.Event   `json:"stall_of_the_trial,omitempty"`
	trial      *trial.Trial   // for clock times
	skipped    []live.Skipped // to be told
	passing    int
	unusable   int
}

type framesSpan struct {
	Begin float64 `json:"begin_s"`
	End   float64 `json:"end_s"`
}

func newFramesAnswer(id int64, t *trial.Trial, folder string, r live.Region, w *live.Watched, ahead float64) *framesAnswer {
	a := &framesAnswer{Trial: id, Folder: folder, Region: r, Pictures: w.Pictures, Unreadable: len(w.Unreadable), TimesFrom: w.By,
		First: w.First - t.Start, Last: w.Last - t.Start, Interval: w.Interval, trial: t, skipped: w.Unreadable,
		passing: w.Passing, unusable: w.Unusable, Faint: w.Faint}
	for _, span := range w.Spans {
		a.Spans = append(a.Spans, framesSpan{span.Begin - t.Start, span.End - t.Start})
	}
	a.Outcome = "still moving"
	if w.Ended {
		a.Outcome = "stopped"
		a.From, a.Until, a.Chance = w.From-t.Start, w.Until-t.Start, w.Probability
		note := fmt.Sprintf("between the pictures of %s and %s; times by %s", clockTime(t, a.From), clockTime(t, a.Until), w.By)
		if ahead != 0 {
			note += fmt.Sprintf(", put back by %s", quantity.FormatDuration(ahead))
		}
		if w.Faint {
			note += "; the motion hardly stands out of the noise"
		}
		a.Stalled = &trial.Event{Kind: trial.Stalled, Time: w.End - t.Start, Uncertainty: w.Uncertainty, Source: byPictures, Note: note}
	}
	return a
}

func (s *session) framesReport(a *framesAnswer, f *framesFlags) error {
	if f.json {
		return report.JSON(s.out, a)
	}
	fmt.Fprint(s.out, framesText(a, f.dry))
	return nil
}

func framesText(a *framesAnswer, dry bool) string {
	var p textpage.Page
	p.Paraf(0, 2, "%s: %d pictures from %s to %s, one every %s.", a.Folder, a.Pictures, clockTime(a.trial, a.First),
		clockTime(a.trial, a.Last), quantity.FormatDuration(a.Interval))
	p.Paraf(2, 2, "Times are %s.", a.TimesFrom)
	if a.TimesFrom == live.ByModified {
		p.Para(2, 2, "Copying files may change those: compare one with a clock.")
	}
	if a.First < 0 && a.Last < 0 || a.First > 30*24*secondsPerHour {
		p.Para(2, 2, "They do not lie within the trial: is the camera's clock right, and its zone?")
	}
	for i, skip := range a.skipped {
		if i == 3 {
			p.Paraf(2, 2, "%d more were left out.", len(a.skipped)-i)
			break
		}
		p.Paraf(2, 2, "%s was left out: %v.", skip.File, skip.Reason)
	}
	if a.passing > 0 {
		p.Paraf(2, 2, "In %d pictures something else passed before the part.", a.passing)
	}
	if a.unusable > 0 {
		p.Paraf(2, 2, "In %d pictures something stood before the camera.", a.unusable)
	}
	p.Blank()
	switch e := a.Stalled; {
	case e != nil:
		p.Paraf(0, 2, "The part stopped between %s and %s (%s and %s after the start), with a probability of %.0f %%.",
			clockTime(a.trial, a.From), clockTime(a.trial, a.Until), elapsed(a.From), elapsed(a.Until), 100*a.Chance)
		p.Paraf(0, 2, "As an event: stalled at %s +- %s after the start.", elapsed(e.Time), quantity.FormatDuration(math.Ceil(e.Uncertainty)))
	case a.Outcome == "no motion":
		p.Para(0, 2, "No picture shows the part moving. Is the region right? --show draws it.")
	default:
		p.Para(0, 2, "The part still moved in the last pictures, or too few of them show it at rest.")
	}
	if a.Faint {
		p.Para(0, 2, "Caution: the motion hardly stands out of the noise of these pictures. Look at those about that time yourself; "+
			"more light, a firmer stand of the camera or a piece of tape on the part would help.")
	}
	if len(a.Spans) > 1 {
		p.Para(0, 2, "It moved more than once:")
		for _, span := range a.Spans {
			p.Paraf(2, 2, "%s to %s", elapsed(span.Begin), elapsed(span.End))
		}
	}
	switch {
	case a.Instead != nil:
		p.Paraf(0, 2, "Not written: the trial has its stall by %s, at %s +- %s. --anyway writes it all the same.", sourceWords(a.Instead),
			elapsed(a.Instead.Time), quantity.FormatDuration(math.Ceil(a.Instead.Uncertainty)))
	case a.Written:
		p.Paraf(0, 2, "Written into %s.", trialLabel(a.Trial, a.trial))
	case dry && a.Stalled != nil:
		p.Para(0, 2, "Nothing was written.")
	}
	return p.String()
}

func sourceWords(e *trial.Event) string {
	if e.Source == "" {
		return "another way"
	}
	return e.Source
}

// showRegion draws the region into the first picture.
func showRegion(frames []live.Frame, r live.Region, file string) error {
	picture, err := live.Upright(frames[0])
	if err != nil {
		return failed("", "cannot read %s: %v", quoted(frames[0].Path), cause(err))
	}
	canvas := image.NewRGBA(picture.Bounds())
	draw.Draw(canvas, canvas.Bounds(), picture, canvas.Bounds().Min, draw.Src)
	width := max(2, canvas.Bounds().Dx()/400)
	inner := image.Rect(r.X, r.Y, r.X+r.Width, r.Y+r.Height)
	frame(canvas, inner.Inset(-2*width), width, color.RGBA{0, 0, 0, 255})
	frame(canvas, inner.Inset(-width), width, color.RGBA{255, 230, 60, 255}) // on dark and on light alike
	var b bytes.Buffer
	if err := png.Encode(&b, canvas); err != nil {
		return err
	}
	return writeFile(file, b.Bytes())
}

// frame draws the edges of a rectangle, inwards.
func frame(canvas draw.Image, r image.Rectangle, width int, c color.Color) {
	paint := image.NewUniform(c)
	for _, edge := range []image.Rectangle{
		{r.Min, image.Pt(r.Max.X, r.Min.Y+width)}, {image.Pt(r.Min.X, r.Max.Y-width), r.Max},
		{r.Min, image.Pt(r.Min.X+width, r.Max.Y)}, {image.Pt(r.Max.X-width, r.Min.Y), r.Max},
	} {
		draw.Draw(canvas, edge, paint, image.Point{}, draw.Src)
	}
}

// codeVersion is the exact version of the program, for what it worked out.
func codeVersion() string {
	info, _ := debug.ReadBuildInfo() // nil when built without modules
	return versionText(info)
}
