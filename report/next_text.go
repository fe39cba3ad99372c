package report

import (
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"meltspan/internal/textpage"
	"meltspan/next"
	"meltspan/quantity"
)

// NextText writes a ranking of trials for people at a terminal, in 80 columns of
// plain text.
func NextText(w io.Writer, u quantity.Display, r *next.Ranking) error {
	if r == nil || len(r.RunTimes) == 0 || len(r.Trials) == 0 {
		return errors.New("report: text: no ranking was given")
	}
	p := &textpage.Page{CutLong: true}
	p.Para(0, 2, nameOf(r.Design, r.Revision)+": what to try next")
	p.Blank()
	p.Para(2, 2, u.Restate(nextHeadline(r)))
	if len(r.Revisions) > 0 {
		p.Blank()
		for i, b := range r.RunTimes {
			t := bandTimes(b.Median, b.Low, b.High)
			name := r.Design
			if i > 0 {
				name = r.Revisions[i-1]
			}
			p.Paraf(2, 2, "%s: run time %s, between %s and %s with 90 %% probability before any further trial.", name, t[0], t[1], t[2])
		}
	}
	p.Heading("Trials, the most rewarding first (" + byWords(r) + ")")
	rows := [][]string{{"", "takes", "narrows", "bits", "bits/h", "gain", "gain/h", "worth a day"}}
	for i, t := range r.Trials {
		worth := "yes"
		if !t.Worth {
			worth = "no"
		}
		rows = append(rows, []string{strconv.Itoa(i + 1), rankedTime(t.Cost.Total()), percent(t.Narrowed), fmt.Sprintf("%.2f", t.Bits),
			fmt.Sprintf("%.3f", t.BitsPerHour), minutes(t.Gain), fmt.Sprintf("%.1f min", t.GainPerHour/60), worth})
	}
	p.Table("rrrrrrrl", rows)
	for i, t := range r.Trials {
		p.Blank()
		p.Para(2, 4, fmt.Sprintf("%d. %s.", i+1, u.Restate(capital(t.Name))))
		p.Para(5, 0, costWords(t.Cost)+" "+settlesWords(u, t))
	}
	nextGrounds(p, u, r)
	return writeText(w, p)
}

func byWords(r *next.Ranking) string {
	if r.By == next.ByRunTime {
		return "gain of run time per hour"
	}
	return "information per hour"
}

func minutes(seconds float64) string { return fmt.Sprintf("%.0f min", seconds/60) }

func capital(text string) string {
	if text == "" {
		return text
	}
	return strings.ToUpper(text[:1]) + text[1:]
}

// nextHeadline says what to do, or that nothing more is worth a day.
func nextHeadline(r *next.Ranking) string {
	first := &r.Trials[0]
	for i := range r.Trials {
		if r.Trials[i].Worth {
			first = &r.Trials[i]
			break
		}
	}
	if !first.Worth {
		return fmt.Sprintf("No further trial is worth a day: none narrows the band of the run time by a tenth, and none is expected to gain %s by a better choice of design. "+
			"Build %s and use it.", quantity.FormatDuration(r.Worth), longestName(r))
	}
	text := capital(first.Name) + ": "
	switch {
	case first.Narrowed >= 0.005 && first.Gain >= 60:
		text += fmt.Sprintf("the band of the run time of %s is expected to narrow by %s, and the run time to gain %s by choosing after it", longestName(r), percent(first.Narrowed), minutes(first.Gain))
	case first.Gain >= 60:
		text += fmt.Sprintf("the run time is expected to gain %s by choosing after it", minutes(first.Gain))
	default:
		text += fmt.Sprintf("the band of the run time of %s is expected to narrow by %s", longestName(r), percent(first.Narrowed))
	}
	return text + fmt.Sprintf(", for %s of work.", rankedTime(first.Cost.Total()))
}

func longestName(r *next.Ranking) string {
	if r.Longest > 0 {
		return r.Revisions[r.Longest-1]
	}
	return r.Design
}

func costWords(c next.Cost) string {
	var parts []string
	for _, part := range []struct {
		verb string
		time float64
	}{{"printing", c.Print}, {"freezing", c.Freeze}, {"running", c.Run}, {"handling", c.Handling}} {
		if part.time > 0 {
			parts = append(parts, part.verb+" "+rankedTime(part.time))
		}
	}
	return capital(strings.Join(parts, ", ")) + "."
}

func settlesWords(u quantity.Display, t next.Trial) string {
	if len(t.Settles) == 0 {
		return "It would settle nothing that is unknown by as much as a tenth of its variance."
	}
	var parts []string
	for _, s := range t.Settles {
		parts = append(parts, fmt.Sprintf("%s of what is unknown about %s (%s)", percent(s.Share), s.Path, u.Restate(sentenceStart(s.About))))
	}
	return "It would settle " + strings.Join(parts, "; ") + "."
}

func nextGrounds(p *textpage.Page, u quantity.Display, r *next.Ranking) {
	p.Heading("Grounds")
	source := "what the design says about its inputs; nothing learned from trials is in it (--draws)"
	if r.Known {
		source = "the draws given, and what the design says about all else"
	}
	p.Paraf(2, 2, "Draws: %d, seed %d, from %s. In each, every trial was simulated with errors of reading (2 min, %s, 1 g), on a day and a weighing of its own, "+
		"and the model taken to be wrong by 4 %% for each design and 3 %% for each trial. These errors, and half an hour of handling, are judgement.", r.Draws, r.Seed, source, differenceText(u, 0.3))
	p.Paraf(2, 2, "Bits: expected information about the run time of %s, by a straight-line reading of the draws. Narrows: share by which its band is expected to shrink. "+
		"Gain: expected run time won by choosing among the designs after the trial.", longestName(r))
	if len(r.Revisions) == 0 {
		p.Para(2, 2, "Name revisions after the design, such as those that search wrote, to weigh printing one of them.")
	} else if math.Abs(r.Perfect) >= 60 {
		p.Paraf(2, 2, "Knowing everything would gain %s of run time over choosing %s now.", minutes(r.Perfect), longestName(r))
	}
	p.Paraf(2, 2, "A trial is worth a day when it narrows the band by a tenth, or gains %s.", quantity.FormatDuration(r.Worth))
	p.Para(2, 2, "These are predictions, not measurements.")
}
