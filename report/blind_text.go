package report

import (
	"errors"
	"io"
	"math"
	"strconv"

	"meltspan/calibrate"
	"meltspan/internal/textpage"
	"meltspan/quantity"
)

// narrowHalf is the half-width of a band, as a share of its median, below which it
// is told as a narrow one.
const narrowHalf = 0.15

// BlindText writes predictions of trials that a calibration has not seen, beside
// what was seen of them.
func BlindText(w io.Writer, c *calibrate.Posterior, list []*calibrate.Blind) error {
	if c == nil || len(list) == 0 {
		return errors.New("report: text: no blind prediction was given")
	}
	p := &textpage.Page{CutLong: true}
	p.Paraf(0, 2, "What %s alone foretold of trials not learned from (middle 90 %%).", trialsNamed(c))
	rows := [][]string{{"trial", "design", "median", "from", "to", "seen", "within"}}
	held, seen, narrow, wider := 0, 0, 0, 0.0
	for _, b := range list {
		x := b.Prediction
		t := bandTimes(x.Posterior.Low, x.Posterior.Median, x.Posterior.High)
		row := []string{b.Trial, x.Design, t[1], t[0], t[2], "not seen", ""}
		if finite(b.Seen) {
			seen++
			row[5], row[6] = quantity.FormatDuration(b.Seen), "no"
			if b.Held {
				held++
				row[6] = "yes"
			}
		}
		if b.HalfWidth < narrowHalf {
			narrow++
		}
		wider += (x.Prior.High - x.Prior.Low) / (x.Posterior.High - x.Posterior.Low) / float64(len(list))
		rows = append(rows, row)
	}
	p.Table("llrrrrl", rows)
	if seen > 0 {
		p.Paraf(2, 2, "%d of the %d run times seen lie in their bands.", held, seen)
	}
	p.Paraf(2, 2, "%d of %d bands reach less than 15 %% to either side of their medians.", narrow, len(list))
	if finite(wider) && wider > 0 {
		p.Paraf(2, 2, "From the designs alone the bands would be %s times as wide.", strconv.FormatFloat(math.Round(10*wider)/10, 'f', 1, 64))
	}
	p.Para(2, 2, "Foretold: by the model, from design, settings and logged room, and what was learned. Seen: measured, and not used.")
	return writeText(w, p)
}
