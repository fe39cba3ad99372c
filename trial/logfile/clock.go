package logfile

import (
	"fmt"
	"strconv"
	"strings"
	"time"
	_ "time/tzdata" // names of zones, where the system has none
)

// Form is how a log writes time.
type Form string

// The forms of time.
const (
	DateTime     Form = "date and time"      // year first, ISO 8601 or near it
	DayFirst     Form = "day first"          // 31.01.2026 14:05:00
	MonthFirst   Form = "month first"        // 1/31/2026 2:05:00 PM
	EpochSeconds Form = "epoch seconds"      // since 1970, UTC
	EpochMillis  Form = "epoch milliseconds" // since 1970, UTC
	Seconds      Form = "elapsed seconds"
	Millis       Form = "elapsed milliseconds"
	Minutes      Form = "elapsed minutes"
	Hours        Form = "elapsed hours"
	HourMinutes  Form = "elapsed h:mm" // and h:mm:ss
	MinuteSecond Form = "elapsed mm:ss"
	TimeOfDay    Form = "time of day" // without a date
	EveryRow     Form = "every row"   // rows at equal intervals, no column
)

// Forms lists the forms in the order in which help lists them.
func Forms() []Form {
	return []Form{DateTime, DayFirst, MonthFirst, EpochSeconds, EpochMillis, Seconds, Millis, Minutes, Hours, HourMinutes, MinuteSecond, TimeOfDay, EveryRow}
}

// Absolute reports whether the form tells the date.
func (f Form) Absolute() bool {
	switch f {
	case DateTime, DayFirst, MonthFirst, EpochSeconds, EpochMillis:
		return true
	}
	return false
}

// clock reads times of one form. Dates are turned into Unix times in zone
// unless they state their own.
type clock struct {
	form         Form
	zone         *time.Location
	decimalComma bool

	// The last midnight worked out: rows of one day share it.
	year, month, day int
	midnight         float64
	plain            bool // no change of the clock on that day
}

// at reads a time, s: since 1970 for absolute forms, else since whatever the
// log counts from.
func (c *clock) at(cell string) (float64, bool) {
	switch c.form {
	case DateTime, DayFirst, MonthFirst:
		return c.date(cell)
	case HourMinutes, MinuteSecond, TimeOfDay:
		return c.colons(cell)
	}
	x, ok := number(cell, c.decimalComma)
	return x * secondsIn[c.form], ok
}

var secondsIn = map[Form]float64{EpochSeconds: 1, EpochMillis: 1e-3, Seconds: 1, Millis: 1e-3, Minutes: 60, Hours: 3600}

// colons reads h:mm, h:mm:ss or mm:ss, with a fraction of the last, and with
// days before: "1 02:03:04", "1d 02:03:04", "1.02:03:04". AM and PM are for
// times of day.
func (c *clock) colons(cell string) (float64, bool) {
	days := 0.0
	if at := strings.LastIndexAny(cell, " dT"); at > 0 && !strings.ContainsAny(cell, "mM") {
		n, err := strconv.Atoi(strings.TrimRight(cell[:at], " d"))
		if err != nil || n < 0 || c.form == TimeOfDay {
			return 0, false
		}
		days, cell = float64(n), strings.TrimSpace(cell[at+1:])
	}
	if c.form == MinuteSecond {
		minutes, rest, found := strings.Cut(cell, ":")
		if strings.Contains(rest, ":") {
			t, ok := timeOfDay(cell, 1e6)
			return t + 86400*days, ok
		}
		m, ok := whole(minutes)
		s, ok2 := fraction(rest)
		return float64(m)*60 + s + 86400*days, found && ok && ok2 && s < 60
	}
	most := 1e6 // hours may go on beyond a day
	if c.form == TimeOfDay {
		most = 24
	}
	t, ok := timeOfDay(cell, most)
	return t + 86400*days, ok
}

// timeOfDay reads h:mm or h:mm:ss with a fraction, and AM or PM behind it.
func timeOfDay(cell string, mostHours float64) (float64, bool) {
	half := 0
	if n := len(cell); n > 2 && (cell[n-1] == 'M' || cell[n-1] == 'm') {
		switch cell[n-2] {
		case 'A', 'a':
			half = 1
		case 'P', 'p':
			half = 2
		default:
			return 0, false
		}
		cell = strings.TrimSpace(cell[:n-2])
	}
	hours, rest, found := strings.Cut(cell, ":")
	minutes, seconds, threefold := strings.Cut(rest, ":")
	h, ok := whole(hours)
	m, ok2 := whole(minutes)
	s, ok3 := 0.0, true
	if threefold {
		s, ok3 = fraction(seconds)
	}
	if !found || !ok || !ok2 || !ok3 || m > 59 || !(s < 61) || float64(h) >= mostHours || half > 0 && (h < 1 || h > 12) {
		return 0, false
	}
	if half > 0 {
		h = h%12 + 12*(half-1)
	}
	return float64(h)*3600 + float64(m)*60 + s, true
}

// whole reads digits, up to eight of them.
func whole(text string) (int, bool) {
	if text == "" || len(text) > 8 {
		return 0, false
	}
	n := 0
	for i := range len(text) {
		if text[i] < '0' || text[i] > '9' {
			return 0, false
		}
		n = 10*n + int(text[i]-'0')
	}
	return n, true
}

