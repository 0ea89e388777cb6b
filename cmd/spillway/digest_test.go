package main

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What solve prints of a house is one screen, whatever the house.
func TestSolveIsOneScreen(t *testing.T) {
	for job, most := range map[string]int{"two-floor": 40, "first-look": 40, "noisy-bedroom": 50,
		"three-zone": 60, "four-zone": 60} {
		var printed, messages bytes.Buffer
		require.Zero(t, run([]string{"solve", "../../examples/" + job + ".toml"},
			console{in: strings.NewReader(""), out: &printed, err: &messages}), messages.String())
		out := printed.String()
		assert.LessOrEqual(t, strings.Count(out, "\n"), most, job)
		for _, line := range strings.Split(out, "\n") {
			assert.LessOrEqual(t, len([]rune(line)), 100, line)
		}
		first, _, _ := strings.Cut(out[strings.Index(out, "\n\n")+2:], "\n\n")
		assert.Contains(t, first, "to put right", "the verdict comes first")
	}
}
