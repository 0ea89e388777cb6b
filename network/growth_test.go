package network_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network"
	"spillway/network/diag"
	"spillway/network/networktest"
)

// Four thousand mistakes in one file are all found, and the time to find them does not grow with their
// square: 4,000 misspelt names took over a minute when each was held against every name of the file.
func TestManyMistakesAreFoundInTime(t *testing.T) {
	base := string(networktest.Example(t, "first-look"))
	with := func(n int) (diag.List, time.Duration) {
		var b strings.Builder
		for i := range n {
			fmt.Fprintf(&b, "x%d = { from = \"trnk%d\", size = \"7 in\", length = \"5 ft\", register = \"10x6 in\", room = \"r%d\" }\n", i, i, i)
		}
		begun := time.Now()
		found := network.Check("job.toml", []byte(strings.Replace(base, "[supply]\n", "[supply]\n"+b.String(), 1)))
		return found, time.Since(begun)
	}
	found, took := with(4000)
	assert.GreaterOrEqual(t, len(found.Errors()), 4000)
	assert.Less(t, took, 10*time.Second, "half a second on an idle core; over a minute when it grows with the square")

	text := found.Error()
	assert.Equal(t, diag.MostShown, strings.Count(text, ": error: "))
	assert.Contains(t, text, fmt.Sprintf("and %d more", len(found)-diag.MostShown))
	few, _ := with(20)
	require.True(t, few.HasErrors())
	assert.Equal(t, len(few), strings.Count(few.Error(), "job.toml:"), "all are shown while they are few")
}
