package cli

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"math"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"meltspan/live"
	"meltspan/notebook"
	"meltspan/quantity"
	"meltspan/trial"
	"meltspan/trial/logfile"
)

// framesFlags are those of trial frames.
type framesFlags struct {
	notebook, region, times, zone, ahead, show string
	dry, anyway, json, quiet                   bool
}

// byPictures is the source of events that pictures show.
const byPictures = "pictures"

var timeNames = []string{"exif", "name", "modified"}

func (s *session) framesCommand() *cobra.Command {
	var f framesFlags
	c := &cobra.Command{
		Use:   "frames TRIAL FOLDER",
		Short: "find from a camera's pictures when the engine stopped",
		Long: "Looks through a folder of pictures (JPEG, PNG) for the moment at which a moving part stopped for good, " +
			"and writes it into the trial as its stall, with the interval of the pictures as its uncertainty. One picture " +
			"every half minute, taken by a camera that stands firm, is enough.\n\n" +
			"--region marks the part once, in pixels from the upper left corner: X,Y,WIDTH,HEIGHT. Later calls for the " +
			"same trial may leave it out. --show draws it into the first picture, to see whether it is right. Mark what looks " +
			"different at each turn, such as a flywheel with a piece of tape on one spoke, and leave some of the picture " +
			"around it free, by which changes of light are told from motion.\n\n" +
			"Times are the camera's own (EXIF) where all pictures have them, else those in the names of the files, else when " +
			"the files were last changed; the answer says which. Pictures taken at exact multiples of the time of a turn " +
			"show a moving part as if it stood.\n\n" +
			"TRIAL is a number or a name. A stall that the trial has already, by speed, by the plate difference or by " +
			"hand, is not doubled, unless --anyway asks for it.",
		Example: "  meltspan trial frames 3 pictures --region 410,220,180,160 --show marked.png\n" +
			"  meltspan trial frames 3 pictures --region 410,220,180,160 --dry-run\n",
		Args: arguments(2, 2, "a trial and a folder", `"meltspan trial frames 3 pictures --region 410,220,180,160"`),
		RunE: func(_ *cobra.Command, args []string) error {
			s.quiet = f.quiet
			return s.withTrial(f.notebook, args[0], func(n *notebook.Notebook, id int64) error {
				return s.frames(n, id, args[1], &f)
			})
		},
	}
	flags := c.Flags()
	notebookFlag(flags, &f.notebook)
	flags.StringVar(&f.region, "region", "", "the moving part is at `X,Y,WIDTH,HEIGHT`")
	flags.StringVar(&f.show, "show", "", "draw the region into the first picture, and write it to `FILE` (PNG)")
	flags.StringVar(&f.times, "times", "", "take the times from `SOURCE`: "+strings.Join(timeNames, ", "))
	flags.StringVar(&f.zone, "zone", "", "times of the camera are in `ZONE`, such as +01:00 (that of the trial unless given)")
	flags.StringVar(&f.ahead, "camera-ahead", "", "the camera's clock is ahead by `TIME`, such as \"40 s\" (negative: behind)")
	flags.BoolVar(&f.dry, "dry-run", false, "say what was found, and write nothing")
	flags.BoolVar(&f.anyway, "anyway", false, "write the stall even where the trial has one of another source")
	jsonFlag(flags, &f.json)
	flags.BoolVar(&f.quiet, "quiet", false, "no progress and no notes, only the answer and errors")
	return c
}

func (s *session) frames(n *notebook.Notebook, id int64, folder string, f *framesFlags) error {
	head, err := n.Head(s.ctx, id)
	if err != nil {
		return err
	}
	t := &head.Trial
	if math.IsNaN(t.Start) {
		return wrong("give it one first, when the load was set on", "%s has no start, from which times could be counted", trialLabel(id, t))
	}
	region, err := s.region(n, id, f)
	if err != nil {
		return err
	}
	frames, by, ahead, err := listFrames(t, folder, f)
	if err != nil {
		return err
	}
	if f.show != "" {
		if err := showRegion(frames, region, f.show); err != nil {
			return err
		}
		s.note("wrote %s, with the region drawn into %s", f.show, frames[0].Path)
	}
	var progressed func(done, of int)
	clear := func() {}
	if s.terminal && !s.quiet {
		p := newProgress(s.err, time.Now)
		p.what = "picture"
		progressed, clear = p.report, p.clear
	}
	w, err := live.Watch(s.ctx, frames, by, region, progressed)
	clear()
	a := newFramesAnswer(id, t, folder, region, w, ahead)
	switch {
	case errors.Is(err, trial.ErrFewPictures):
		return wrong("more pictures, or clearer ones", "%s: %v of %d in the folder", quoted(folder), err, len(frames))
	case errors.Is(err, trial.ErrNoMotion):
		a.Outcome = "no motion"
	case errors.Is(err, s.ctx.Err()) && err != nil:
		return err
	case err != nil:
		return wrong("a region within the pictures, with some of the picture around it", "%v", err)
	}
	if err := s.keepMotion(n, a, f); err != nil {
		return err
	}
	return s.framesReport(a, f)
}

