package live

import (
	"fmt"
	"strings"

	"spillway/network"
)

// changeText is the settings that were moved as text for the job file: an alternative to paste at its end, and where each of them
// stands now.
func changeText(file string, job *network.Job, q *question) string {
	if len(q.Set) == 0 {
		return ""
	}
	var b strings.Builder
	var set, places []string
	for _, s := range q.Set {
		set = append(set, s.Path+"="+s.Value)
	}
	fmt.Fprintf(&b, "# To keep it, put this at the end of %s:\n\n%s", oneLine(file),
		network.AlternativeText(job.FreeAlternative("tried"), "", q.Alternative, set))
	for _, s := range lastOfEach(q.Set) {
		line := strings.TrimSpace(s.Path) + " = " + network.TOMLValue(s.Value)
		path, _ := network.SplitPath(s.Path)
		if place := job.Place(path...); place.Line > 0 {
			places = append(places, fmt.Sprintf("#   line %d: %s", place.Line, line))
		}
	}
	if len(places) > 0 && q.Alternative == "" {
		b.WriteString("\n# Or change it where it stands:\n" + strings.Join(places, "\n") + "\n")
	}
	return b.String()
}

// lastOfEach returns, of several settings of one path, the last, which is the one that holds.
func lastOfEach(set []setting) []setting {
	at := map[string]int{}
	for i, s := range set {
		at[strings.TrimSpace(s.Path)] = i
	}
	var out []setting
	for i, s := range set {
		if at[strings.TrimSpace(s.Path)] == i {
			out = append(out, s)
		}
	}
	return out
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
