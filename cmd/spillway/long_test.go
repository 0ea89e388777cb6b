package main

import (
	"encoding/json"
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network/networktest"
)

// Every number that solve gives of an example, in every call state and alternative, is that of the
// same job written out
// in tables: what rows stand for is what the tables say, and files without rows stay valid.
func TestRowsSolveAsTables(t *testing.T) {
	for _, name := range networktest.Examples(t) {
		if testing.Short() && name != "two-floor" && name != "noisy-bedroom" {
			continue
		}
		t.Run(name, func(t *testing.T) {
			long := filepath.Join("../../testdata/jobs/long", name+".toml")
			row := filepath.Join("../../examples", name+".toml")
			for _, alternative := range networktest.Alternatives(t, networktest.Example(t, name)) {
				args := []string{"--format", "json"}
				if alternative != "" {
					args = append(args, "--alternative", alternative)
				}
				want, got := solvedValues(t, long, args), solvedValues(t, row, args)
				require.Greater(t, len(want), 1000)
				assert.Len(t, got, len(want))
				for path, value := range want {
					if !assert.InDelta(t, value, got[path], 1e-9*math.Max(1, math.Abs(value)),
						"%s: %s", alternative, path) {
						return
					}
				}
			}
		})
	}
}

// solvedValues returns every number of a job's outcome by its path. The parts of a list go by their
// names, since the
// tables of a long file are in another order; blanks and hyphens of names are alike. What counts
// names is left out.
func solvedValues(t *testing.T, file string, args []string) map[string]float64 {
	t.Helper()
	_, out, errs := call(append([]string{"solve", file}, args...)...)
	var outcome any
	require.NoError(t, json.Unmarshal([]byte(out), &outcome), errs)
	values := map[string]float64{}
	var walk func(v any, path string)
	walk = func(v any, path string) {
		switch v := v.(type) {
		case map[string]any:
			for key, c := range v {
				if !slices.Contains([]string{"digest", "assumptions", "certificate", "residuals"},
					key) {
					walk(c, path+"/"+strings.ReplaceAll(key, "-", " "))
				}
			}
		case []any:
			seen := map[string]int{}
			for i, c := range v {
				at := fmt.Sprint(i)
				if part, ok := c.(map[string]any); ok && part["name"] != nil {
					at = strings.ReplaceAll(fmt.Sprint(part["name"]), "-", " ")
				}
				seen[at]++
				walk(c, fmt.Sprintf("%s/%s %d", path, at, seen[at]))
			}
		case float64:
			values[path] = v
		}
	}
	walk(outcome, "")
	return values
}
