package web

import (
	"path"
	"strings"

	"meltspan/design"
)

// savedBy is the command that writes what was saved from what was opened: a copy
// of an example, or single values put into the text. "": there is none, since the
// text was changed by hand.
func (s *Server) savedBy(from source, name, text string) string {
	if from.Name == "" {
		return ""
	}
	if from.Text == text {
		if example, ok := strings.CutPrefix(from.Name, examplePrefix); ok {
			return command("starter", name, "--example", example)
		}
		return ""
	}
	old, err := s.parse(from)
	if err != nil {
		return ""
	}
	now, err := s.parse(source{name, text})
	if err != nil {
		return ""
	}
	if path.Dir(from.Name) != path.Dir(name) && old.Room.Log != "" {
		return "" // the log would lie elsewhere
	}
	before := map[string]design.Assumption{}
	for _, x := range old.Statements() {
		before[x.Key] = x
	}
	// A spread is written only where it must be: a value without one has that of
	// its kind.
	for _, spread := range []bool{false, true} {
		words := []string{"amend", from.called()}
		var list []design.Amendment
		for _, x := range now.Statements() {
			if x == before[x.Key] {
				continue
			}
			value := x.Value
			if spread && x.Spread != "" {
				value += " +- " + x.Spread
			}
			list, words = append(list, design.Amendment{Path: x.Key, Value: value}), append(words, x.Key, value)
		}
		if len(list) == 0 {
			return ""
		}
		_, amended, err := design.Amend(from.Name, []byte(from.Text), list, s.beside(from))
		if err != nil || amended.Revision() != now.Revision() {
			continue
		}
		if from.Name == name {
			return command(append(words, "--in-place")...)
		}
		return command(append(words, "--write", name)...)
	}
	return ""
}
