package main

import (
	"bytes"
	"html"
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Every head of a column in documents as people get them is explained on the page, but for those
// that are names of the job. Heads that are made at run time, with units and words of the mode, are
// among them; those written in the source are held by the test beside the glossary.
func TestEveryHeadOnPagesHasAnEntry(t *testing.T) {
	t.Chdir("../..")
	column := regexp.MustCompile(`<th scope="col"([^>]*)>([^<]*)`)
	ofTheJob := map[string]bool{"": true, "as it stands": true, "bleed": true,
		"damper.main.stop": true,
		"bypass-to-plenum": true, "bypass-to-return-box": true, "dump-zone": true}
	seen := map[string]bool{}
	for _, args := range [][]string{
		{"compare", "examples/two-floor.toml", "--state", "loft"},
		{"compare", "examples/two-floor-si.toml", "--state", "cooling: loft"},
		{"sweep", "examples/two-floor.toml", "--state", "loft", "--move",
			"damper.main.stop=0..100 %",
			"--steps", "3"},
		{"spread", "examples/two-floor.toml", "--state", "heating: loft", "--samples", "20"},
		{"size", "examples/first-look.toml", "--static", "0.40 inwc"},
		{"day", "examples/two-floor.toml"},
		{"parts", "examples/first-look.toml"},
		{"code", "examples/two-floor.toml"},
		{"fit", "examples/noisy-bedroom.toml", "examples/readings/noisy-bedroom.toml"},
	} {
		var out, messages bytes.Buffer
		require.Equal(t, solved, run(append(args, "--format", "html"), console{out: &out,
			err: &messages}),
			"%v: %s", args, messages.String())
		for _, m := range column.FindAllStringSubmatch(out.String(), -1) {
			head := html.UnescapeString(m[2])
			seen[head] = true
			if !ofTheJob[head] {
				assert.Contains(t, m[1], `title="`, "%v: no entry for the head %q", args[0], head)
			}
		}
	}
	assert.Greater(t, len(seen), 40)
}
