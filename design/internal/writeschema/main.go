// Writeschema writes the JSON Schema of the design file beside package
// design; go generate runs it there.
package main

import (
	"fmt"
	"os"

	"meltspan/design"
)

func main() {
	if err := os.WriteFile("design.schema.json", design.Schema(), 0o644); err != nil {
		fmt.Fprintln(os.Stderr, "writeschema:", err)
		os.Exit(1)
	}
}
