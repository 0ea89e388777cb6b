package main

import (
	"encoding/json"
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// At both printed ends of a range no limit is passed that is not passed at the found setting: the text rounds inward.
func TestTuneHoldsAtThePrintedEnds(t *testing.T) {
	const job, path = "../../examples/three-zone.toml", "damper.living.stop"
	args := []string{"--state", "bedrooms", "--set", "damper.bedrooms.stop=65 %"}
	code, out, errText := call(append([]string{"tune", job, "--move", path + "=0..100 %"}, args...)...)
	require.Zero(t, code, errText)
	ends := regexp.MustCompile(`damper\.living\.stop +(\S+ %) +(\S+) to (\S+) %`).FindStringSubmatch(out)
	require.Len(t, ends, 4, out)
	faults := func(value string) int {
		code, out, errText := call(append([]string{"solve", job, "--format", "json", "--set", path + "=" + value}, args...)...)
		require.Zero(t, code, errText)
		var doc struct {
			States []struct{ Findings []struct{ Level string } }
		}
		require.NoError(t, json.Unmarshal([]byte(out), &doc))
		n := 0
		for _, s := range doc.States {
			for _, f := range s.Findings {
				if f.Level == "fault" {
					n++
				}
			}
		}
		return n
	}
	found := faults(ends[1])
	for _, end := range ends[2:] {
		assert.LessOrEqual(t, faults(end+" %"), found, "at %s %%", end)
	}
}
