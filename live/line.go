package live

import (
	"encoding/csv"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Field is one named reading of a line.
type Field struct {
	Key   string
	Value float64 // as written, in Unit; NaN when the text is none
	Unit  string  // written behind the number; "" when none was
}

// LineError says why a line could not be read.
type LineError struct {
	Text   string // the line, cut and made printable
	Column int    // of the first character that is wrong, from 1; 0: the line as a whole
	Reason string
}

func (e *LineError) Error() string {
	if e.Column > 0 {
		return fmt.Sprintf("column %d of %q: %s", e.Column, e.Text, e.Reason)
	}
	return fmt.Sprintf("%q: %s", e.Text, e.Reason)
}

const shownOfLine = 60

func badLine(line string, column int, format string, args ...any) error {
	if runes := []rune(line); len(runes) > shownOfLine {
		line = string(runes[:shownOfLine]) + "..."
	}
	return &LineError{line, column, fmt.Sprintf(format, args...)}
}

// mostFields bounds the readings of one line.
const mostFields = 256

// Lines reads lines of sensors: a JSON object, key=value pairs, or CSV. It
// remembers the header of CSV. The zero value is ready.
type Lines struct {
	Columns   []string // of CSV: given, or by the last header
	delimiter rune
}

// Read reads one line. A header, a comment or an empty line has no fields and
// is no error. Every error is a *LineError.
func (l *Lines) Read(line string) ([]Field, error) {
	line, err := printable(line)
	if err != nil {
		return nil, err
	}
	line = strings.TrimSpace(strings.TrimPrefix(line, "\ufeff"))
	switch {
	case line == "":
		return nil, nil
	case line[0] == '{':
		return readObject(line)
	case line[0] == '#':
		l.header(strings.TrimLeft(line, "# "))
		return nil, nil
	case strings.Contains(line, "=") || colonPair.MatchString(line):
		return readPairs(line)
	}
	return l.readRow(line)
}

// printable lets through text only. A lone degree or micro sign of an older
// encoding is read as what it is.
func printable(line string) (string, error) {
	if !utf8.ValidString(line) {
		line = strings.NewReplacer("\xc2\xb0", "°", "\xc2\xb5", "µ", "\xb0", "°", "\xb5", "µ").Replace(line)
	}
	for i, c := range line {
		if c == utf8.RuneError || c != '\t' && !unicode.IsPrint(c) && !unicode.IsSpace(c) {
			return "", badLine(line, utf8.RuneCountInString(line[:i])+1, "no text; a port at the wrong rate gives such lines")
		}
	}
	return line, nil
}

// readRow reads a row of CSV or of numbers with blanks between, or its header.
func (l *Lines) readRow(line string) ([]Field, error) {
	if l.header(line) {
		return nil, nil
	}
	delimiter := l.delimiter
	if delimiter == 0 {
		delimiter = delimiterOf(line)
	}
	cells, err := split(line, delimiter)
	if err != nil {
		return nil, err
	}
	if len(l.Columns) > 0 && len(cells) != len(l.Columns) {
		return nil, badLine(line, 0, "%d cells where the header has %d", len(cells), len(l.Columns))
	}
	if len(cells) > mostFields {
		return nil, badLine(line, 0, "more than %d cells", mostFields)
	}
	numbers := 0
	fields := make([]Field, len(cells))
	for i, cell := range cells {
		value, unit, ok := number(cell, delimiter != ',')
		if ok && !math.IsNaN(value) {
			numbers++
		}
		fields[i] = Field{l.column(i), value, unit}
	}
	if numbers == 0 && len(l.Columns) == 0 {
		return nil, badLine(line, 0, "neither numbers, nor a header, nor key=value, nor JSON")
	}
	return fields, nil
}

func (l *Lines) column(i int) string {
	if i < len(l.Columns) {
		return l.Columns[i]
	}
	return fmt.Sprintf("column %d", i+1)
}

// header takes a line as the header if it is one: two cells or more with a
// letter in each and no number among them.
func (l *Lines) header(line string) bool {
	delimiter := delimiterOf(line)
	cells, err := split(line, delimiter)
	if err != nil || len(cells) < 2 || len(cells) > mostFields || delimiter == ' ' {
		return false
	}
	seen := map[string]bool{}
	for _, c := range cells {
		_, _, isNumber := number(c, delimiter != ',')
		if isNumber || !strings.ContainsFunc(c, unicode.IsLetter) || seen[c] {
			return false
		}
		seen[c] = true
	}
	l.Columns, l.delimiter = cells, delimiter
	return true
}

func delimiterOf(line string) rune {
	for _, d := range "\t;," {
		if strings.ContainsRune(line, d) {
			return d
		}
	}
	return ' '
}

func split(line string, delimiter rune) ([]string, error) {
	if delimiter == ' ' {
		return strings.Fields(line), nil
	}
	r := csv.NewReader(strings.NewReader(line))
	r.Comma, r.LazyQuotes, r.TrimLeadingSpace = delimiter, true, delimiter != '\t'
	cells, err := r.Read()
	if err != nil {
		return nil, badLine(line, 0, "no row of CSV: %v", err)
	}
	for i := range cells {
		cells[i] = strings.TrimSpace(cells[i])
	}
	return cells, nil
}

var (
	colonPair = regexp.MustCompile(`^[\pL_][^:=,;\t]*:\s*[-+]?[0-9.,]*[0-9]`)
	numeral   = regexp.MustCompile(`^[-+]?(?:[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+)(?:[eE][-+]?[0-9]{1,3})?`)
)

// readPairs reads key=value or key:value, with semicolons, tabs, commas or
// blanks between.
func readPairs(line string) ([]Field, error) {
	delimiter := delimiterOf(line)
	parts, mark := []string{}, "="
	if !strings.Contains(line, "=") {
		mark = ":"
	}
	switch delimiter {
	case ' ':
		// A word without a mark belongs to the pair before it, as its unit.
		for _, word := range strings.Fields(strings.ReplaceAll(strings.ReplaceAll(line, mark+" ", mark), " "+mark, mark)) {
			if len(parts) > 0 && !strings.Contains(word, mark) {
				parts[len(parts)-1] += " " + word
			} else {
				parts = append(parts, word)
			}
		}
	default:
		parts = strings.Split(line, string(delimiter))
	}
	if len(parts) > mostFields {
		return nil, badLine(line, 0, "more than %d pairs", mostFields)
	}
	var fields []Field
	column := 1
	for _, part := range parts {
		key, text, ok := strings.Cut(part, mark)
		key = strings.Trim(strings.TrimSpace(key), `"`)
		switch {
		case strings.TrimSpace(part) == "":
		case !ok || key == "":
			reason := "no key=value pair"
			if delimiter == ',' && strings.ContainsAny(part, "0123456789") {
				reason += "; with decimal commas, put semicolons between pairs"
			}
			return nil, badLine(line, column, "%s", reason)
		default:
			value, unit, _ := number(text, delimiter != ',')
			fields = append(fields, Field{key, value, unit})
		}
		column += utf8.RuneCountInString(part) + 1
	}
	return fields, nil
}

// number reads a number with what is written behind it; comma says whether a
// comma may mark decimals. ok is whether the text is a number, or one of the
// words that stand for none.
func number(text string, comma bool) (value float64, unit string, ok bool) {
	text = strings.Trim(strings.TrimSpace(text), `"`)
	written := numeral.FindString(text)
	if !comma {
		written, _, _ = strings.Cut(written, ",")
	}
	if written == "" {
		switch strings.ToLower(strings.TrimLeft(text, "+-")) {
		case "", "nan", "inf", "null", "none", "n/a", "na", "err", "error", "ol", "---":
			return math.NaN(), "", true
		}
		return math.NaN(), "", false
	}
	rest := strings.TrimSpace(text[len(written):])
	// Another number behind it, such as a date, makes it no number.
	if rest != "" && strings.ContainsAny(rest[:1], "0123456789.,-+:/eE") {
		return math.NaN(), "", false
	}
	value, err := strconv.ParseFloat(strings.Replace(written, ",", ".", 1), 64)
	if err != nil || math.IsInf(value, 0) {
		return math.NaN(), "", false
	}
	return value, rest, true
}
