package main

import (
	"bytes"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Every command in the README's tours runs as it stands there, from the top of a checkout, and says something.
func TestReadmeTour(t *testing.T) {
	readme, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	t.Chdir("../..")
	pictures := t.TempDir()
	commands := 0
	for _, block := range strings.Split(string(readme), "```sh\n")[1:] {
		block, _, _ = strings.Cut(block, "```")
		for _, line := range strings.Split(block, "\n") {
			rest, ok := strings.CutPrefix(line, "spillway ")
			if !ok {
				rest, ok = strings.CutPrefix(line, "go run ./cmd/spillway ")
			}
			if !ok {
				continue
			}
			commands++
			t.Run(rest, func(t *testing.T) {
				args := words(t, rest)
				for i, a := range args {
					if a == "pictures/" {
						args[i] = pictures + string(os.PathSeparator)
					}
				}
				var out, messages bytes.Buffer
				require.Zero(t, run(args, console{out: &out, err: &messages}), messages.String())
				assert.Positive(t, out.Len()+messages.Len())
			})
		}
	}
	assert.GreaterOrEqual(t, commands, 10, "the README has its tours")
}

// words splits a command line as a shell does, with double quotes only.
func words(t *testing.T, line string) []string {
	t.Helper()
	var list []string
	for i, part := range strings.Split(line, `"`) {
		if i%2 == 1 {
			list = append(list, part)
			continue
		}
		list = append(list, strings.Fields(part)...)
	}
	return list
}
