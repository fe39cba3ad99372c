package design

import (
	"embed"
	"fmt"
)

//go:embed demo/*.yaml
var demoFiles embed.FS

// demoNames lists the examples; the first is the starter.
var demoNames = []string{"engine-on-ice", "engine-on-hot-water", "sample-on-cubes", "generator-on-ice"}

// DemoNames lists the built-in examples, the starter first.
func DemoNames() []string { return append([]string(nil), demoNames...) }

// Demo returns the starter: a commented design with most keys.
func Demo() []byte {
	text, err := DemoNamed(demoNames[0])
	if err != nil {
		panic("design: the starter is not embedded: " + err.Error())
	}
	return text
}

// DemoNamed returns the text of a built-in example.
func DemoNamed(name string) ([]byte, error) {
	text, err := demoFiles.ReadFile("demo/" + name + ".yaml")
	if err != nil {
		return nil, fmt.Errorf("there is no example %q: %s", name, oneOf(name, demoNames))
	}
	return text, nil
}
