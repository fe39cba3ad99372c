package report

import (
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"meltspan/internal/textpage"
	"meltspan/predict"
	"meltspan/quantity"
)

// VaryText writes a variation for people at a terminal, in 80 columns of plain
// text: what is best, what to beware of, and a table over the values, which
// must rise along each axis.
func VaryText(w io.Writer, u quantity.Display, data *predict.Variation) error {
	if err := checkVariation(data); err != nil {
		return fmt.Errorf("report: text: %w", err)
	}
	v, p := newVariation(u, data), &textpage.Page{CutLong: true}
	p.Para(0, 2, v.headline()+".")
	for _, text := range v.warnings() {
		p.Para(2, 2, text)
	}
	p.Blank()
	p.Para(2, 2, nameOf(v.Design, v.Revision))
	for k := range v.axes {
		a := &v.axes[k]
		p.Para(2, 2, a.Path+": "+u.Restate(sentenceStart(a.About))+spacingText(a))
	}
	if len(v.axes) == 1 {
		v.lineTable(p, 0, v.every())
	} else {
		v.gridTable(p)
	}
	v.impossibleText(p)
	p.Heading("Grounds")
	p.Para(2, 2, samplesText(predict.Band{Samples: v.Samples, Asked: v.Asked, Seed: v.Seed})+
		" Every value is given the same draws of all else, so what changes along the range is better known than any one run time."+v.roughText())
	p.Para(2, 2, "This is a prediction, not a measurement.")
	return writeText(w, p)
}

// roughText tells what few samples lie beyond the ends of the bands.
func (v *variation) roughText() string {
	const few = 20 // fewer leave an end that another seed would move
	beyond := float64(v.Samples) * (1 - predict.Probability) / 2
	if v.Samples == 0 || beyond >= few {
		return ""
	}
	return fmt.Sprintf(" Only about %.0f samples lie below the low end at each value, so it is rough.", math.Max(beyond, 1))
}

// checkVariation refuses what cannot be told: no axis, more than two, or
// points that do not fit the axes.
func checkVariation(v *predict.Variation) error {
	switch {
	case v == nil:
		return errors.New("no variation was given")
	case len(v.Axes) < 1 || len(v.Axes) > 2:
		return fmt.Errorf("a variation over %d inputs; it must be one or two", len(v.Axes))
	}
	count := 1
	for _, a := range v.Axes {
		count *= len(a.Values)
	}
	if count == 0 || len(v.Points) != count || max(v.Longest, v.Safest) >= count || (v.Longest < 0) != (v.Safest < 0) {
		return fmt.Errorf("the variation holds %d points for %d places, the longest run time at point %d, the safest at %d", len(v.Points), count, v.Longest, v.Safest)
	}
	for i, p := range v.Points {
		for k, a := range v.Axes {
			if len(p.At) != len(v.Axes) || p.At[k] < 0 || p.At[k] >= len(a.Values) {
				return fmt.Errorf("point %d lies at %v, which is no place on the axes", i, p.At)
			}
		}
	}
	return nil
}

func spacingText(a *variedAxis) string {
	if !a.log {
		return ""
	}
	return " (values in equal ratios)"
}

func (v *variation) every() []int {
	out := make([]int, len(v.Points))
	for i := range out {
		out[i] = i
	}
	return out
}

// lineTable is the whole band at each point of a line along one axis.
func (v *variation) lineTable(p *textpage.Page, axis int, line []int) {
	a := &v.axes[axis]
	p.Heading("Run time by " + a.titled() + v.alongside(axis))
	rows := [][]string{{"value", "nominal", "low", "median", "high", "early", ""}}
	starred := false
	for _, i := range line {
		point, label := v.Points[i], a.labels[v.Points[i].At[axis]]
		mark := ""
		if v.now() == i {
			mark = "now"
		}
		switch {
		case point.Impossible != "":
			rows = append(rows, []string{label, "impossible", absent, absent, absent, absent, ""})
			continue
		case !v.hasBand(i):
			rows = append(rows, []string{label, v.time(point.Nominal), absent, absent, absent, absent, mark})
			continue
		}
		if i == v.Longest && point.Band.Median > 0 {
			mark, starred = mark+" *", true
		}
		if i == v.Safest && point.Band.Low > 0 {
			mark, starred = mark+" +", true
		}
		b := point.Band
		rows = append(rows, []string{label, v.time(point.Nominal), v.time(b.Low), v.time(b.Median), v.time(b.High), percent(point.Early), mark})
	}
	p.Table("rrrrrrl", rows)
	text := "Early: share of the samples that never start, or stall long before the store is spent."
	if starred {
		text += " *: longest median. +: longest lower end."
	}
	p.Para(2, 2, fmt.Sprintf("Low to high holds %s of the samples. %s", percent(predict.Probability), text))
}

// gridTable is the median run time over both axes, or, where that is wider
// than the page, along each axis through the best point.
func (v *variation) gridTable(p *textpage.Page) {
	rows := v.grid()
	if v.Longest >= 0 && tableWidth(rows) > textpage.Width {
		for k := range v.axes {
			v.lineTable(p, k, v.line(k))
		}
		return
	}
	p.Heading(fmt.Sprintf("Median run time in h; down: %s, across: %s", v.axes[0].titled(), v.axes[1].titled()))
	p.Table(strings.Repeat("r", len(rows[0])), rows)
}

func (v *variation) grid() [][]string {
	down, across := &v.axes[0], &v.axes[1]
	rows := make([][]string, len(down.Values)+1)
	rows[0] = append([]string{""}, across.labels...)
	for i, label := range down.labels {
		rows[i+1] = make([]string, len(across.Values)+1)
		rows[i+1][0] = label
	}
	decimals := 1
	if v.Longest >= 0 && v.Points[v.Longest].Band.Median < 2*3600 {
		decimals = 2
	}
	for i, point := range v.Points {
		text := absent
		if v.hasBand(i) {
			hours, _ := quantity.In(point.Band.Median, quantity.Time, "h")
			text = strconv.FormatFloat(hours, 'f', decimals, 64)
		}
		rows[point.At[0]+1][point.At[1]+1] = text
	}
	return rows
}

// tableWidth is how many columns a table takes on a page.
func tableWidth(rows [][]string) int {
	sum := 0
	for j := range rows[0] {
		width := 0
		for _, row := range rows {
			width = max(width, textpage.Columns(row[j]))
		}
		sum += 2 + width
	}
	return sum
}

// impossibleText gives the reasons why some values make no design, one of each
// kind: those that differ in their numbers only are alike.
func (v *variation) impossibleText(p *textpage.Page) {
	type reason struct {
		first string
		count int
	}
	var kinds []string
	reasons := map[string]reason{}
	for i, point := range v.Points {
		if point.Impossible == "" {
			continue
		}
		kind := strings.Map(withoutNumbers, point.Impossible)
		r := reasons[kind]
		if r.count == 0 {
			kinds, r.first = append(kinds, kind), v.place(i)+": "+v.units.Restate(point.Impossible)
		}
		r.count++
		reasons[kind] = r
	}
	if len(kinds) == 0 {
		return
	}
	p.Heading("Impossible")
	for _, kind := range kinds {
		r := reasons[kind]
		if r.count > 1 {
			r.first += fmt.Sprintf("; and %d more like it", r.count-1)
		}
		p.Para(2, 2, r.first+".")
	}
}

func withoutNumbers(r rune) rune {
	if strings.ContainsRune("-.0123456789", r) {
		return -1
	}
	return r
}
