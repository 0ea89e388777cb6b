package live

import (
	"fmt"
	"slices"
	"strings"

	"github.com/BurntSushi/toml"

	"spillway/network"
)

// changeText is the settings that were moved as text for the job file: an alternative to paste at its end, and where each of them
// stands now.
func changeText(file string, job *network.Job, q *question) string {
	if len(q.Set) == 0 {
		return ""
	}
	var b strings.Builder
	if q.Alternative == "" {
		fmt.Fprintf(&b, "# To keep it, put this at the end of %s:\n\n[alternative.%s]\n", oneLine(file), freeName(job))
	} else {
		fmt.Fprintf(&b, "# To keep it, put these below [alternative.%s] in %s, in place of lines that set the same:\n\n", oneLine(q.Alternative), oneLine(file))
	}
	var places []string
	for _, s := range q.Set {
		line := strings.TrimSpace(s.Path) + " = " + valueText(s.Value)
		b.WriteString(line + "\n")
		if place := job.Place(parts(s.Path)...); place.Line > 0 {
			places = append(places, fmt.Sprintf("#   line %d: %s", place.Line, line))
		}
	}
	if len(places) > 0 && q.Alternative == "" {
		b.WriteString("\n# Or change it where it stands:\n" + strings.Join(places, "\n") + "\n")
	}
	return b.String()
}

// oneLine keeps a name inside its comment.
func oneLine(s string) string {
	return strings.Map(func(r rune) rune {
		if r < 0x20 || r == 0x7f {
			return ' '
		}
		return r
	}, s)
}

// freeName is a name that no alternative has.
func freeName(job *network.Job) string {
	name := "tried"
	for n := 2; slices.ContainsFunc(job.Alternatives, func(a network.Alternative) bool { return a.Name == name }); n++ {
		name = fmt.Sprintf("tried-%d", n)
	}
	return name
}

// valueText is a value as TOML: as it stands when it is TOML already, else as a text.
func valueText(value string) string {
	value = strings.TrimSpace(value)
	var v map[string]any
	if _, err := toml.Decode("v = "+value, &v); err == nil && len(v) == 1 && value != "" {
		return value
	}
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range value {
		switch {
		case r == '"' || r == '\\':
			b.WriteByte('\\')
			b.WriteRune(r)
		case r < 0x20 || r == 0x7f:
			fmt.Fprintf(&b, `\u%04X`, r)
		default:
			b.WriteRune(r)
		}
	}
	b.WriteByte('"')
	return b.String()
}

// parts takes a dotted path apart; parts may be quoted.
func parts(path string) []string {
	var out []string
	rest := strings.TrimSpace(path)
	for rest != "" {
		part := rest
		if quote := rest[0]; (quote == '"' || quote == '\'') && strings.IndexByte(rest[1:], quote) >= 0 {
			end := 1 + strings.IndexByte(rest[1:], quote)
			part, rest = rest[1:end], strings.TrimPrefix(strings.TrimSpace(rest[end+1:]), ".")
		} else if dot := strings.IndexByte(rest, '.'); dot >= 0 {
			part, rest = rest[:dot], rest[dot+1:]
		} else {
			rest = ""
		}
		out = append(out, strings.TrimSpace(part))
	}
	return out
}