// region is the one that the user marks, or marked for this trial before.
func (s *session) region(n *notebook.Notebook, id int64, f *framesFlags) (live.Region, error) {
	if f.region != "" {
		return parseRegion(f.region)
	}
	results, err := n.Results(s.ctx, notebook.Motion)
	if err != nil {
		return live.Region{}, err
	}
	for i := len(results) - 1; i >= 0; i-- {
		var inputs motionInputs
		if len(results[i].Trials) == 1 && results[i].Trials[0] == id && json.Unmarshal(results[i].Inputs, &inputs) == nil {
			return inputs.Region, nil
		}
	}
	return live.Region{}, wrong("such as --region 410,220,180,160", "the moving part was not marked for this trial yet")
}

func parseRegion(text string) (live.Region, error) {
	parts := strings.Split(text, ",")
	var v [4]int
	ok := len(parts) == len(v)
	for i := 0; ok && i < len(v); i++ {
		var err error
		v[i], err = strconv.Atoi(strings.TrimSpace(parts[i]))
		ok = err == nil && v[i] >= 0 && v[i] < 1e6
	}
	if !ok {
		return live.Region{}, wrong("four whole numbers of pixels: X,Y,WIDTH,HEIGHT, such as --region 410,220,180,160", "--region cannot be %s", quoted(text))
	}
	return live.Region{X: v[0], Y: v[1], Width: v[2], Height: v[3]}, nil
}

// listFrames lists the pictures with their times by the clock of the trial;
// ahead is what the camera's was put back by, s.
func listFrames(t *trial.Trial, folder string, f *framesFlags) (frames []live.Frame, by live.TimeBy, ahead float64, err error) {
	if f.times != "" {
		way := map[string]live.TimeBy{"exif": live.ByEXIF, "name": live.ByFileName, "modified": live.ByModified}[f.times]
		if way == "" {
			return nil, "", 0, wrong(choice(f.times, timeNames), "--times cannot be %s", quoted(f.times))
		}
		by = way
	}
	zoneName := f.zone
	if zoneName == "" {
		zoneName = t.Zone
	}
	zone, err := logfile.ParseZone(zoneName)
	if err != nil {
		return nil, "", 0, wrong("UTC, local, an offset such as +01:00, or a name such as Europe/Berlin", "%v", err)
	}
	if f.ahead != "" {
		v, err := parseFlag("camera-ahead", f.ahead, quantity.Time)
		if err != nil {
			return nil, "", 0, err
		}
		ahead = v.SI
	}
	frames, by, err = live.Frames(folder, by, zone)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, "", 0, wrong("the name of a folder", "there is no folder %s", quoted(folder))
	case errors.Is(err, live.ErrNoPictures):
		return nil, "", 0, wrong("a folder with pictures (.jpg, .jpeg, .png)", "there is no picture in %s", quoted(folder))
	case err != nil:
		return nil, "", 0, wrong("", "%v", cause(err))
	}
	for i := range frames {
		frames[i].Time -= ahead
	}
	return frames, by, ahead, nil
}

// keepMotion writes the stall into the trial, and what was found into the
// notebook, by which the region is known next time.
func (s *session) keepMotion(n *notebook.Notebook, a *framesAnswer, f *framesFlags) error {
	if f.dry {
		return nil
	}
	inputs, err := json.Marshal(motionInputs{a.Region, a.Folder, a.Pictures, string(a.TimesFrom)})
	if err != nil {
		return err
	}
	payload, err := json.Marshal(a)
	if err != nil {
		return err
	}
	if _, err := n.Keep(s.ctx, notebook.Result{Kind: notebook.Motion, Code: codeVersion(), Trials: []int64{a.Trial}, Inputs: inputs, Payload: payload}); err != nil {
		return err
	}
	if a.Stalled == nil {
		return nil
	}
	head, err := n.Head(s.ctx, a.Trial)
	if err != nil {
		return err
	}
	for _, e := range head.Trial.Events {
		if e.Kind == trial.Stalled && e.Source != byPictures && !f.anyway {
			a.Instead = &e
			return nil
		}
	}
	a.Written = true
	return n.ReplaceEvents(s.ctx, a.Trial, []string{byPictures}, *a.Stalled)
}

// motionInputs is what made a result of this kind.
type motionInputs struct {
	Region   live.Region `json:"region"`
	Folder   string      `json:"folder"`
	Pictures int         `json:"pictures"`
	Times    string      `json:"times"`
}

// clockTime prints a moment of a trial by the clock on the wall.
func clockTime(t *trial.Trial, at float64) string {
	zone, err := logfile.ParseZone(t.Zone)
	if err != nil {
		zone = time.Local
	}
	return time.UnixMicro(int64((t.Start + at) * 1e6)).In(zone).Format("2006-01-02 15:04:05")
}

// elapsed prints a moment of a trial to the second.
func elapsed(at float64) string {
	sign := ""
	if at < 0 {
		sign, at = "-", -at
	}
	n := int(math.Round(at))
	return fmt.Sprintf("%s%d:%02d:%02d", sign, n/3600, n/60%60, n%60)
}
