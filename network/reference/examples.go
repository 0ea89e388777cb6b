package reference

import (
	_ "embed"
	"regexp"
	"slices"
	"strings"
	"sync"

	"spillway/network"
)

//go:embed example.toml
var example string

//go:embed other.toml
var other string

//go:embed third.toml
var third string

// place is a line of an example job that gives a key.
type place struct {
	file, line int
	path       []string
	value      string
}

// files are the example jobs by lines.
var files = sync.OnceValue(func() [][]string {
	return [][]string{strings.Split(example, "\n"), strings.Split(other, "\n"),
		strings.Split(third, "\n")}
})

// places lists the lines of the example jobs, which give a key each.
var places = sync.OnceValue(func() (list []place) {
	for f, lines := range files() {
		var table []string
		for i, line := range lines {
			if header, ok := strings.CutPrefix(line, "["); ok {
				table, _ = network.SplitPath(strings.TrimSuffix(header, "]"))
				continue
			}
			key, value, ok := strings.Cut(line, " = ")
			if !ok || strings.HasPrefix(line, "#") {
				continue
			}
			if name, ok := network.SplitPath(key); ok {
				list = append(list, place{f, i, slices.Concat(table, name), value})
			}
		}
	}
	return list
})

// lineOf finds the first line that gives a key of a table at any of its paths; "" is the table
// itself.
func lineOf(paths []string, key string) (place, bool) {
	for _, p := range paths {
		pattern := slices.DeleteFunc(strings.Split(p, "."), func(x string) bool { return x == "" })
		if key != "" {
			pattern = append(pattern, key)
		}
		for _, at := range places() {
			if fits(pattern, at.path) {
				return at, true
			}
		}
	}
	return place{}, false
}

// quotedName is a name of the file's own in a message.
var quotedName = regexp.MustCompile(`"[^"]*"`)

// text is the line with the whole path in front.
func (p place) text() string { return network.PathText(p.path...) + " = " + p.value }

// job is the text of the example job without the line.
func (p place) job() []byte {
	lines := slices.Clone(files()[p.file])
	lines[p.line] = ""
	return []byte(strings.Join(lines, "\n"))
}

// without reads the example job without the line: what is assumed then, and why, or what is wrong.
func (p place) without() (value, why, missing string) {
	job, found := network.Read("example", p.job(), network.Options{})
	if job == nil {
		key := regexp.MustCompile(`\b` + p.path[len(p.path)-1] + `\b`)
		for _, d := range found.Errors() {
			whose := strings.Trim(quotedName.FindString(d.Summary), `"`)
			if whose != "" && !slices.Contains(p.path, whose) {
				continue // of another part, which this one serves
			}
			if key.MatchString(quotedName.ReplaceAllString(d.Summary, "")) ||
				key.MatchString(d.Fix) {
				return "", "", d.Summary
			}
		}
		return "", "", ""
	}
	all := job.Assumptions
	if g, err := network.Build(job); err == nil {
		all = append(slices.Clone(all), g.Assumptions...)
	}
	path := network.PathText(p.path...)
	general := strings.Join(slices.Concat(p.path[:1], []string{"*"}, p.path[min(2,
		len(p.path)):]), ".")
	for _, a := range all {
		if a.Path == path {
			return a.Value, a.Why, ""
		}
	}
	for _, a := range all {
		if strings.ReplaceAll(a.Path, `"`, "") == general {
			why = a.Why
			if end := strings.LastIndex(why,
				": "); end >= 0 { // then the parts of which it is assumed
				why = why[:end]
			}
			return a.Value, why, ""
		}
	}
	return "", "", ""
}
