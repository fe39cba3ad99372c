package record

import (
	"meltspan/notebook"
	"meltspan/report"
)

// Answer reads the answer of a kept result and hands it on. A is what the commands
// print as JSON for results of that kind.
func Answer[A any](r *notebook.Result, use func(*A) error) error {
	a := new(A)
	if err := report.ReadJSON(r.Payload, a); err != nil {
		return err
	}
	return use(a)
}
