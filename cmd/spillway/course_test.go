package main

import (
	"bytes"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Every command of the course runs as it stands there (its output files go elsewhere), and every picture it shows is there.
func TestTheCourseRuns(t *testing.T) {
	t.Chdir("../..")
	text, err := os.ReadFile("examples/course/README.md")
	require.NoError(t, err)
	away := t.TempDir()
	ran := 0
	inside := false
	for line := range strings.SplitSeq(string(text), "\n") {
		if strings.HasPrefix(line, "```") {
			inside = line == "```sh"
			continue
		}
		if !inside || !strings.HasPrefix(line, "spillway ") {
			continue
		}
		ran++
		args := splitCommand(line)[1:]
		for i, a := range args {
			if strings.HasSuffix(a, ".svg") {
				args[i] = filepath.Join(away, filepath.Base(a))
			}
		}
		var out, errs bytes.Buffer
		assert.Equal(t, solved, run(args, console{in: strings.NewReader(""), out: &out, err: &errs}), "%s\n%s", line, errs.String())
	}
	assert.GreaterOrEqual(t, ran, 10)
	pictures := regexp.MustCompile(`!\[[^\]]+\]\(([^)]+)\)`).FindAllStringSubmatch(string(text), -1)
	assert.Len(t, pictures, 5, "one for each step")
	for _, p := range pictures {
		data, err := os.ReadFile(filepath.Join("examples/course", p[1]))
		require.NoError(t, err)
		assert.Contains(t, string(data), "<svg")
		assert.FileExists(t, filepath.Join(away, p[1]), "the text has a command that draws it")
	}
}

// splitCommand takes a line of a shell apart, with double quotes.
func splitCommand(line string) []string {
	var words []string
	for _, m := range regexp.MustCompile(`"([^"]*)"|(\S+)`).FindAllStringSubmatch(line, -1) {
		words = append(words, m[1]+m[2])
	}
	return words
}
