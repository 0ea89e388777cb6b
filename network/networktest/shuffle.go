package networktest

import (
	"fmt"
	"math/rand/v2"
	"strings"

	"github.com/stretchr/testify/require"

	"spillway/network"
)

// Shuffle writes a job file twice, with the rows of its tables of lines, dampers, boxes and rooms as they are and in an order out of
// chance. Where several lines leave or join one, the file's order is their order along it unless they say where (it is how a reader of
// the file would lay the ducts); so in both files each says where, evenly spaced.
func Shuffle(t T, data []byte, r *rand.Rand) (placed, shuffled []byte) {
	t.Helper()
	job, found := network.Read("job.toml", data, network.Options{})
	require.NotNil(t, job, "%v", found)
	root := ordered(t, data)
	for _, parent := range job.Lines() {
		var tapping []*network.Line
		for _, l := range job.Lines() {
			of := l.From
			if l.Table == network.ReturnTable || l.Table == network.BypassTable && l.To == parent.Name {
				of = l.To
			}
			if of == parent.Name && !straight(l) {
				tapping = append(tapping, l)
			}
		}
		for i, l := range tapping {
			if len(tapping) > 1 {
				at := float64(parent.Length) * float64(i+1) / float64(len(tapping)+1)
				root.table(string(l.Table)).table(l.Name).set("at", fmt.Sprintf("%.6f m", at))
			}
		}
	}
	placed = root.text()
	for _, key := range []string{"supply", "return", "bypass", "dump", "damper", "box", "room"} {
		if rows, ok := root.values[key].(*node); ok {
			r.Shuffle(len(rows.keys), func(i, k int) { rows.keys[i], rows.keys[k] = rows.keys[k], rows.keys[i] })
		}
	}
	return placed, root.text()
}

func straight(l *network.Line) bool {
	for _, f := range l.Fittings {
		if f.Name == network.StraightOn || strings.HasSuffix(f.Name, " straight") {
			return true
		}
	}
	return false
}
