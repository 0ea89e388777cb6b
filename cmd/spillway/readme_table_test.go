package main

import (
	"bytes"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The table in the README's tour for students is what the command beside it prints.
func TestReadmeTable(t *testing.T) {
	readme, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	_, rest, found := strings.Cut(string(readme), "```text\n")
	require.True(t, found)
	table, _, found := strings.Cut(rest, "```")
	require.True(t, found)
	var out, messages bytes.Buffer
	args := []string{"solve", "../../examples/two-floor.toml", "--state", "heating: loft", "--alternative", "all", "--summary"}
	require.Zero(t, run(args, console{out: &out, err: &messages}), messages.String())
	assert.Contains(t, out.String(), table)
}
