package live

import (
	"fmt"
	"strings"

	"spillway/network"
	"spillway/render/sheet"
)

// changeText is the settings that were moved as text for the job file: an alternative to paste at its end, and where each of them
// stands now.
func changeText(file string, job *network.Job, q *question) string {
	if len(q.Set) == 0 {
		return ""
	}
	var b strings.Builder
	fmt.Fprintf(&b, "# To keep it, put this at the end of %s:\n\n[alternative.%s]\n", oneLine(file), job.FreeAlternative("tried"))
	if q.Alternative != "" {
		fmt.Fprintf(&b, "like = %s\n", sheet.TOMLText(q.Alternative))
	}
	var places []string
	for _, s := range q.Set {
		line := strings.TrimSpace(s.Path) + " = " + sheet.TOMLValue(s.Value)
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
