package cli

import (
	"errors"
	"math"
	"regexp"
	"strings"
	"time"

	"meltspan/quantity"
	"meltspan/trial"
	"meltspan/trial/logfile"
)

// parseFlag reads the quantity that a flag states.
func parseFlag(name, text string, kind quantity.Kind) (quantity.Value, error) {
	v, err := quantity.Parse(text, kind)
	if err == nil {
		return v, nil
	}
	return v, wrong("such as --"+name+" \""+quantity.Example(kind)+"\"", "--%s cannot be %s: %s", name, quoted(text), parseReason(err))
}

func parseReason(err error) string {
	var known *quantity.ParseError
	if errors.As(err, &known) {
		return known.Reason
	}
	return err.Error()
}

const momentExample = `14:05, "2026-01-17 14:05:30", "1 h 20 min" after the start, or now`

var timeOfDay = regexp.MustCompile(`^[0-9]{1,2}:[0-9]{2}(:[0-9]{2})?$`)

// moment reads when something happened, in seconds from the trial's start: a
// time of day (the first one after the start), a date with it, or what had
// passed since the start. Times are in the zone of the trial.
func moment(text string, t *trial.Trial, now time.Time) (float64, error) {
	text = strings.TrimSpace(text)
	if v, err := quantity.Parse(strings.TrimPrefix(text, "+"), quantity.Time); err == nil {
		return v.SI, nil
	}
	if math.IsNaN(t.Start) {
		return 0, wrong(`a time after the start, such as "1 h 20 min"`, "the trial has no start, so that %s says nothing", quoted(text))
	}
	zone, err := logfile.ParseZone(t.Zone)
	if err != nil {
		zone = time.Local
	}
	if text == "now" {
		return float64(now.UnixMilli())/1000 - t.Start, nil
	}
	start := time.UnixMicro(int64(t.Start * 1e6)).In(zone)
	if timeOfDay.MatchString(text) {
		layout := "15:04"
		if strings.Count(text, ":") == 2 {
			layout = "15:04:05"
		}
		clock, err := time.ParseInLocation(layout, text, zone)
		if err != nil {
			return 0, wrong(momentExample, "%s is no time of day", quoted(text))
		}
		y, m, d := start.Date()
		at := time.Date(y, m, d, clock.Hour(), clock.Minute(), clock.Second(), 0, zone)
		// Within the minute of the start counts as at it, not as a day later.
		if at.Before(start.Add(-time.Minute)) {
			if at = at.AddDate(0, 0, 1); at.After(now) {
				return 0, wrong(momentExample, "%s is before the trial's start at %s, and on the day after it is yet to come", quoted(text), start.Format("15:04"))
			}
		}
		return max(at.Sub(start).Seconds(), 0), nil
	}
	if at, ok := logfile.ParseMoment(text, zone); ok {
		return at - t.Start, nil
	}
	return 0, wrong(momentExample, "%s is no time", quoted(text))
}
