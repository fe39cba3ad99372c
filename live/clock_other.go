//go:build !linux

package live

// steady is the clock of the runtime. On some systems it stands while the
// computer sleeps; Shift then tells of the time that was slept through.
func steady() float64 { return sinceStart() }
