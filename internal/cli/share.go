package cli

import (
	"context"
	"fmt"
	"maps"
	"os"
	"slices"
	"strings"
	"sync"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"meltspan/search"
	"meltspan/sweep"
)

// accessFlags say how to reach a NATS server.
type accessFlags struct {
	token       string
	credentials string
}

func (a *accessFlags) add(flags *pflag.FlagSet) {
	flags.StringVar(&a.token, "token", "", "the server's token, in the first line of `FILE`")
	flags.StringVar(&a.credentials, "credentials", "", "NATS credentials, from `FILE`")
}

// access reads what the flags name. Secrets come from files: the arguments of a
// program can be seen by others.
func (a *accessFlags) access(url string) (sweep.Access, error) {
	out := sweep.Access{URL: url, Credentials: a.credentials}
	for _, file := range []string{a.token, a.credentials} {
		if file == "" {
			continue
		}
		text, err := os.ReadFile(file)
		if err != nil {
			return out, failed("a file that you may read", "cannot read %s: %v", quoted(file), cause(err))
		}
		if file == a.token {
			first, _, _ := strings.Cut(string(text), "\n")
			if out.Token = strings.TrimSpace(first); out.Token == "" {
				return out, wrong("a token in its first line", "the first line of %s is empty", quoted(file))
			}
		}
	}
	return out, nil
}

// shareFlags are those of a command that may share its work out.
type shareFlags struct {
	accessFlags
	share string
	nats  string
}

const shareAddress = "127.0.0.1:4222"

func (f *shareFlags) add(flags *pflag.FlagSet) {
	flags.StringVar(&f.share, "share", "", "share the candidates out from a server of this program, at `ADDRESS` (--share=ADDRESS; "+shareAddress+" unless given); workers join by meltspan work")
	flags.Lookup("share").NoOptDefVal = shareAddress
	flags.StringVar(&f.nats, "nats", "", "share the candidates out by the NATS server at `URL`, which must have JetStream")
	f.accessFlags.add(flags)
}

func (f *shareFlags) check(flags *pflag.FlagSet) error {
	switch {
	case f.share != "" && f.nats != "":
		return wrong("one of them", "--share runs a server and --nats uses another")
	case f.share == "" && f.nats == "" && (flags.Changed("token") || flags.Changed("credentials")):
		return wrong("--share or --nats with it", "a token or credentials are for sharing out, and nothing is shared")
	}
	return nil
}

// share puts a screen into the options that hands candidates to whoever works,
// this process among them. unshare ends it, and says who did what.
func (s *session) share(f *shareFlags, o *search.Options) (unshare func(), err error) {
	if f.share == "" && f.nats == "" {
		return func() {}, nil
	}
	access, err := f.access(f.nats)
	if err != nil {
		return nil, err
	}
	var server *sweep.Server
	if f.share != "" {
		if server, err = sweep.Start(f.share, access.Token); err != nil {
			return nil, failed("an address of this machine, such as --share="+shareAddress+"; one that others can reach with --token FILE", "%v", err)
		}
		access.URL = server.URL()
		s.note("workers may join by: meltspan work %s", access.URL)
	}
	c, err := sweep.NewCoordinator(s.ctx, access, 0)
	if err != nil {
		if server != nil {
			server.Stop() // the first error is the one to tell
		}
		return nil, failed("the URL of a server with JetStream, such as nats://host:4222", "%v", err)
	}
	ctx, stop := context.WithCancel(s.ctx)
	var wait sync.WaitGroup
	wait.Go(func() {
		if err := c.WorkHere(ctx, workerName()); err != nil && ctx.Err() == nil {
			s.note("this machine takes no more jobs: %v", err)
		}
	})
	o.Screen = c.Screen
	return func() {
		stop()
		wait.Wait()
		tidy, done := context.WithTimeout(context.Background(), 10*time.Second)
		defer done()
		if err := c.Close(tidy); err != nil {
			s.note("the server was left untidy: %v", err)
		}
		if server != nil {
			if err := server.Stop(); err != nil {
				s.note("the server's folder stays: %v", err)
			}
		}
		s.tally(c.Tally())
	}, nil
}

func (s *session) tally(t sweep.Tally) {
	var parts []string
	for _, name := range slices.Sorted(maps.Keys(t.Workers)) {
		parts = append(parts, fmt.Sprintf("%s %d", name, t.Workers[name]))
	}
	text := fmt.Sprintf("candidates done by jobs: %d; jobs by worker: %s", t.Candidates, strings.Join(parts, ", "))
	if t.Redelivered > 0 {
		text += fmt.Sprintf("; %d done by another, after their first worker was gone", t.Redelivered)
	}
	s.note("%s", text)
}

// workerName tells this process from others.
func workerName() string {
	host, err := os.Hostname()
	if err != nil {
		host = "worker"
	}
	return fmt.Sprintf("%s-%d", host, os.Getpid())
}

func (s *session) workCommand() *cobra.Command {
	var f accessFlags
	var quiet bool
	c := &cobra.Command{
		Use:   "work URL",
		Short: "work out candidates for a search on another machine",
		Long: "Takes candidates from a search that was started with --share or --nats, works them out on all cores of this " +
			"machine, and goes on until interrupted. Workers may come and go: what one leaves undone another does. Use the " +
			"same program on all machines.",
		Example: "  meltspan work nats://127.0.0.1:4222\n  meltspan work nats://bench:4222 --token token.txt\n",
		Args:    arguments(1, 1, "the URL of a NATS server", `"meltspan work nats://127.0.0.1:4222"`),
		RunE: func(_ *cobra.Command, args []string) error {
			s.quiet = quiet
			access, err := f.access(args[0])
			if err != nil {
				return err
			}
			return s.work(access)
		},
	}
	f.add(c.Flags())
	c.Flags().BoolVar(&quiet, "quiet", false, "no notes, only errors")
	return c
}

func (s *session) work(access sweep.Access) error {
	candidates := 0
	w := sweep.Worker{Name: workerName(), OnTrial: func(n int) { candidates = n }}
	s.note("waiting for work as %s; Ctrl-C ends", w.Name)
	if err := w.Work(s.ctx, access); err != nil {
		return failed("the URL of a server with JetStream, such as nats://host:4222", "%v", err)
	}
	s.note("worked out %d candidates", candidates)
	return nil
}
