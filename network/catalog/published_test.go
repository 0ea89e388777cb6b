package catalog_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"spillway/network/evidencetest"
)

// check is one comparison with a number from outside the program. Published numbers stand in tests named TestPublished…,
// remembered ones in TestRemembered…, and numbers that were computed from the formula that the code implements (they catch a
// slip of the pen, not a wrong formula) in TestComputed….
type check struct {
	name      string
	source    string
	published float64
	ours      float64
	tolerance float64 // in the unit of the number; half a unit of the last printed digit unless a comment says why
}

// run makes the checks, as evidence of the kind that the test declares. Why says what a wide tolerance is for.
func run(t *testing.T, checks []check, why ...string) {
	t.Helper()
	seen := make(map[string]bool, len(checks))
	for _, c := range checks {
		assert.False(t, seen[c.name], "two checks are called %q", c.name)
		seen[c.name] = true
		t.Run(c.name, func(t *testing.T) {
			evidencetest.Row{Case: c.name, Source: c.source, Want: c.published, Ours: c.ours, Within: c.tolerance, Why: strings.Join(why, "")}.Check(t)
		})
	}
}
