package record

import (
	"context"
	"math"

	"meltspan/network"
	"meltspan/notebook"
	"meltspan/quantity"
	"meltspan/report"
	"meltspan/trial"
)

// View reads a trial and works out what is shown of it. predicted asks for what
// the network says of a run; why there is none is said in the view.
func View(ctx context.Context, n *notebook.Notebook, id int64, predicted bool) (*report.TrialView, error) {
	t, err := n.Trial(ctx, id)
	if err != nil {
		return nil, err
	}
	v := &report.TrialView{Number: id, Trial: t, Series: report.ViewSeries(t.Series)}
	if v.Attachments, err = n.Attachments(ctx, id); err != nil {
		return nil, err
	}
	if t.Revision == "" {
		v.Unpredicted = "the trial has no design in the notebook"
		return v, nil
	}
	kept, err := n.Design(ctx, t.Revision)
	if err != nil {
		return nil, err
	}
	d, err := kept.Parse()
	if err == nil {
		d, err = t.Arranged(d)
	}
	if err != nil {
		v.Unpredicted = "the design cannot be used with the settings of the trial: " + err.Error()
		return v, nil
	}
	v.Stall = trial.StallingOf(d).Difference
	if t.Kind != trial.Run && t.Kind != "" || !predicted {
		return v, nil
	}
	m, err := network.Build(d)
	if err != nil {
		v.Unpredicted = err.Error()
		return v, nil
	}
	v.Prediction, err = m.Run(ctx, network.Options{Course: true})
	return v, err
}

// Row is a trial in a list of them.
type Row struct {
	Start    string  // to the minute
	RunTime  float64 // s; NaN: not known
	Run      string  // the same in words
	Readings int
}

// RowOf puts what is known of a trial in short.
func RowOf(h *notebook.Head) Row {
	v := report.TrialView{Trial: h.Trial}
	r := Row{Run: "not known", Start: report.MomentText(h.Trial.Start, h.Trial.Zone)}
	if minute := len("2006-01-02 15:04"); len(r.Start) > minute {
		r.Start = r.Start[:minute]
	}
	seconds, _, open := v.RunTime()
	if r.RunTime = seconds; !math.IsNaN(seconds) {
		if r.Run = quantity.FormatDuration(seconds); open {
			r.Run = "over " + r.Run
		}
	}
	for _, e := range h.Series {
		r.Readings += e.Samples
	}
	return r
}
