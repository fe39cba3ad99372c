package cli

import (
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// fault is an error that says what is wrong and what would be right.
type fault struct {
	code        int
	what, right string
}

func (f *fault) Error() string {
	if f.right == "" {
		return f.what
	}
	return f.what + "; right: " + f.right
}

// wrong is the user's mistake: what is wrong, and what would be right.
func wrong(right, format string, args ...any) *fault {
	return &fault{exitBadInput, fmt.Sprintf(format, args...), right}
}

// failed is no mistake of the user's: the machine refuses.
func failed(right, format string, args ...any) *fault {
	return &fault{exitFailed, fmt.Sprintf(format, args...), right}
}

func quoted(text string) string { return fmt.Sprintf("%q", text) }

// nearest returns the name most likely meant by what was typed, or "".
func nearest(typed string, names []string) string {
	// The command library knows how to guess at commands; any names will do.
	list := cobra.Command{SuggestionsMinimumDistance: 2}
	phrases := strings.NewReplacer(" ", "-") // a command is one word
	for _, name := range names {
		list.AddCommand(&cobra.Command{Use: phrases.Replace(name), Run: func(*cobra.Command, []string) {}})
	}
	if found := list.SuggestionsFor(phrases.Replace(typed)); len(found) > 0 && typed != "" {
		for _, name := range names {
			if phrases.Replace(name) == found[0] {
				return name
			}
		}
	}
	return ""
}

// choice words what would be right instead of what was typed.
func choice(typed string, names []string) string {
	list := "one of " + strings.Join(names, ", ")
	if near := nearest(typed, names); near != "" {
		return "did you mean " + near + "? It must be " + list
	}
	return list
}

// flagFault words what the flag library finds wrong.
func flagFault(cmd *cobra.Command, err error) error {
	var unknown *pflag.NotExistError
	var valueless *pflag.ValueRequiredError
	var invalid *pflag.InvalidValueError
	switch {
	case errors.As(err, &unknown):
		return unknownFlag(cmd, unknown)
	case errors.As(err, &valueless):
		f := valueless.GetFlag()
		return wrong("such as "+flagExample(f), "--%s needs a value", f.Name)
	case errors.As(err, &invalid):
		f := invalid.GetFlag()
		return wrong(flagWants(f)+", such as "+flagExample(f), "--%s cannot be %s", f.Name, quoted(invalid.GetValue()))
	}
	return wrong("meltspan help "+called(cmd), "%v", err)
}

// called is what a command is called, with the command above it.
func called(cmd *cobra.Command) string {
	return strings.TrimPrefix(cmd.CommandPath(), cmd.Root().Name()+" ")
}

func unknownFlag(cmd *cobra.Command, unknown *pflag.NotExistError) error {
	name := unknown.GetSpecifiedName()
	var names []string
	cmd.LocalFlags().VisitAll(func(f *pflag.Flag) {
		if !f.Hidden {
			names = append(names, "--"+f.Name)
		}
	})
	if len(names) == 0 {
		return wrong("meltspan "+cmd.Use, "%s has no flags, and got one", called(cmd))
	}
	if short := unknown.GetSpecifiedShortnames(); short != "" {
		right := "flags are spelled out, with two dashes: " + strings.Join(names, ", ")
		if near := nearest("--"+short, names); near != "" {
			right = "did you mean " + near + "? Flags are spelled out, with two dashes"
		}
		return wrong(right, "there is no flag -%s", short)
	}
	return wrong(choice("--"+name, names), "%s has no flag --%s", called(cmd), name)
}

func flagWants(f *pflag.Flag) string {
	switch f.Value.Type() {
	case "int", "uint64":
		return "a whole number"
	case "float64":
		return "a number"
	case "units":
		return "degC or degF, and mm or in, with a comma between"
	case "bool":
		return "nothing, or true or false"
	}
	return "a text"
}

// flagExample shows how a flag is written.
func flagExample(f *pflag.Flag) string {
	if f.Value.Type() == "bool" {
		return "--" + f.Name
	}
	value := f.DefValue
	if value == "" || value == "[]" {
		value, _ = pflag.UnquoteUsage(f)
	}
	return "--" + f.Name + " " + value
}
