// Package search looks for the design worth printing next: the user says what
// may vary and what must hold, and gets the design of longest run time or the
// front of designs none of which is better in every respect.
//
// Candidates are made by differential evolution (evolve.go), which knows
// nothing of heat; space.go turns numbers into designs, limits.go says what
// must hold, trial.go works out what a candidate is worth, and search.go leads
// through it all: screening on one adverse draw, ranking on common draws, and
// confirming the best on the fine section.
package search
