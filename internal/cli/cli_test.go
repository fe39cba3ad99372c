package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"encoding/xml"
	"errors"
	"flag"
	"image/png"
	"io"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"meltspan/internal/textpage"
)

var update = flag.Bool("update", false, "rewrite the golden texts in the scripts")

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"meltspan": func() {
			ctx, stop := UntilInterrupted(context.Background())
			code := Run(ctx, os.Args[1:], os.Stdin, os.Stdout, os.Stderr)
			stop()
			os.Exit(code)
		},
	})
}

// TestScripts runs the program as users do. Beside the usual commands,
// scripts have
//
//	exits CODE program args...   run a program and ask for its exit code
//	json FILE...                 the files (or stdout) are valid JSON
//	svg FILE...                  the files are well-formed SVG
//	png FILE...                  the files decode as PNG
//	narrow                       no line of stdout or stderr is wider than 80
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:           "testdata/script",
		UpdateScripts: *update,
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"exits": exits,
			"json": eachFile(func(data []byte) error {
				if !json.Valid(data) {
					return errors.New("no valid JSON")
				}
				return nil
			}),
			"svg": eachFile(svgError),
			"png": eachFile(func(data []byte) error {
				_, err := png.Decode(bytes.NewReader(data))
				return err
			}),
			"narrow": narrow,
		},
		Condition: func(name string) (bool, error) {
			if name == "root" {
				return os.Geteuid() == 0, nil
			}
			return false, errors.New("there is no such condition")
		},
	})
}

func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits CODE program args...")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	got := 0
	var exit *exec.ExitError
	if err := ts.Exec(args[1], args[2:]...); errors.As(err, &exit) {
		got = exit.ExitCode()
	} else {
		ts.Check(err)
	}
	if got != want {
		ts.Fatalf("exit code %d, want %d", got, want)
	}
}

func eachFile(check func(data []byte) error) func(*testscript.TestScript, bool, []string) {
	return func(ts *testscript.TestScript, neg bool, args []string) {
		if neg || len(args) == 0 {
			ts.Fatalf("usage: one or more files")
		}
		for _, file := range args {
			if err := check([]byte(ts.ReadFile(file))); err != nil {
				ts.Fatalf("%s: %v", file, err)
			}
		}
	}
}

func svgError(data []byte) error {
	decoder := xml.NewDecoder(bytes.NewReader(data))
	root := ""
	for {
		token, err := decoder.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			return err
		}
		if start, ok := token.(xml.StartElement); ok && root == "" {
			root = start.Name.Local
		}
	}
	if root != "svg" {
		return errors.New("the root element is " + root)
	}
	return nil
}

func narrow(ts *testscript.TestScript, neg bool, args []string) {
	for _, stream := range []string{"stdout", "stderr"} {
		for line := range strings.SplitSeq(ts.ReadFile(stream), "\n") {
			if n := len([]rune(line)); n > textpage.Width {
				ts.Fatalf("%d columns on %s: %s", n, stream, line)
			}
		}
	}
}

// run runs a command line in this process.
func run(t *testing.T, args ...string) (code int, out, errOut string) {
	t.Helper()
	var o, e bytes.Buffer
	code = Run(t.Context(), args, strings.NewReader(""), &o, &e)
	return code, o.String(), e.String()
}
