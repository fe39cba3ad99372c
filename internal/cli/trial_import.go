package cli

import (
	"fmt"
	"io"
	"math"
	"path/filepath"

	"github.com/spf13/cobra"

	"meltspan/design"
	"meltspan/notebook"
	"meltspan/quantity"
	"meltspan/record"
	"meltspan/report"
	"meltspan/trial"
	"meltspan/trial/logfile"
)

// importFlags are those of trial import beside what is said of the trial.
type importFlags struct {
	aboutFlags
	mappingFlags
	to         string
	startAfter string
	dryRun     bool
	keepLog    bool
}

func (s *session) trialImportCommand() *cobra.Command {
	var f importFlags
	c := &cobra.Command{
		Use:   "import LOG [DESIGN]",
		Short: "keep a trial with the CSV file of a logger",
		Long: "Reads the CSV file of a logger into a new trial, or with --trial into one that is there. Delimiter, decimal comma, encoding, header, " +
			"what each column measures and how time is written are guessed and shown; --dry-run shows them and keeps nothing. What was guessed wrongly is corrected by --column, --time " +
			"and the like, or by a mapping file.\n\n" +
			"Nothing is left out: readings that cannot be are kept with a mark, rows whose time cannot be read are counted and shown, and the log itself is attached.\n\n" +
			"When the load was set on is what --start or --start-after says, else what the trial knows, else the first row. Start and stall are then found from the speed if it was logged, " +
			"else from the difference of the plates.",
		Example: "  meltspan trial import log.csv --dry-run\n" +
			"  meltspan trial import log.csv design.yaml --start \"2026-01-31 14:05\"\n" +
			"  meltspan trial import log.csv design.yaml --column \"T1=bottom plate\" \\\n" +
			"    --column \"T2=top plate, degF\" --time-form \"day first\" --zone UTC\n" +
			"  meltspan trial import scale.csv --trial 3\n",
		Args: arguments(1, 2, "a log, and perhaps a design", `"meltspan trial import log.csv design.yaml"`),
		RunE: func(_ *cobra.Command, args []string) error { return s.trialImport(args, &f) },
	}
	flags := c.Flags()
	flags.BoolVar(&f.dryRun, "dry-run", false, "show how the log would be read, and keep nothing")
	f.mappingFlags.add(flags)
	flags.StringVar(&f.startAfter, "start-after", "", "the load was set on `TIME` after the first row (after the log's own nought, where it has one)")
	flags.StringVar(&f.to, "trial", "", "add the log to the trial `TRIAL`, by number or name")
	flags.BoolVar(&f.keepLog, "keep-log", true, fmt.Sprintf("attach the log itself as well (up to %d MB)", record.MostKeptLog>>20))
	f.aboutFlags.add(flags)
	return c
}

// imported is the answer of an import.
type imported struct {
	Log      *logfile.Log        `json:"log"`
	Start    float64             `json:"start_in_log_s"` // the trial's start, as the log counts
	Because  string              `json:"start_because"`
	Series   []report.SeriesView `json:"series"`
	Trial    int64               `json:"trial,omitempty"` // 0: a dry run
	Name     string              `json:"name,omitempty"`
	Notebook string              `json:"notebook,omitempty"`
	Outcome  trial.Outcome       `json:"outcome"`
	Found    []trial.Event       `json:"found,omitempty"`

	series []trial.Series
}

func (s *session) trialImport(args []string, f *importFlags) (err error) {
	t, by, err := f.read()
	if err != nil {
		return err
	}
	data, err := readPlain(args[0], logfile.MostBytes)
	if err != nil {
		return err
	}
	var d record.Design
	if len(args) > 1 {
		if f.to != "" {
			return wrong("--trial without a design: the trial has its own", "the design %s cannot be given together with --trial", quoted(args[1]))
		}
		if d, err = s.readToKeep(args[1]); err != nil {
			return err
		}
	}
	if err := checkedAgainst(&t, d.Design); err != nil {
		return err
	}
	log, err := logfile.Read(filepath.Base(args[0]), data, by)
	if err != nil {
		return err
	}
	if err := f.saveMapping(log); err != nil {
		return err
	}
	answer := &imported{Log: log}
	switch {
	case f.to != "":
		err = s.importInto(answer, f, &t, filepath.Base(args[0]), data)
	default:
		err = s.importNew(answer, f, &t, d, filepath.Base(args[0]), data)
	}
	if err != nil {
		return err
	}
	if f.json {
		return report.JSON(s.out, answer)
	}
	return s.page(func(w io.Writer) error { return answer.text(w, s.units) })
}

