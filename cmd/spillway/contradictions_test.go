package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A flag that would be ignored, or that contradicts another, is refused by its name, and nothing is written.
func TestContradictingFlagsAreRefused(t *testing.T) {
	const job = "testdata/small.toml"
	chart := filepath.Join(t.TempDir(), "x.svg")
	move := []string{"--move", "damper.main.stop=0..100 %"}
	for _, c := range []struct {
		args []string
		says string
	}{
		{[]string{"tune", job, "--balance", "--send", "main=400 cfm"}, "--balance and --send"},
		{[]string{"tune", job, "--balance", "--ask", "main=80 %"}, "--ask and --balance"},
		{[]string{"tune", job, "--blower", "500..1600 cfm"}, "--blower is for --ask"},
		{append([]string{"tune", job, "--balance"}, move...), "leave out --move"},
		{[]string{"tune", job, "--most", "-1"}, "--most cannot be -1"},
		{append(append([]string{"sweep", job}, move...), "--move", "damper.main.stop=0..50 %"), "both move damper.main.stop"},
		{append(append([]string{"sweep", job}, move...), "--chart", chart, "-o", chart), "would both write"},
		{[]string{"solve", job, "--format", "json", "--summary"}, "are for text"},
		{[]string{"solve", job, "--format", "csv", "--verbose"}, "are for text"},
		{[]string{"spread", job, "--seed", "-1"}, "0 or more"},
		{[]string{"spread", job, "--samples", "many"}, "whole number"},
		{[]string{"serve", job, "--listen", "localhost:99999"}, "0 to 65535"},
	} {
		code, out, messages := call(c.args...)
		assert.Equal(t, wrongCall, code, c.args)
		assert.Empty(t, out, c.args)
		assert.Contains(t, messages, c.says)
		assert.NotContains(t, messages, "strconv", c.args)
	}
	assert.NoFileExists(t, chart)
}

// Alternatives and tolerances are held to the same rules as the names and numbers of all other parts.
func TestNamesOfAlternativesAndTolerances(t *testing.T) {
	base, err := os.ReadFile("testdata/small.toml")
	require.NoError(t, err)
	for _, added := range []string{
		"[alternative.\"\"]", "[alternative.\" \"]", "[alternative.all]", "[alternative.file]", "[alternative.\"a\\u001bb\"]",
		"[alternative.\"a\\nb\"]", "[spread]\nx = { of = \"damper.main.stop\", from = \"-inf %\", to = \"3 %\" }",
		"[spread]\n\"a\\u0007b\" = { of = \"damper.main.stop\", by = \"3 %\" }",
	} {
		path := filepath.Join(t.TempDir(), "job.toml")
		require.NoError(t, os.WriteFile(path, []byte(string(base)+"\n"+added+"\n"), 0o666))
		code, _, messages := call("check", path)
		assert.Equal(t, wrongCall, code, added)
		assert.Contains(t, messages, "job.toml:", added)
		assert.NotContains(t, strings.ReplaceAll(messages, "\n", ""), "\x1b", added)
	}
}

// A folder of pictures is whole or absent, and what others have in it stays.
func TestPicturesAreWholeOrAbsent(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "pictures")
	pictures := []picture{{"a.svg", []byte("one")}, {"b.svg", []byte("two")}}
	require.NoError(t, os.MkdirAll(filepath.Join(folder, "b.svg"), 0o777)) // the second cannot be written
	require.NoError(t, os.WriteFile(filepath.Join(folder, "own.txt"), []byte("mine"), 0o666))
	require.Error(t, writeFolder(folder, pictures))
	entries, err := os.ReadDir(folder)
	require.NoError(t, err)
	assert.Len(t, entries, 2, "b.svg and own.txt, as before: %v", entries)

	require.NoError(t, os.Remove(filepath.Join(folder, "b.svg")))
	require.NoError(t, writeFolder(folder, pictures))
	for name, want := range map[string]string{"a.svg": "one", "b.svg": "two", "own.txt": "mine"} {
		data, err := os.ReadFile(filepath.Join(folder, name))
		require.NoError(t, err)
		assert.Equal(t, want, string(data))
	}

	fresh := filepath.Join(t.TempDir(), "fresh")
	long := append(pictures, picture{strings.Repeat("x", 300) + "/y.svg", nil})
	require.Error(t, writeFolder(fresh, long))
	assert.NoDirExists(t, fresh)
}
