package designtest

import (
	"testing"

	"pgregory.net/rapid"
)

func TestValidIsAlwaysValid(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) { Valid(t) })
}
