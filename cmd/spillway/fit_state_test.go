package main

import (
	"os"
	"path/filepath"
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The example's readings in the short form give fit the same numbers; the outdoor air of the day
// changes what is expected.
func TestFitByState(t *testing.T) {
	const short = `note = "as found, first visit"
[state."cooling: bedrooms"]
"blower inlet"  = "-0.35 inwc"
"blower outlet" = "0.44 inwc"
main-bed = "257 cfm"
bed-2    = "176 cfm"
[state."cooling: all zones"]
"blower inlet"  = "-0.43 inwc"
"blower outlet" = "0.23 inwc"
main-bed = "113 cfm"
bed-2    = "69 cfm"
living-1 = "172 cfm"
kitchen  = "121 cfm, field hood"
`
	folder := t.TempDir()
	fit := func(readings string) []string {
		code, out, errs := call("fit", "../../examples/noisy-bedroom.toml", readings, "--format",
			"json")
		require.Zero(t, code, errs)
		named := regexp.MustCompile(`"(name|readings_file)": "[^"]*"`)
		return regexp.MustCompile(`-?\d+\.\d+`).FindAllString(named.ReplaceAllString(out, ""), -1)
	}
	write := func(name, text string) string {
		path := filepath.Join(folder, name)
		require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
		return path
	}
	old := fit("../../examples/readings/noisy-bedroom.toml")
	assert.Equal(t, old, fit(write("short.toml", short)))
	assert.NotEqual(t, old, fit(write("warm.toml", "outdoor = \"70 F\"\n"+short)))
}
