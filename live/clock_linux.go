package live

import "golang.org/x/sys/unix"

// steady goes on while the computer sleeps, unlike the clock of the runtime.
func steady() float64 {
	var t unix.Timespec
	if err := unix.ClockGettime(unix.CLOCK_BOOTTIME, &t); err != nil {
		return sinceStart()
	}
	return float64(t.Sec) + float64(t.Nsec)/1e9
}
