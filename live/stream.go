package live

import (
	"bytes"
	"strings"
)

// longestLine bounds what is kept of a line that never ends.
const longestLine = 8192

// splitter cuts a stream of bytes into lines. What comes before the first end
// of a line may be the tail of one, and is given up unless it stands for
// itself: half of "t=121.5" reads as a wrong number.
type splitter struct {
	clock  *Clock
	hear   func(Message)
	whole  bool // the stream began at the start of a line
	fresh  bool
	begun  bool // the end of a line was seen
	line   []byte
	long   bool
	before byte
}

func newSplitter(clock *Clock, whole bool, hear func(Message)) *splitter {
	return &splitter{clock: clock, hear: hear, whole: whole, fresh: true}
}

// add takes what was read. Lines end with a line feed, a carriage return, or
// both.
func (s *splitter) add(data []byte) {
	now := s.clock.Now()
	for len(data) > 0 {
		end := bytes.IndexAny(data, "\r\n")
		if end < 0 {
			s.keep(data)
			return
		}
		s.keep(data[:end])
		if !(data[end] == '\n' && s.before == '\r' && end == 0) {
			s.flush(now)
		}
		s.before = data[end]
		data = data[end+1:]
	}
}

func (s *splitter) keep(data []byte) {
	if len(data) == 0 {
		return
	}
	s.before = 0
	if s.long = s.long || len(s.line)+len(data) > longestLine; s.long {
		data = data[:max(0, min(len(data), longestLine-len(s.line)))]
	}
	s.line = append(s.line, data...)
}

func (s *splitter) flush(now float64) {
	line := string(s.line)
	s.line, s.long = s.line[:0], false
	if first := !s.begun; first {
		s.begun = true
		if !s.whole && !standsAlone(line) {
			return
		}
	}
	if strings.TrimSpace(line) == "" {
		return
	}
	s.hear(Message{Time: now, Text: line, Fresh: s.fresh})
	s.fresh = false
}

// standsAlone reports whether a line cannot be the tail of another: a header,
// a comment, a whole object.
func standsAlone(line string) bool {
	line = strings.TrimSpace(line)
	if strings.HasPrefix(line, "{") && strings.HasSuffix(line, "}") || strings.HasPrefix(line, "#") {
		return true
	}
	text, err := printable(line)
	var l Lines
	return err == nil && l.header(text)
}
