package sheet

import (
	"bytes"
	"encoding/json"
	"maps"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network/networktest"
	"spillway/network/quantity"
	"spillway/solver/state/statetest"
	"spillway/solver/verdict"
)

// The keys of JSON are a contract: testdata/contract.txt holds the path of every key in both systems
// of units, and none of them may go. New ones are added with -update.
func TestNoKeyOfJSONGoes(t *testing.T) {
	found := map[string]bool{}
	g := networktest.Graph(t, "two-floor", "bypass-to-plenum")
	solver := statetest.Solver(t, g)
	var reports []*Report
	for _, name := range []string{"design-cooling: loft", "heating: loft"} {
		o := statetest.SolveBy(t, solver, name)
		reports = append(reports, &Report{Outcome: o, Findings: verdict.Judge(o)})
	}
	for _, sys := range []quantity.System{quantity.IP, quantity.SI} {
		real := &Sheet{Job: g.Job, Units: sys, Reports: reports, Assumptions: g.Job.Assumptions}
		for _, s := range []*Sheet{real, fixtureIn(sys)} {
			var b bytes.Buffer
			require.NoError(t, JSON(&b, s, true))
			var document any
			require.NoError(t, json.Unmarshal(b.Bytes(), &document))
			keyPaths(found, sys.String()+" ", document)
		}
	}
	const file = "testdata/contract.txt"
	data, err := os.ReadFile(file)
	require.NoError(t, err)
	contract := strings.Fields(strings.ReplaceAll(string(data), " ", "\x00"))
	for _, path := range contract {
		path = strings.ReplaceAll(path, "\x00", " ")
		assert.True(t, found[path], "%s is gone", path)
		delete(found, path)
	}
	for _, path := range slices.Sorted(maps.Keys(found)) {
		t.Log("new: ", path)
	}
	if *update && !t.Failed() {
		lines := strings.Split(strings.TrimSpace(string(data)), "\n")
		lines = slices.Sorted(slices.Values(append(lines, slices.Collect(maps.Keys(found))...)))
		require.NoError(t, os.WriteFile(file, []byte(strings.Join(lines, "\n")+"\n"), 0o644))
	}
}

// keyPaths collects the paths of all keys of a document: "states[].blower.airflow_cfm".
func keyPaths(found map[string]bool, path string, v any) {
	switch v := v.(type) {
	case map[string]any:
		for key, value := range v {
			at := path + key
			found[at] = true
			if _, ok := value.(map[string]any); ok {
				at += "."
			}
			keyPaths(found, at, value)
		}
	case []any:
		for _, item := range v {
			keyPaths(found, path+"[].", item)
		}
	}
}
