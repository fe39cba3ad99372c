package live

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"slices"

	"meltspan/calibrate"
	"meltspan/notebook"
	"meltspan/report"
	"meltspan/trial"
)

// ForecastInputs are what a forecast in the notebook rests on, beside the trial
// with its design.
type ForecastInputs struct {
	Learned  string `json:"learned,omitempty"` // number of a calibration in the notebook, or a file; "": the design alone
	Against  string `json:"against,omitempty"` // name of the trial that it was held against
	Readings int    `json:"readings"`          // good ones by then
	Members  int    `json:"members"`
	Seed     uint64 `json:"seed"`
	Update   int    `json:"update"` // which of those made in one go; each leans on those before
}

// KeepForecast keeps one update of a forecast, each for itself: so it can be seen
// later what was foretold when. The same update is not kept twice.
func KeepForecast(ctx context.Context, n *notebook.Notebook, code string, id int64, c calibrate.Case, learned string, update int, f *calibrate.Forecast) error {
	in := ForecastInputs{Learned: learned, Readings: readingsBy(c.Trial, f.Now), Members: f.Members, Seed: f.Seed, Update: update}
	if f.Question != nil {
		in.Against = f.Question.Than
	}
	inputs, err := json.Marshal(in)
	if err != nil {
		return err
	}
	var payload bytes.Buffer
	if err := report.JSON(&payload, f); err != nil {
		return err
	}
	_, err = n.KeepOnce(ctx, notebook.Result{Kind: notebook.Forecast, Code: code, Revision: c.Design.Revision(), Trials: []int64{id}, Inputs: inputs, Payload: payload.Bytes()})
	return err
}

func readingsBy(t *trial.Trial, now float64) int {
	count := 0
	for i := range t.Series {
		times, _ := t.Series[i].Good()
		k, _ := slices.BinarySearchFunc(times, now, func(at, now float64) int {
			if at <= now {
				return -1
			}
			return 1
		})
		count += k
	}
	return count
}

// KeptForecasts reads the forecasts of a trial that began from the same
// knowledge and were held against nothing, each moment once, rising: the last
// that was made of it.
func KeptForecasts(ctx context.Context, n *notebook.Notebook, id int64, learned string) ([]*calibrate.Forecast, error) {
	list, err := n.ResultsOfTrial(ctx, notebook.Forecast, id)
	if err != nil {
		return nil, err
	}
	at := map[float64]*calibrate.Forecast{}
	for i := range list {
		var in ForecastInputs
		if err := json.Unmarshal(list[i].Inputs, &in); err != nil || in.Learned != learned || in.Against != "" {
			continue
		}
		f := new(calibrate.Forecast)
		if err := report.ReadJSON(list[i].Payload, f); err != nil {
			return nil, fmt.Errorf("the forecast %d in the notebook: %w", list[i].ID, err)
		}
		at[f.Now] = f
	}
	out := make([]*calibrate.Forecast, 0, len(at))
	for _, f := range at {
		out = append(out, f)
	}
	slices.SortFunc(out, func(a, b *calibrate.Forecast) int {
		if a.Now < b.Now {
			return -1
		}
		return 1
	})
	return out, nil
}

// Gathering is a result in a list; of forecasts it stands for all updates of one
// trial from the same knowledge.
type Gathering struct {
	notebook.Result
	Updates int // of a forecast; 0: it is none
}

// Gathered puts the updates of each forecast together under the last of them, in
// its place.
func Gathered(list []notebook.Result) []Gathering {
	updates := map[string]int{}
	var out []Gathering
	for i := len(list) - 1; i >= 0; i-- {
		if list[i].Kind != notebook.Forecast {
			out = append(out, Gathering{Result: list[i]})
			continue
		}
		k := gatheredBy(&list[i])
		if updates[k]++; updates[k] == 1 {
			out = append(out, Gathering{Result: list[i]})
		}
	}
	slices.Reverse(out)
	for i := range out {
		if out[i].Kind == notebook.Forecast {
			out[i].Updates = updates[gatheredBy(&out[i].Result)]
		}
	}
	return out
}

// gatheredBy is alike in all updates of one forecast.
func gatheredBy(r *notebook.Result) string {
	var in ForecastInputs
	json.Unmarshal(r.Inputs, &in) // what cannot be read is gathered as if it said nothing
	return fmt.Sprint(r.Trials, in.Learned, in.Against)
}

// Together are the results that are taken out with a result: itself and, of a
// forecast, all other updates. It is empty where there is no such result.
func Together(list []notebook.Result, id int64) []notebook.Result {
	i := slices.IndexFunc(list, func(r notebook.Result) bool { return r.ID == id })
	switch {
	case i < 0:
		return nil
	case list[i].Kind != notebook.Forecast:
		return list[i : i+1]
	}
	var out []notebook.Result
	for k := range list {
		if list[k].Kind == notebook.Forecast && gatheredBy(&list[k]) == gatheredBy(&list[i]) {
			out = append(out, list[k])
		}
	}
	return out
}
