// Command meltspan predicts how long a small passive thermal device keeps
// running.
package main

import (
	"context"
	"os"

	"meltspan/internal/cli"
)

func main() {
	ctx, stop := cli.UntilInterrupted(context.Background())
	code := cli.Run(ctx, os.Args[1:], os.Stdin, os.Stdout, os.Stderr)
	stop()
	os.Exit(code)
}
