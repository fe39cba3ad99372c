package cli

import (
	"strings"

	"github.com/spf13/pflag"

	"meltspan/quantity"
	"meltspan/trial/logfile"
)

// mappingFlags say how a log is to be read, where the guess is wrong.
type mappingFlags struct {
	file, save         string
	columns            []string
	time, form         string
	every              string
	delimiter, decimal string
	firstLine          int
}

func (f *mappingFlags) add(flags *pflag.FlagSet) {
	flags.StringArrayVar(&f.columns, "column", nil, "what a column is, `NAME=QUANTITY`, with unit and place behind commas if need be: \"T1=bottom plate\", \"T2=wall, degF, north side\", \"T3=none\"; as often as needed")
	flags.StringVar(&f.time, "time", "", "time stands in the column `NAME`, or in two, \"DATE,CLOCK\"")
	forms := make([]string, 0, len(logfile.Forms()))
	for _, form := range logfile.Forms() {
		if form != logfile.EveryRow {
			forms = append(forms, string(form))
		}
	}
	flags.StringVar(&f.form, "time-form", "", "time is written as `FORM`: "+strings.Join(forms, ", "))
	flags.StringVar(&f.every, "every", "", "the log has no times, but a row each `TIME`, such as \"10 s\"")
	flags.StringVar(&f.delimiter, "delimiter", "", "columns are parted by `MARK`: comma, semicolon, tab")
	flags.StringVar(&f.decimal, "decimal", "", "whole and fraction are parted by `MARK`: point, comma")
	flags.IntVar(&f.firstLine, "first-line", 0, "the data begin in line `N`")
	flags.Lookup("first-line").DefValue = ""
	flags.StringVar(&f.file, "mapping", "", "take all this from the mapping file `FILE`; flags go before it")
	flags.StringVar(&f.save, "save-mapping", "", "write how the log is read into `FILE`, for the next one of its kind")
}

// mapping puts file and flags together.
func (f *mappingFlags) mapping(zone string) (logfile.Mapping, error) {
	over := logfile.Mapping{Delimiter: f.delimiter, Decimal: f.decimal, FirstLine: f.firstLine,
		Time: logfile.Time{Form: logfile.Form(f.form), Zone: zone}}
	if f.time != "" {
		over.Time.Columns = strings.Split(f.time, ",")
	}
	if f.every != "" {
		v, err := quantity.Parse(f.every, quantity.Time)
		if err != nil || !(v.SI > 0) {
			return over, wrong(`such as --every "10 s"`, "--every cannot be %s", quoted(f.every))
		}
		over.Time.Form, over.Time.Every = logfile.EveryRow, v.SI
	}
	for _, word := range f.columns {
		c, err := logfile.ParseColumn(word)
		if err != nil {
			return over, settingFault(err)
		}
		over.Columns = append(over.Columns, c)
	}
	if f.file == "" {
		return over, settingFault(over.Check())
	}
	text, err := readPlain(f.file, 1<<20)
	if err != nil {
		return over, err
	}
	m, err := logfile.ParseMapping(f.file, text)
	if err != nil {
		return over, err
	}
	over = m.Merge(over)
	return over, settingFault(over.Check())
}

func (f *mappingFlags) saveMapping(l *logfile.Log) error {
	if f.save == "" {
		return nil
	}
	text, err := l.Mapping.YAML()
	if err != nil {
		return err
	}
	return writeFile(f.save, text)
}
