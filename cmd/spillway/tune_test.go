package main

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What tune, size and tune --balance print to be pasted is a piece of job file that the program reads, and does what it says.
func TestPastedSettings(t *testing.T) {
	small := filepath.Join("testdata", "small.toml")
	for _, c := range []struct {
		job, name, alternative string
		args                   []string
	}{
		{filepath.Join("..", "..", "examples", "two-floor.toml"), "tune", "tuned", []string{"tune"}},
		{small, "balance", "balanced", []string{"tune", "--balance"}},
		{small, "size", "sized", []string{"size", "--friction", "0.08"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			job, err := os.ReadFile(c.job)
			require.NoError(t, err)
			name := filepath.Join(t.TempDir(), "house.toml")
			require.NoError(t, os.WriteFile(name, job, 0o644))
			var out, errs bytes.Buffer
			require.Equal(t, solved, run(append(c.args, name), console{out: &out, err: &errs}), errs.String())
			_, text, found := strings.Cut(out.String(), "To paste into the job file\n")
			require.True(t, found)
			text, _, _ = strings.Cut(text, "\n\n")
			require.Contains(t, text, "[alternative."+c.alternative+"]")
			require.NoError(t, os.WriteFile(name, append(job, "\n"+text+"\n"...), 0o644))

			var solution bytes.Buffer
			errs.Reset()
			require.Equal(t, solved, run([]string{"solve", "--alternative", c.alternative, "--format", "csv", name}, console{out: &solution, err: &errs}), errs.String())
			// The same by --set, so that file and flags say the same.
			args := []string{"solve", "--format", "csv", name}
			for line := range strings.Lines(text) {
				if path, value, ok := strings.Cut(strings.TrimSpace(line), " = "); ok {
					args = append(args, "--set", path+"="+value)
				}
			}
			var bySet bytes.Buffer
			require.Equal(t, solved, run(args, console{out: &bySet, err: &errs}), errs.String())
			assert.Equal(t, strings.ReplaceAll(solution.String(), ","+c.alternative+",", ",,"), bySet.String())
		})
	}
}

// Demand shared among zones says the same in every format: the zone that is hardest to reach is wide open, and what the zones get and what is left over is
// what the blower moves (air is neither made nor lost).
func TestModulationInEveryFormat(t *testing.T) {
	run := func(format string) string {
		return solvedText(t, nil, "tune", "../../examples/four-zone.toml", "--state", "cooling", "--ask", "living=80 %", "--ask", "bedrooms=50 %",
			"--blower", "500..1600 cfm", "--format", format)
	}
	var doc struct {
		Blower   float64 `json:"blower_cfm"`
		LeftOver float64 `json:"left_over_cfm"`
		Zones    []struct {
			Zone string
			Open float64
			Asks float64 `json:"asks_cfm"`
			Gets float64 `json:"gets_cfm"`
		}
		Override string
	}
	require.NoError(t, json.Unmarshal([]byte(run("json")), &doc))
	require.Len(t, doc.Zones, 2)
	total, widest := doc.LeftOver, 0.0
	for _, z := range doc.Zones {
		total += z.Gets
		widest = max(widest, z.Open)
		assert.InDelta(t, z.Asks, z.Gets, 1, z.Zone)
	}
	assert.InDelta(t, doc.Blower, total, 0.01)
	assert.InDelta(t, 1, widest, 1e-9)
	assert.Contains(t, doc.Override, "[alternative.modulated]")
	rows, err := csv.NewReader(strings.NewReader(run("csv"))).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 3)
	assert.Equal(t, []string{"zone", "open", "asks_cfm", "gets_cfm"}, rows[0])
	for k, z := range doc.Zones {
		assert.Equal(t, z.Zone, rows[k+1][0])
		assert.Equal(t, fmt.Sprint(z.Gets), rows[k+1][3])
	}
}
