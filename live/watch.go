package live

import (
	"context"
	"fmt"
	"path/filepath"
	"runtime"
	"sync"

	"meltspan/trial"
)

// Watched is what a folder of pictures says of a moving part.
type Watched struct {
	*trial.Motion           // times in Unix s
	By            TimeBy    // where the times come from
	Pictures      int       // in the folder
	Unreadable    []Skipped // and left out
	First, Last   float64   // times of the first and last picture that was read, Unix s
	Interval      float64   // usual, between pictures, s
}

// Skipped is a picture that was left out.
type Skipped struct {
	File   string
	Reason error
}

// Watch finds when the part in a region of the pictures moved. progress may be
// nil. When no end can be told, the error is one of trial's, and the result
// says what there was.
func Watch(ctx context.Context, frames []Frame, by TimeBy, r Region, progress func(done, of int)) (*Watched, error) {
	w := &Watched{Motion: &trial.Motion{}, By: by, Pictures: len(frames)}
	place, err := placeCells(frames, r)
	if err != nil {
		return w, err
	}
	read := make([][]patches, len(frames))
	failed := make([]error, len(frames))
	var group sync.WaitGroup
	var counting sync.Mutex
	done, next := 0, make(chan int)
	for range runtime.GOMAXPROCS(0) {
		group.Go(func() {
			for i := range next {
				read[i], failed[i] = place.load(frames[i])
				counting.Lock()
				if done++; progress != nil {
					progress(done, len(frames))
				}
				counting.Unlock()
			}
		})
	}
	for i := range frames {
		if ctx.Err() != nil {
			break
		}
		next <- i
	}
	close(next)
	group.Wait()
	if err := ctx.Err(); err != nil {
		return w, err
	}
	var times, steps []float64
	var pictures [][]patches
	for i, c := range read {
		if c == nil {
			w.Unreadable = append(w.Unreadable, Skipped{filepath.Base(frames[i].Path), failed[i]})
			continue
		}
		if n := len(times); n > 0 {
			steps = append(steps, frames[i].Time-times[n-1])
		}
		times, pictures = append(times, frames[i].Time), append(pictures, c)
	}
	if len(steps) > 0 {
		w.First, w.Last, w.Interval = times[0], times[len(times)-1], median(steps)
	}
	w.Motion, err = trial.FindMotion(times, newChanges(pictures).between)
	return w, err
}

// placeCells lays the cells over the first picture that can be read.
func placeCells(frames []Frame, r Region) (*lattice, error) {
	var first error
	for _, f := range frames {
		_, width, height, err := decodePicture(f)
		if err == nil {
			return newLattice(width, height, r)
		}
		if first == nil {
			first = fmt.Errorf("cannot read %s: %w", f.Path, err)
		}
	}
	return nil, first
}
