package network

import (
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var rowSlips = flag.Int("row-slips", 240, "how many slips of the pen in rows are tried")

// rowLine is a line of an example that is a row of items.
var rowLine = regexp.MustCompile(`^(\s*[a-z0-9-]+\s*= ")([^"]*, [^"]*)(".*)$`)

// slip changes a row as a hand does: two items change places, one is left out, one stands twice, a
// letter or digit is another.
func slip(r *rand.Rand, row string) (text, kind, item string) {
	items := strings.Split(row, ", ")
	i := r.IntN(len(items))
	item = items[i]
	switch r.IntN(4) {
	case 0:
		k := (i + 1 + r.IntN(len(items)-1)) % len(items)
		items[i], items[k] = items[k], items[i]
		return strings.Join(items, ", "), "swapped", item
	case 1:
		return strings.Join(append(items[:i:i], items[i+1:]...), ", "), "dropped", item
	case 2:
		return row + ", " + item, "doubled", item
	}
	letters := []byte(item)
	at := r.IntN(len(letters))
	switch c := letters[at]; {
	case c >= 'a' && c <= 'z':
		letters[at] = 'a' + (c-'a'+1+byte(r.IntN(25)))%26
	case c >= '0' && c <= '9':
		letters[at] = '0' + (c-'0'+1+byte(r.IntN(9)))%10
	default:
		letters[at] = 'q'
	}
	items[i] = string(letters)
	return strings.Join(items, ", "), "letter", items[i]
}

// No slip of the pen in a row is read in silence: it is refused, with the line told, or the job
// that is read differs in what was written, or, where only the order changed or the usual was left
// out, it is the same job.
func TestNoSlipInARowIsReadInSilence(t *testing.T) {
	files, err := filepath.Glob("../examples/*.toml")
	require.NoError(t, err)
	type place struct {
		file  string
		line  int
		lines []string
	}
	var places []place
	jobs := map[string]*Job{}
	for _, file := range files {
		data, err := os.ReadFile(file)
		require.NoError(t, err)
		job, found := Read(file, data, Options{})
		require.NotNil(t, job, "%s", found)
		jobs[file] = job
		lines := strings.Split(string(data), "\n")
		table := ""
		for i, line := range lines {
			if strings.HasPrefix(line, "[") {
				table = line
			}
			if rowLine.MatchString(line) && !strings.HasPrefix(line, "note") &&
				!strings.HasPrefix(line, "title") && !strings.HasPrefix(table, "[alternative") &&
				!strings.HasPrefix(table, "[spread") && !strings.HasPrefix(table, "[choose") {
				places = append(places, place{file, i, lines})
			}
		}
	}
	require.Greater(t, len(places), 100)
	r := rand.New(rand.NewPCG(14, 2026))
	counts := map[string]int{}
	for range *rowSlips {
		p := places[r.IntN(len(places))]
		m := rowLine.FindStringSubmatch(p.lines[p.line])
		row, kind, item := slip(r, m[2])
		if row == m[2] {
			continue
		}
		lines := append([]string(nil), p.lines...)
		lines[p.line] = m[1] + row + m[3]
		job, found := Read(p.file, []byte(strings.Join(lines, "\n")), Options{})
		what := fmt.Sprintf("%s:%d: %s %q in %q", filepath.Base(p.file), p.line+1, kind, item, row)
		switch {
		case job == nil:
			counts[kind+" refused"]++
			assert.NotEmpty(t, found.Error(), what)
		case same(job, jobs[p.file]):
			counts[kind+" read as before"]++
			if kind != "dropped" { // what is left out may be what is usual: check lists it
				assert.Equal(t, "swapped", kind, what)
			}
		default:
			counts[kind+" read as written"]++
			assert.NotEqual(t, "swapped", kind, what)
		}
	}
	t.Log(counts)
	assert.Greater(t, counts["letter refused"], *rowSlips/20)
}