// fraction reads a number without sign, with a point or a comma.
func fraction(text string) (float64, bool) {
	if n, ok := whole(text); ok {
		return float64(n), true
	}
	if text == "" || text[0] < '0' || text[0] > '9' || strings.ContainsAny(text, "eExXpP_") {
		return 0, false
	}
	return number(text, true)
}

// date reads a date with the time of day that may follow it, and a zone that
// may follow that.
func (c *clock) date(cell string) (float64, bool) {
	parts, rest, ok := threeNumbers(cell)
	if !ok {
		return 0, false
	}
	year, month, day := parts[0], parts[1], parts[2]
	switch c.form {
	case DayFirst:
		year, day = parts[2], parts[0]
	case MonthFirst:
		year, month, day = parts[2], parts[0], parts[1]
	}
	if year < 100 && c.form != DateTime { // a year that comes first has four digits
		year += 2000
	}
	if year < 1900 || year > 2200 || month < 1 || month > 12 || day < 1 || day > 31 {
		return 0, false
	}
	if rest == "" {
		return c.unix(year, month, day, 0, c.zone)
	}
	if rest[0] != ' ' && rest[0] != 'T' && rest[0] != 't' && rest[0] != ',' && rest[0] != '_' {
		return 0, false
	}
	clockPart, zone, ok := c.zoneOf(strings.TrimSpace(rest[1:]))
	if !ok {
		return 0, false
	}
	t, ok := timeOfDay(clockPart, 24)
	if !ok {
		return 0, false
	}
	return c.unix(year, month, day, t, zone)
}

// threeNumbers reads "2026-01-31", "31.01.2026", "1/31/26" and what follows.
func threeNumbers(cell string) (parts [3]int, rest string, ok bool) {
	at := 0
	for i := range parts {
		start := at
		for at < len(cell) && cell[at] >= '0' && cell[at] <= '9' {
			at++
		}
		n, ok := whole(cell[start:at])
		if !ok {
			return parts, "", false
		}
		parts[i] = n
		if i < 2 {
			if at >= len(cell) || cell[at] != '-' && cell[at] != '/' && cell[at] != '.' {
				return parts, "", false
			}
			at++
		}
	}
	return parts, cell[at:], true
}

// zoneOf takes a zone off a time of day: Z, UTC, +01:00, +0100, +01.
func (c *clock) zoneOf(text string) (clockPart string, zone *time.Location, ok bool) {
	if bare, found := strings.CutSuffix(text, "Z"); found {
		return strings.TrimSpace(bare), time.UTC, true
	}
	if bare, found := strings.CutSuffix(text, "UTC"); found {
		return strings.TrimSpace(bare), time.UTC, true
	}
	at := strings.LastIndexAny(text, "+-")
	if at < 0 {
		return text, c.zone, true
	}
	zone, err := ParseZone(text[at:])
	return strings.TrimSpace(text[:at]), zone, err == nil
}

// ParseZone reads a time zone: UTC, Z, local, an offset such as +01:00, or a
// name such as Europe/Berlin.
func ParseZone(text string) (*time.Location, error) {
	switch strings.ToLower(text) {
	case "z", "utc":
		return time.UTC, nil
	case "", "local":
		return time.Local, nil
	}
	if text[0] == '+' || text[0] == '-' {
		digits := strings.Replace(text[1:], ":", "", 1)
		if n, ok := whole(digits); ok && (len(digits) == 2 || len(digits) == 4) {
			if len(digits) == 2 {
				n *= 100
			}
			if h, m := n/100, n%100; h <= 14 && m < 60 {
				seconds := 3600*h + 60*m
				if text[0] == '-' {
					seconds = -seconds
				}
				return time.FixedZone(text, seconds), nil
			}
		}
	} else if zone, err := time.LoadLocation(text); err == nil {
		return zone, nil
	}
	return nil, fmt.Errorf("there is no time zone %q", text)
}

// ParseMoment reads a moment as people write it, year first: "2026-01-31
// 14:05", with seconds and zone if they like; zone is for those who do not.
// It is a Unix time, s.
func ParseMoment(text string, zone *time.Location) (float64, bool) {
	return (&clock{form: DateTime, zone: zone}).at(strings.TrimSpace(text))
}

// unix is the Unix time of a date and the seconds since its midnight by the
// clock on the wall.
func (c *clock) unix(year, month, day int, seconds float64, zone *time.Location) (float64, bool) {
	if time.Date(year, time.Month(month), day, 0, 0, 0, 0, time.UTC).Day() != day {
		return 0, false // the 31st of a month of thirty days
	}
	if zone != c.zone { // stated in the cell
		return float64(time.Date(year, time.Month(month), day, 0, 0, 0, 0, zone).Unix()) + seconds, true
	}
	if year != c.year || month != c.month || day != c.day {
		midnight := time.Date(year, time.Month(month), day, 0, 0, 0, 0, zone)
		c.year, c.month, c.day = year, month, day
		c.midnight = float64(midnight.Unix())
		c.plain = midnight.AddDate(0, 0, 1).Sub(midnight) == 24*time.Hour
	}
	if c.plain {
		return c.midnight + seconds, true
	}
	// The clock is put forward or back on this day.
	n := int(seconds)
	exact := time.Date(year, time.Month(month), day, n/3600, n/60%60, n%60, 0, zone)
	return float64(exact.Unix()) + seconds - float64(n), true
}
