package derive_test

import (
	"flag"
	"maps"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network/networktest"
	"spillway/solver/derive"
)

var update = flag.Bool("update", false, "rewrite the list of models")

// What has no closed form is a closed list: a derivation that ends in another model than these fails,
// whether it is a new one or a law that is not spelt out any more.
func TestModelsAreAClosedList(t *testing.T) {
	const golden = "testdata/models.txt"
	number, room := regexp.MustCompile(`[0-9]+(\.[0-9]+)?`), regexp.MustCompile(`see .* room noise`)
	found := map[string]bool{}
	for _, file := range networktest.Jobs(t) {
		data := networktest.File(t, file)
		for _, s := range explained(t, data, "") {
			for _, step := range s.All() {
				if step.Origin.Kind == derive.Model {
					found[number.ReplaceAllString(room.ReplaceAllString(step.Origin.Text, "see ROOM room noise"), "#")] = true
				}
			}
		}
	}
	text := strings.Join(slices.Sorted(maps.Keys(found)), "\n") + "\n"
	if *update {
		require.NoError(t, os.MkdirAll("testdata", 0o755))
		require.NoError(t, os.WriteFile(golden, []byte(text), 0o644))
	}
	want, err := os.ReadFile(golden)
	require.NoError(t, err)
	assert.Equal(t, string(want), text)
}
