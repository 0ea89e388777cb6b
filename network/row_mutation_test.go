package network

import (
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A row that was changed in one place, an item swapped with the next, dropped, doubled, or a
// character of it changed, is an error of the row's or gives another table; only the order of items
// may make no difference. What the decoder says of the values of that table is not asked.
func TestMutatedRowsAreNotMisread(t *testing.T) {
	rows, err := os.ReadFile("../testdata/rows/rows.txt")
	require.NoError(t, err)
	var good [][2]string
	for line := range strings.Lines(string(rows)) {
		table, text, ok := strings.Cut(strings.TrimSuffix(line, "\n"), " | ")
		if !ok || strings.Contains(text, "'") {
			continue
		}
		if _, said := readRow(t, strings.TrimSpace(table), text); said == "" {
			good = append(good, [2]string{strings.TrimSpace(table), text})
		}
	}
	random := rand.New(rand.NewPCG(14, 2000))
	kinds := map[string]int{}
	for range 2000 {
		row := good[random.IntN(len(good))]
		items := strings.Split(row[1], ", ")
		i := random.IntN(len(items))
		kind := []string{"swapped", "dropped", "doubled", "letter", "comma"}[random.IntN(5)]
		changed := row[1]
		switch kind {
		case "swapped":
			j := random.IntN(len(items))
			items[i], items[j] = items[j], items[i]
			changed = strings.Join(items, ", ")
		case "dropped":
			changed = strings.Join(append(items[:i:i], items[i+1:]...), ", ")
		case "doubled":
			changed = strings.Join(append(items[:i+1:i+1], items[i:]...), ", ")
		case "letter":
			at := random.IntN(len(changed))
			letter := "abcdefghijklmnopqrstuvwxyz0123456789 "[random.IntN(37)]
			changed = changed[:at] + string(letter) + changed[at+1:]
		case "comma":
			if n := strings.Count(changed, ", "); n > 0 {
				k, at := random.IntN(n), 0
				for range k + 1 {
					at += strings.Index(changed[at:], ", ") + 1
				}
				changed = changed[:at-1] + changed[at:]
			}
		}
		if changed == row[1] || strings.TrimSpace(changed) == "" {
			kinds["unchanged"]++
			continue
		}
		was, _ := readRow(t, row[0], row[1])
		is, said := readRow(t, row[0], changed)
		switch {
		case said != "":
			kinds["error"]++
		case is != was:
			kinds["another table"]++
		default:
			kinds["the same"]++
			assert.True(t, kind == "swapped" || changed == "two 90 ", "%s: %q reads as %q", kind,
				changed, row[1])
		}
	}
	t.Log(kinds)
}
