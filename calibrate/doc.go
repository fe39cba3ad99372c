// Package calibrate learns from trials. It turns bench logs into the settings
// of a load, trials into a posterior of what the design leaves uncertain, two
// trials into a fair comparison, and a trial that still runs into a forecast of
// its end.
//
// All unknowns are standard normal deviates, as package predict draws them, so
// the prior is the same wherever it is used. What the model gets wrong is part
// of the inference: the pace of a run and its temperatures differ from the
// model's by amounts whose size is assumed and said (see Discrepancy).
package calibrate
