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
	for _, s := range lastOfEach(q.Set) {
		line := strings.TrimSpace(s.Path) + " = " + sheet.TOMLValue(s.Value)
		b.WriteString(line + "\n")
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
