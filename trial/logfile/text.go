package logfile

import (
	"bytes"
	"fmt"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
)

// Encodings of a log, as they are named to the user.
const (
	encodingUTF8   = "UTF-8"
	encodingUTF16  = "UTF-16"
	encodingLatin1 = "Latin-1"
)

// decoded turns the bytes of a log into text and names their encoding. A log
// that is no UTF-8 and no UTF-16 is taken for Latin-1 in the form of Windows,
// which has the degree sign in the same place and takes any byte.
func decoded(data []byte) (text, name string, err error) {
	form, name := encoding.Encoding(nil), encodingUTF8
	switch {
	case bytes.HasPrefix(data, []byte{0xef, 0xbb, 0xbf}):
		data = data[3:]
	case bytes.HasPrefix(data, []byte{0xff, 0xfe}), bytes.HasPrefix(data, []byte{0xfe, 0xff}):
		form, name = unicode.UTF16(unicode.LittleEndian, unicode.UseBOM), encodingUTF16
	case bareUTF16(data, 1):
		form, name = unicode.UTF16(unicode.LittleEndian, unicode.IgnoreBOM), encodingUTF16
	case bareUTF16(data, 0):
		form, name = unicode.UTF16(unicode.BigEndian, unicode.IgnoreBOM), encodingUTF16
	case !utf8.Valid(data):
		form, name = charmap.Windows1252, encodingLatin1
	}
	if form == nil {
		return string(bytes.ToValidUTF8(data, []byte("\ufffd"))), name, nil
	}
	out, err := form.NewDecoder().Bytes(data)
	if err != nil {
		return "", name, fmt.Errorf("decoding the log as %s: %w", name, err)
	}
	return string(out), name, nil
}

// bareUTF16 recognises UTF-16 without its mark: digits and commas then have a
// zero in every second byte, the high one, which is at the place of its pair.
func bareUTF16(data []byte, high int) bool {
	head := data[:min(len(data), 256)&^1]
	if len(head) < 4 {
		return false
	}
	zero := 0
	for i := high; i < len(head); i += 2 {
		if head[i] == 0 && head[i^1] != 0 {
			zero++
		}
	}
	return zero > len(head)/2*3/4
}

// lines splits text at line ends of any system.
func lines(text string) []string {
	if !strings.Contains(text, "\n") {
		return strings.Split(strings.TrimSuffix(text, "\r"), "\r")
	}
	out := strings.Split(strings.TrimSuffix(text, "\n"), "\n")
	for i, line := range out {
		out[i] = strings.TrimSuffix(line, "\r")
	}
	return out
}

// comment reports whether a line is set off as a remark.
func comment(line string) bool {
	line = strings.TrimSpace(line)
	return line == "" || line[0] == '#' || line[0] == '%' || strings.HasPrefix(line, "//") || strings.HasPrefix(line, "--")
}

// cells appends the cells of a line to out. A cell may stand in quotes (RFC
// 4180), in which a doubled quote is one; a quote that is never closed ends
// with the line, so that one broken line harms no other.
func cells(out []string, line string, delimiter byte) []string {
	for {
		start := 0
		for start < len(line) && line[start] == ' ' {
			start++
		}
		if start < len(line) && line[start] == '"' {
			cell, rest, more := quotedCell(line[start+1:], delimiter)
			if out = append(out, cell); !more {
				return out
			}
			line = rest
			continue
		}
		end := strings.IndexByte(line, delimiter)
		if end < 0 {
			return append(out, strings.TrimSpace(line))
		}
		out, line = append(out, strings.TrimSpace(line[:end])), line[end+1:]
	}
}

// quotedCell takes a cell from behind its opening quote, and what follows
// the delimiter after it.
func quotedCell(line string, delimiter byte) (cell, rest string, more bool) {
	end := strings.IndexByte(line, '"')
	for end >= 0 && end+1 < len(line) && line[end+1] == '"' {
		next := strings.IndexByte(line[end+2:], '"')
		if next < 0 {
			end = -1
			break
		}
		end += 2 + next
	}
	if end < 0 {
		return strings.TrimSpace(strings.ReplaceAll(line, `""`, `"`)), "", false
	}
	cell = strings.TrimSpace(strings.ReplaceAll(line[:end], `""`, `"`))
	_, rest, more = strings.Cut(line[end+1:], string(delimiter))
	return cell, rest, more
}

// columnOf is where the n-th cell of a line begins, counted from 1 in
// characters.
func columnOf(line string, n int, delimiter byte) int {
	at, quoted := 0, false
	for ; at < len(line) && n > 0; at++ {
		switch {
		case line[at] == '"':
			quoted = !quoted
		case line[at] == delimiter && !quoted:
			n--
		}
	}
	for at < len(line) && (line[at] == ' ' || line[at] == '"') {
		at++
	}
	return utf8.RuneCountInString(line[:at]) + 1
}
