package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What tune, size and tune --balance print to be pasted is a piece of job file that the program reads, and does what it says.
func TestPastedSettings(t *testing.T) {
	job, err := os.ReadFile(filepath.Join("testdata", "small.toml"))
	require.NoError(t, err)
	for _, c := range []struct {
		name, alternative string
		args              []string
	}{
		{"tune", "tuned", []string{"tune", "--move", "damper.main.stop=0..100 %"}},
		{"balance", "balanced", []string{"tune", "--balance"}},
		{"size", "sized", []string{"size", "--friction", "0.08"}},
	} {
		t.Run(c.name, func(t *testing.T) {
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