// read turns the flags into a trial and what they say of the log.
func (f *importFlags) read() (trial.Trial, logfile.Mapping, error) {
	by, err := f.mappingFlags.mapping(f.zone)
	if err != nil {
		return trial.Trial{}, by, err
	}
	if f.start != "" && f.startAfter != "" {
		return trial.Trial{}, by, wrong("one of the two", "--start and --start-after both say when the load was set on")
	}
	t, err := f.aboutFlags.trial()
	return t, by, err
}

// importNew makes a new trial of a log.
func (s *session) importNew(a *imported, f *importFlags, t *trial.Trial, d record.Design, file string, data []byte) (err error) {
	if err := a.place(f, t); err != nil {
		return err
	}
	t.Series = a.series
	if err := a.detect(t, d.Design); err != nil {
		return err
	}
	t.Events = append(t.Events, a.Found...)
	if f.dryRun {
		return nil
	}
	n, err := notebook.Open(s.ctx, f.notebook)
	if err != nil {
		return err
	}
	defer closing(n, &err)
	if a.Trial, err = record.Create(s.ctx, n, d, *t, f.file(nil, file, data)...); err != nil {
		return err
	}
	head, err := n.Head(s.ctx, a.Trial)
	a.Name, a.Notebook = head.Trial.Name, f.notebook
	return err
}

// importInto adds a log to a trial that is there.
func (s *session) importInto(a *imported, f *importFlags, flags *trial.Trial, file string, data []byte) (err error) {
	if f.name != "" || len(f.set) > 0 || f.note != "" || len(flags.Events) > 0 {
		return wrong(`"meltspan trial change" and "meltspan trial event"`, "--trial adds a log only; what else is known of the trial is changed otherwise")
	}
	n, err := s.openNotebook(f.notebook)
	if err != nil {
		return err
	}
	defer closing(n, &err)
	id, err := n.Find(s.ctx, f.to)
	if err != nil {
		return err
	}
	t, err := n.Trial(s.ctx, id)
	if err != nil {
		return err
	}
	if !math.IsNaN(flags.Start) {
		if !math.IsNaN(t.Start) && t.Start != flags.Start {
			return wrong(`"meltspan trial change --start"`, "the trial starts at %s already", report.MomentText(t.Start, t.Zone))
		}
		t.Start, t.Zone = flags.Start, flags.Zone
	}
	if err := a.place(f, &t); err != nil {
		return err
	}
	t.Series = append(t.Series, a.series...)
	d, err := record.DesignOf(s.ctx, n, &t)
	if err != nil {
		return err
	}
	if err := a.detect(&t, d); err != nil {
		return err
	}
	if f.dryRun {
		return nil
	}
	attached, err := n.Attachments(s.ctx, id)
	if err != nil {
		return err
	}
	if err := n.AddSeries(s.ctx, id, a.series, f.file(attached, file, data)...); err != nil {
		return err
	}
	a.Trial, a.Name, a.Notebook = id, t.Name, f.notebook
	return s.renewEvents(n, id, &t, a.Found)
}

// renewEvents puts newly detected events in the place of earlier ones, and
// keeps the start that the log told.
func (s *session) renewEvents(n *notebook.Notebook, id int64, t *trial.Trial, found []trial.Event) error {
	if err := n.ChangeTrial(s.ctx, id, func(kept *trial.Trial) error {
		kept.Start, kept.Zone = t.Start, t.Zone
		return nil
	}); err != nil {
		return err
	}
	return n.ReplaceEvents(s.ctx, id, []string{trial.BySpeed, trial.ByDifference}, found...)
}

// file is the log as an attachment, if it is to be kept.
func (f *importFlags) file(attached []notebook.Attachment, name string, data []byte) []notebook.File {
	if !f.keepLog {
		return nil
	}
	return record.LogFile(attached, name, data)
}

// place finds the trial's start in the log, and counts the series from there.
func (a *imported) place(f *importFlags, t *trial.Trial) error {
	after := nan
	if f.startAfter != "" {
		v, err := quantity.Parse(f.startAfter, quantity.Time)
		if err != nil {
			return wrong(`such as --start-after "3 min"`, "--start-after cannot be %s", quoted(f.startAfter))
		}
		after = v.SI
	}
	p, err := record.Place(a.Log, t, after, f.zone)
	if err != nil {
		return settingFault(err)
	}
	a.Start, a.Because, a.series = p.Start, p.Because, p.Series
	a.Series = report.ViewSeries(a.series)
	return nil
}

// detect looks for start and stall with what the design says of its load.
func (a *imported) detect(t *trial.Trial, d *design.Design) (err error) {
	a.Outcome, a.Found, err = record.Detect(t, d)
	return settingFault(err)
}
