package networktest

import (
	"fmt"
	"math/rand/v2"
	"regexp"
	"strings"

	"github.com/stretchr/testify/require"

	"spillway/network"
)

// Shuffle writes a job file, in tables or in rows, twice, with the rows of its tables of lines,
// dampers, boxes and rooms as they are and in an order out of chance. Where several lines leave or
// join one, the file's order is their order along it unless they say where (it is how a reader of
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
				root.place(string(l.Table), l.Name, fmt.Sprintf("%.6f m", at))
			}
		}
	}
	placed = root.text()
	for _, key := range []string{"supply", "return", "bypass", "dump", "damper", "box", "room"} {
		if rows, ok := root.values[key].(*node); ok {
			r.Shuffle(len(rows.keys), func(i, k int) { rows.keys[i], rows.keys[k] = rows.keys[k], rows.keys[i] })
		}
	}
	for _, key := range []string{"from", "to"} { // what runs leave or join, and the runs of each
		of, ok := root.values[key].(*node)
		if !ok {
			continue
		}
		r.Shuffle(len(of.keys), func(i, k int) { of.keys[i], of.keys[k] = of.keys[k], of.keys[i] })
		for _, parent := range of.keys {
			if runs, ok := of.values[parent].(*node); ok {
				r.Shuffle(len(runs.keys), func(i, k int) {
					runs.keys[i], runs.keys[k] = runs.keys[k], runs.keys[i]
				})
			}
		}
	}
	return placed, root.text()
}

// place says where along its parent a line leaves or joins, whether it is a table or a row of
// items.
func (n *node) place(table, name, at string) {
	for _, under := range []string{"from", "to"} {
		of, ok := n.values[under].(*node)
		if !ok {
			continue
		}
		for _, parent := range of.keys {
			if runs, ok := of.values[parent].(*node); ok && runs.values[name] != nil {
				runs.placed(name, at)
				return
			}
		}
	}
	n.table(table).placed(name, at)
}

// placed sets the place of one line of a table.
func (n *node) placed(name, at string) {
	if row, ok := n.values[name].(string); ok {
		if !saysWhere.MatchString(row) {
			n.values[name] = row + ", at " + at
		}
		return
	}
	n.table(name).set("at", at)
}

// saysWhere is a row that says where its line leaves: "off trunk at 8 ft".
var saysWhere = regexp.MustCompile(`(^|, )((off|from|to) [^,]* )?at [0-9]`)

func straight(l *network.Line) bool {
	for _, f := range l.Fittings {
		if f.Name == network.StraightOn || strings.HasSuffix(f.Name, " straight") {
			return true
		}
	}
	return false
}
