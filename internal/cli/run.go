// Package cli is the command line: it reads what the user typed, calls the
// packages that do the work, and prints what they say.
package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"os/signal"
	"strings"
	"syscall"

	"github.com/spf13/cobra"

	"meltspan/design"
	"meltspan/internal/textpage"
	"meltspan/notebook"
	"meltspan/quantity"
)

// The exit codes. The help topic exit-codes explains them.
const (
	exitDone        = 0
	exitFailed      = 1
	exitBadInput    = 2
	exitInterrupted = 130 // 128 and the number of the interrupt signal, as shells count
)

// UntilInterrupted returns a context that ends at the first Ctrl-C or request
// to terminate. A second one is no longer caught and ends the program at once.
func UntilInterrupted(parent context.Context) (context.Context, context.CancelFunc) {
	ctx, stop := signal.NotifyContext(parent, os.Interrupt, syscall.SIGTERM)
	context.AfterFunc(ctx, stop)
	return ctx, stop
}

// Run carries out one command line, without the program's name, and returns
// the exit code. Answers go to out; progress, notes and errors to errOut.
func Run(ctx context.Context, args []string, in io.Reader, out, errOut io.Writer) int {
	s := &session{ctx: ctx, in: in, out: &output{w: out}, err: errOut, terminal: isTerminal(errOut)}
	return s.run(args)
}

func (s *session) run(args []string) int {
	err := s.execute(args)
	if err == nil {
		err = s.out.failed
	}
	return s.conclude(err)
}

// session is one run of the program.
type session struct {
	ctx      context.Context
	in       io.Reader
	out      *output
	err      io.Writer
	terminal bool             // whether err is one
	quiet    bool             // no progress and no notes
	units    quantity.Display // of the reader
}

// output remembers the first error of the writer below it, so that printing
// needs no checks line by line.
type output struct {
	w      io.Writer
	failed error
}

func (o *output) Write(p []byte) (int, error) {
	if o.failed != nil {
		return 0, o.failed
	}
	n, err := o.w.Write(p)
	if err != nil {
		o.failed = fmt.Errorf("cannot write the output: %w", err)
	}
	return n, o.failed
}

func (s *session) execute(args []string) error {
	root := s.commands()
	if len(args) > 0 {
		if err := checkFirstWord(root, args[0]); err != nil {
			return err
		}
	}
	root.SetArgs(append([]string{}, spareNegatives(root, args)...)) // never nil: that would mean those of the process
	return root.ExecuteContext(s.ctx)
}

// checkFirstWord sees to it that the command comes first, and is one.
func checkFirstWord(root *cobra.Command, word string) error {
	switch {
	case word == "-h" || word == "--help" || word == "--version":
		return nil
	case strings.HasPrefix(word, "-"):
		return wrong("the command first, such as: meltspan predict demo --json", "%s stands where a command is expected", quoted(word))
	}
	var names []string
	for _, c := range root.Commands() {
		if c.Name() == word {
			return nil
		}
		if c.Runnable() {
			names = append(names, c.Name())
		}
	}
	right := choice(word, names)
	if looksLikeDesign(word) {
		right = "to predict from a design: meltspan predict " + shellWord(word)
	}
	return wrong(right, "there is no command %s", quoted(word))
}

// conclude tells the user of an error and turns it into an exit code.
func (s *session) conclude(err error) int {
	var f *fault
	var problems design.Problems
	var one design.Problem
	var mistake *notebook.Problem
	switch {
	case err == nil || errors.Is(err, syscall.EPIPE) || errors.Is(err, io.ErrClosedPipe):
		return exitDone // whoever read the output had enough of it
	case errors.As(err, &f):
		s.complain(f.what, f.right)
		return f.code
	case errors.As(err, &problems):
		s.complainOf(problems)
		if n := len(problems); n > 1 {
			s.complain(fmt.Sprintf("the design has %d problems", n), "")
		}
		return exitBadInput
	case errors.As(err, &one):
		s.complainOf(design.Problems{one})
		return exitBadInput
	case errors.As(err, &mistake):
		s.complain(mistake.What, mistake.Right)
		return exitBadInput
	case errors.Is(err, context.Canceled):
		s.complain("interrupted; nothing was computed yet", "")
		return exitInterrupted
	}
	s.complain(reason(err), "")
	return exitFailed
}

func (s *session) complain(what, right string) {
	var p textpage.Page
	p.Para(0, 2, "meltspan: "+what)
	if right != "" {
		p.Para(2, 2, "right: "+right)
	}
	io.WriteString(s.err, p.String()) // an error stream that fails leaves nobody to tell
}

// complainOf prints the mistakes in a design, in lines that fit the page but
// for the excerpts, whose columns count.
func (s *session) complainOf(problems design.Problems) {
	var p textpage.Page
	for line := range strings.SplitSeq(problems.Error(), "\n") {
		text := strings.TrimLeft(line, " ")
		indent := len(line) - len(text)
		if gutter, _, ok := strings.Cut(line, "| "); ok && strings.Trim(gutter, " 0123456789") == "" || text == "" {
			p.Line(line)
		} else {
			p.Para(indent, 2, text)
		}
	}
	io.WriteString(s.err, p.String())
}

// note tells something beside the answer.
func (s *session) note(format string, args ...any) {
	if !s.quiet {
		var p textpage.Page
		p.Para(0, 2, fmt.Sprintf(format, args...))
		io.WriteString(s.err, p.String())
	}
}

// reason words an error of the operating system without the name of the
// system call.
func reason(err error) string {
	var path *fs.PathError
	if errors.As(err, &path) {
		return fmt.Sprintf("cannot %s %s: %v", path.Op, path.Path, path.Err)
	}
	return err.Error()
}
