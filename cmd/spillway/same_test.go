package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/render/page/trial"
	"spillway/solver/verdict"
)

// stateFindings are a call state and what is not in order in it, as JSON has it.
type stateFindings struct {
	Name     string
	Findings []struct{ Check, Where, Level string }
}

// said lists what is not in order, one line each, sorted.
func said(states []stateFindings) []string {
	var list []string
	for _, s := range states {
		for _, f := range s.Findings {
			if f.Level != string(verdict.OK) {
				list = append(list, fmt.Sprintf("%s: %s, %s, %s", s.Name, f.Level, f.Check, f.Where))
			}
		}
	}
	slices.Sort(list)
	return list
}

// The same job says the same in solve, in batch, in a comparison, and on the pages: every check, the damper stops among them.
func TestSameFindingsEverywhere(t *testing.T) {
	const job = "../../examples/two-floor.toml"
	printed := func(in string, args ...string) []byte {
		var out, messages bytes.Buffer
		require.Zero(t, run(args, console{in: strings.NewReader(in), out: &out, err: &messages}), messages.String())
		require.Empty(t, messages.String())
		return out.Bytes()
	}
	var solved struct{ States []stateFindings }
	require.NoError(t, json.Unmarshal(printed("", "solve", job, "--format", "json"), &solved))
	want := said(solved.States)
	require.True(t, slices.ContainsFunc(want, func(s string) bool { return strings.Contains(s, "caution, damper stop") }), "%v", want)

	var batched struct {
		Results []struct{ States []stateFindings }
	}
	line := printed(job+"\n", "batch")
	require.NoError(t, json.Unmarshal(line, &batched))
	require.NotEmpty(t, batched.Results)
	assert.Equal(t, want, said(batched.Results[0].States), "batch")

	var compared struct {
		Alternatives []struct {
			States           []stateFindings
			Faults, Cautions int
		}
	}
	require.NoError(t, json.Unmarshal(printed("", "compare", job, "--format", "json"), &compared))
	require.NotEmpty(t, compared.Alternatives)
	as := compared.Alternatives[0]
	assert.Equal(t, want, said(as.States), "compare")
	assert.Equal(t, len(want), as.Faults+as.Cautions)

	data, err := os.ReadFile(job)
	require.NoError(t, err)
	in, err := trial.Open(job, data, "", nil)
	require.NoError(t, err)
	var pages []stateFindings
	for _, cs := range in.States() {
		c, err := in.Solve(t.Context(), cs)
		require.NoError(t, err)
		require.NoError(t, c.Untried)
		s := stateFindings{Name: cs.Name}
		for _, f := range c.Findings {
			s.Findings = append(s.Findings, struct{ Check, Where, Level string }{f.Check, f.Where, string(f.Level)})
		}
		pages = append(pages, s)
	}
	assert.Equal(t, want, said(pages), "report and live page")
}
