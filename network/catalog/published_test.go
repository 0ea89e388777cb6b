package catalog_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// check is one comparison with a number from outside the program. Checks with published numbers stand in tests named
// TestPublished…, so that
//
//	go test -v -run Published ./network/catalog
//
// prints them as a table. Numbers that are remembered stand in TestRemembered…, and numbers that were computed from the
// formula that the code implements (they catch a slip of the pen, not a wrong formula) in TestComputed….
type check struct {
	name      string
	source    string
	published float64
	ours      float64
	tolerance float64 // in the unit of the number; half a unit of the last printed digit unless a comment says why
}

func run(t *testing.T, checks []check) {
	t.Helper()
	seen := make(map[string]bool, len(checks))
	for _, c := range checks {
		assert.False(t, seen[c.name], "two checks are called %q", c.name)
		seen[c.name] = true
		t.Run(c.name, func(t *testing.T) {
			t.Logf("%s | %s | %.6g | %.6g | %+.3g", c.name, c.source, c.published, c.ours, c.ours-c.published)
			assert.NotEmpty(t, c.source)
			assert.InDelta(t, c.published, c.ours, c.tolerance*(1+1e-9))
		})
	}
}
