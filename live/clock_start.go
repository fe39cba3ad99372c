package live

import "time"

var started = time.Now()

func sinceStart() float64 { return time.Since(started).Seconds() }
