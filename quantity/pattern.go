package quantity

import "strings"

// Pattern returns a regular expression, anchored at both ends, that matches
// the texts whose form Parse accepts for the kind. What it cannot see is
// whether the number is in range: Parse also refuses numbers that are too
// large, temperatures below absolute zero and a relative spread of zero. It
// is empty for a kind that does not exist.
func Pattern(kind Kind) string {
	k, ok := find(kind)
	if !ok {
		return ""
	}
	main := signed + spaces + unitChoice(k.units)
	spreadUnits := spreadExpression(kind)
	switch kind {
	case Fraction:
		main += "?"
		spreadUnits += "?"
	case Time:
		main = timePattern()
	}
	return "^" + spaces + main +
		"(?:" + spaces + spreadMark + spaces + unsigned + spaces + spreadUnits + ")?" + spaces + "$"
}

func unitChoice(units []unit) string {
	choices := make([]string, len(units))
	for i, u := range units {
		choices[i] = u.expression()
	}
	return "(?:" + strings.Join(choices, "|") + ")"
}

// spreadExpression spells the units of a standard uncertainty: those of the
// quantity, or per cent of it. A temperature's is a difference, and per cent
// of a temperature has no meaning on a scale with its zero elsewhere.
func spreadExpression(kind Kind) string {
	k, _ := find(spreadKind(kind))
	if kind == Temperature || kind == Fraction {
		return unitChoice(k.units)
	}
	return "(?:" + unitChoice(k.units) + "|%)"
}

func spreadKind(kind Kind) Kind {
	if kind == Temperature {
		return TemperatureDifference
	}
	return kind
}

// timePattern allows "6 h 40 min": several terms, each unit smaller than the
// one before it.
func timePattern() string {
	k, _ := find(Time)
	largestFirst := timeUnits(k)
	var starts []string
	for i, u := range largestFirst {
		var b strings.Builder
		b.WriteString(signed + spaces + u.expression())
		for _, next := range largestFirst[i+1:] {
			b.WriteString("(?:" + spaces + unsigned + spaces + next.expression() + ")?")
		}
		starts = append(starts, b.String())
	}
	return "(?:" + strings.Join(starts, "|") + ")"
}
