package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The picture that the README opens with is what the program draws now. When it drifts: look at the new one, then go test
// ./cmd/spillway -run ReadmePicture -update.
func TestReadmePicture(t *testing.T) {
	file := filepath.Join("..", "..", "examples", "two-floor-loft.svg")
	code, out, err := call("draw", twoFloor, "--state", "design-cooling: loft")
	require.Zero(t, code, err)
	if *update {
		require.NoError(t, os.WriteFile(file, []byte(out), 0o666))
	}
	data, readErr := os.ReadFile(file)
	require.NoError(t, readErr)
	assert.True(t, string(data) == out, "examples/two-floor-loft.svg is not what the program draws now")
	readme, readErr := os.ReadFile(filepath.Join("..", "..", "README.md"))
	require.NoError(t, readErr)
	assert.Contains(t, string(readme), "(examples/two-floor-loft.svg)")
}

func TestDrawAgainst(t *testing.T) {
	code, out, err := call("draw", twoFloor, "--state", "design-cooling: loft", "--set", "damper.main.stop=80 %", "--against", "file")
	require.Zero(t, code, err)
	assert.Contains(t, out, "change in airflow, cfm, against the file")
	assert.Regexp(t, `cfm \(\+[0-9]+\)<`, out)

	code, out, err = call("draw", twoFloor, "--state", "design-cooling: loft", "--against", "bypass-to-plenum")
	require.Zero(t, code, err)
	assert.Contains(t, out, "No longer there: relief")

	for _, c := range []struct{ name, against, want string }{
		{"all", "all", "one alternative"},
		{"none", "nowhere", "nowhere"},
	} {
		code, out, err = call("draw", twoFloor, "--state", "design-cooling: loft", "--against", c.against)
		assert.Equal(t, wrongCall, code, c.name)
		assert.Contains(t, err, c.want)
		assert.Empty(t, out)
	}
}
