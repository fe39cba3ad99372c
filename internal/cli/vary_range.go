package cli

import (
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"meltspan/quantity"
)

// joinUnits puts together what was typed without quotes: 0.8 mm.
func joinUnits(args []string) []string {
	var out []string
	for _, arg := range args {
		if last := len(out) - 1; last >= 0 && isNumber(out[last]) && isUnit(arg) {
			out[last] += " " + arg
			continue
		}
		out = append(out, arg)
	}
	return out
}

func isNumber(text string) bool {
	_, err := strconv.ParseFloat(strings.Replace(text, minusSign, "-", 1), 64)
	return err == nil
}

func isUnit(text string) bool {
	return slices.ContainsFunc(quantity.Kinds(), func(k quantity.Kind) bool {
		_, err := quantity.Parse("1 "+text, k)
		return err == nil && !isNumber(text)
	})
}

// minusSign is a minus that no flag begins with.
const minusSign = "\u2212"

// spareNegatives keeps negative values from being taken for flags, none of
// which begins with a digit: -6 degC.
func spareNegatives(root *cobra.Command, args []string) []string {
	out := slices.Clone(args)
	cmd, _, err := root.Find(args)
	if err != nil {
		return out
	}
	for i, arg := range args {
		if arg == "--" {
			break
		}
		if len(arg) > 1 && arg[0] == '-' && strings.ContainsRune(".0123456789", rune(arg[1])) && !(i > 0 && wantsValue(cmd, args[i-1])) {
			out[i] = minusSign + arg[1:]
		}
	}
	return out
}

// wantsValue reports whether an argument is a flag whose value comes next.
func wantsValue(cmd *cobra.Command, arg string) bool {
	name, ok := strings.CutPrefix(arg, "--")
	if !ok {
		return false
	}
	f := cmd.Flags().Lookup(name)
	return f != nil && f.NoOptDefVal == ""
}
