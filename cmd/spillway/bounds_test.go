package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// manyZones writes a job of so many zones, each with one register off a trunk. All numbers are invented.
func manyZones(t *testing.T, n int) string {
	var b strings.Builder
	each := func(format string) {
		for i := range n {
			b.WriteString(strings.ReplaceAll(format, "#", fmt.Sprint(i)) + "\n")
		}
	}
	b.WriteString("title = \"many zones\"\n[equipment]\ncooling = { capacity = \"5 ton\", tap = \"high\" }\n" +
		"blower = { table = \"generic psc 5 ton\" }\nfilter = { drop = \"0.1 inwc\", at = \"800 cfm\" }\n" +
		"coil = { drop = \"0.14 inwc\", at = \"800 cfm\" }\n[zone]\n")
	each(`z# = { wants = "95 cfm", damper = "d#" }`)
	b.WriteString("[damper]\n")
	each(`d# = { stop = "25 %" }`)
	b.WriteString("[supply]\ntrunk = { from = \"supply plenum\", size = \"40x20 in\", length = \"8 ft\" }\n")
	each(`b# = { from = "trunk", size = "10 in", length = "12 ft", register = "12x6 in", room = "r#", damper = "d#" }`)
	b.WriteString("[return]\ngrille = { to = \"return plenum\", grille = \"30x30 in\", size = \"24 in\", length = \"12 ft\" }\n")
	path := filepath.Join(t.TempDir(), "zones.toml")
	require.NoError(t, os.WriteFile(path, []byte(b.String()), 0o666))
	return path
}

// A job of many zones is answered where few of its call states are asked for, and refused at its line
// where all are: also beyond 62 zones, where the number of sets no longer fits a word.
func TestManyZones(t *testing.T) {
	for _, n := range []int{13, 63} {
		t.Run(fmt.Sprint(n), func(t *testing.T) {
			job := manyZones(t, n)
			code, out, _ := call("check", job)
			assert.Equal(t, solved, code)
			assert.Contains(t, out, "so many more that only those named")
			for _, name := range []string{"z1", "cooling: z1 + z4", "Z1 + Z4", "all zones"} {
				code, out, messages := call("solve", job, "--summary", "--state", name)
				assert.Equal(t, solved, code, messages)
				assert.Contains(t, strings.ToLower(out), strings.ToLower(strings.TrimPrefix(name, "cooling: ")))
			}
			for _, name := range []string{"z", "cooling", "heating: z1", "z1 + z999", ""} {
				code, _, messages := call("solve", job, "--state", name)
				assert.Equal(t, wrongCall, code)
				assert.Contains(t, messages, "name its zones in full")
			}
			for _, args := range [][]string{{"solve", job}, {"compare", job}, {"report", job}, {"explain", job},
				{"draw", job, "-o", t.TempDir() + "/"}, {"tune", job}, {"sweep", job, "--move", "damper.d0.stop=0..50 %"}} {
				code, _, messages := call(args...)
				assert.Equal(t, wrongCall, code, args)
				assert.Contains(t, messages, fmt.Sprintf("%d zones have more than 4096 call states", n), args)
				assert.Contains(t, messages, "zones.toml:", args)
			}
		})
	}
}

// A job that exceeds what one job of a batch may take is one line with a code and a message, and the
// others are solved.
func TestBatchBoundsEachJob(t *testing.T) {
	small, many := "testdata/small.toml", manyZones(t, 63)
	some := manyZones(t, 6) // 63 call states
	input := strings.Join([]string{small, many, some, small, fmt.Sprintf(`{"file": %q, "states": ["z5"]}`, many)}, "\n")
	lines, code := runBatch(t, input, "--most-states", "62", "--workers", "2")
	assert.Equal(t, wrongCall, code)
	require.Len(t, lines, 5)
	for i, want := range []int{solved, wrongCall, wrongCall, solved, solved} {
		assert.Equal(t, want, lines[i].Code, "line %d: %v", i+1, lines[i].Messages)
	}
	assert.Contains(t, lines[1].Messages[0].Summary, "63 zones have more than 4096 call states")
	assert.Positive(t, lines[1].Messages[0].Line)
	assert.Contains(t, lines[2].Messages[0].Summary, "more than 62 call states")

	lines, code = runBatch(t, some+"\n"+some, "--most-time", "1ms")
	assert.Equal(t, unsolvable, code)
	require.Len(t, lines, 2)
	assert.Contains(t, lines[0].Messages[0].Summary, "took longer than 1ms")

	for _, wrong := range [][]string{{"--most-states", "0"}, {"--most-time", "0s"}, {"--most-time", "-1s"}, {"--most-time", "soon"}} {
		code, _, messages := call(append([]string{"batch", small}, wrong...)...)
		assert.Equal(t, wrongCall, code)
		assert.Contains(t, messages, wrong[0])
	}
}
