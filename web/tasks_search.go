package web

import (
	"context"
	"errors"
	"fmt"
	"math"
	"net/http"
	"slices"
	"strings"

	"meltspan/design"
	"meltspan/network"
	"meltspan/next"
	"meltspan/notebook"
	"meltspan/predict"
	"meltspan/quantity"
	"meltspan/record"
	"meltspan/report"
	"meltspan/search"
)

func (s *Server) searching(_ context.Context, in order) (work, error) {
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
	for _, c := range in.Choose {
		input, err := search.NewChoice(d, c.Path, c.Words)
		if err != nil {
			return nil, wordProblem(err)
		}
		inputs = append(inputs, input)
		words = append(words, "--choose", c.Path+"="+strings.Join(c.Words, ","))
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
	if in.Samples > 0 {
		if err := predict.CheckQuantile(search.DefaultQuantile, in.Samples); err != nil {
			return nil, bad("more samples", err.Error())
		}
		words = append(words, "--samples", fmt.Sprint(in.Samples))
	}
	p, err := search.NewProblem(d, inputs, limits, aims, search.DefaultQuantile, network.DefaultHorizon)
	if err != nil {
		return nil, rangeProblem(err)
	}
	return func(ctx context.Context, tell teller) (*finished, error) {
		found, err := p.Run(ctx, search.Options{Candidates: in.Candidates, Samples: in.Samples, Progress: tell})
		if found == nil || found.Tried == 0 {
			return nil, errors.Join(err, ctx.Err())
		}
		f := &finished{Command: command(append(words, "--write", "found")...), Aims: in.Aims, made: made{kind: notebook.Search, answer: found, revision: d.Revision(), designs: []source{in.source}}}
		for i := range found.Front {
			f.texts = append(f.texts, string(found.DesignOf(i).YAML()))
		}
		f.finds(s.bookCommand, found)
		return f, errors.Join(err, f.say(quantity.Display{}))
	}, nil
}

// rangeProblem words what is wrong with the inputs of a search.
func rangeProblem(err error) error {
	if p := problemOf(err); p.Status != http.StatusInternalServerError {
		return p
	}
	return bad("inputs with both ends of a range", err.Error())
}

// wordProblem words what is wrong with words to choose among.
func wordProblem(err error) error {
	if p := problemOf(err); p.Status != http.StatusInternalServerError {
		return p
	}
	return bad("two words or more that the key may hold", err.Error())
}

// pointOf is one design found.
func pointOf(u quantity.Display, r *search.Result, i int) point {
	c := &r.Front[i]
	p := point{Number: i, Name: r.Name(i), RunTime: c.RunTime(), Run: aboutTime(c.RunTime()), Print: c.PrintTime, Plastic: c.Material}
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

func (s *Server) nexting(ctx context.Context, in order) (work, error) {
	d, err := s.parse(in.source)
	if err != nil {
		return nil, err
	}
	words := []string{"next", in.called()}
	var revisions []*design.Design
	keep := made{kind: notebook.NextTrials, revision: d.Revision(), designs: []source{in.source}}
	others := []string{}
	for _, name := range in.Others {
		other, from, err := s.candidate(ctx, name)
		if err != nil {
			return nil, err
		}
		revisions, others, words = append(revisions, other), append(others, other.Revision()), append(words, from.called())
		if from.Text != "" {
			keep.designs = append(keep.designs, from)
		}
	}
	ofBook := slices.ContainsFunc(in.Others, func(name string) bool { return strings.HasPrefix(name, revisionPrefix) })
	keep.inputs = map[string]any{"other_revisions": others}
	if in.Unprinted {
		words = append(words, "--unprinted")
	}
	return func(ctx context.Context, tell teller) (*finished, error) {
		r, err := next.Rank(ctx, d, revisions, next.Options{Printed: !in.Unprinted, Progress: func(done, of int) { tell("draw", done, of) }})
		if r == nil {
			return nil, err
		}
		line := command(words...)
		if ofBook {
			line = s.bookCommand(words...)
		}
		f := &finished{Command: line, made: keep}
		f.answer = r
		f.shown = record.OfNext(r)
		return f, errors.Join(err, f.say(quantity.Display{}))
	}, nil
}
