package network

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network/diag"
)

var update = flag.Bool("update", false, "rewrite the golden files")

const badJobs = "../testdata/badjobs"

// TestBadJobs holds the whole text that a person sees for every broken job file against a golden file. The golden files were
// read one by one; -update rewrites them.
func TestBadJobs(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(badJobs, "*.toml"))
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(files), 45)
	for _, file := range files {
		name := strings.TrimSuffix(filepath.Base(file), ".toml")
		t.Run(name, func(t *testing.T) {
			data, err := os.ReadFile(file)
			require.NoError(t, err)
			found := Check(name+".toml", data)
			assert.True(t, found.HasErrors(), "a bad job must have an error")
			golden(t, filepath.Join(badJobs, name+".golden"), found)
			if job, list := Read(name+".toml", data, Options{}); job != nil {
				assert.Contains(t, string(data), "[alternative", "a job that reads as it stands must be broken in an alternative")
				assert.False(t, list.HasErrors())
			}
		})
	}
}

// TestBadOptions does the same for what the flags can have wrong, on a good file.
func TestBadOptions(t *testing.T) {
	data, err := os.ReadFile("../testdata/jobs/long/two-floor.toml")
	require.NoError(t, err)
	for _, test := range []struct {
		name string
		opt  Options
	}{
		{"flag-unknown-alternative", Options{Alternative: "bypass-to-plenun"}},
		{"flag-set-no-assignment", Options{Set: []string{"damper.main.stop"}}},
		{"flag-set-no-path", Options{Set: []string{"=30 %", "..=3", `"damper=3`}}},
		{"flag-set-unknown-part", Options{Set: []string{"damper.mian.stop=30 %"}}},
		{"flag-set-unknown-key", Options{Set: []string{"damper.main.stopp=30 %"}}},
		{"flag-set-wrong-unit", Options{Set: []string{"supply.hall.length=120 cfm", "damper.main.stop = 300 %"}}},
		{"flag-set-in-inline-table", Options{Set: []string{`bypass.relief={ from = "supply plenum", to = "dropp", size = "10 in", length = "5 ft", opens-at = "0.3 inwc" }`}}},
		{"flag-set-value-for-a-table", Options{Set: []string{"supply=3"}}},
	} {
		t.Run(test.name, func(t *testing.T) {
			job, found := Read("two-floor.toml", data, test.opt)
			assert.Nil(t, job)
			assert.True(t, found.HasErrors())
			golden(t, filepath.Join(badJobs, test.name+".golden"), found)
		})
	}
}

// TestHostileFiles are too large for the repository.
func TestHostileFiles(t *testing.T) {
	for _, test := range []struct {
		name string
		data []byte
		want string
	}{
		{"10 MB line", append([]byte("title = \"x\"\n# "), bytes.Repeat([]byte("x"), 10<<20)...),
			"hostile.toml:2:1: error: a line of 10485762 bytes; a line of a job file has at most 16384\n" +
				"  2 | # " + strings.Repeat("x", 108) + "...\n    | ^\n  fix: break it into several\n"},
		{"10 MB of brackets", bytes.Repeat([]byte("["), 10<<20),
			"hostile.toml:1:1: error: a line of 10485760 bytes; a line of a job file has at most 16384\n" +
				"  1 | " + strings.Repeat("[", 110) + "...\n    | ^\n  fix: break it into several\n"},
		{"brackets on many lines", append([]byte("x = "), bytes.Repeat([]byte("[\n"), 1<<20)...),
			"hostile.toml:33:1: error: nested too deep\n  33 | [\n     | ^\n  fix: a job file nests four deep at most\n"},
		{"long dotted key", append(append([]byte("a"), bytes.Repeat([]byte(".a"), 1000)...), " = 1"...),
			"hostile.toml:1:66: error: nested too deep\n  1 | ..." + strings.Repeat("a.", 53)[:0] + "EXCERPT"},
		{"2 MB of short lines", bytes.Repeat([]byte("# 345678\n"), 2<<17),
			"hostile.toml: error: the file has 2359296 bytes; a job file has at most 1048576\n"},
	} {
		t.Run(test.name, func(t *testing.T) {
			job, found := Read("hostile.toml", test.data, Options{})
			require.Nil(t, job)
			if before, _, cut := strings.Cut(test.want, "\n"); cut && strings.Contains(test.want, "EXCERPT") {
				assert.Equal(t, before, found[0].Error())
				return
			}
			assert.Equal(t, test.want, found.Error())
		})
	}
}

// golden compares a list's whole text with a file.
func golden(t *testing.T, file string, found diag.List) {
	t.Helper()
	got := found.Error()
	if *update {
		require.NoError(t, os.WriteFile(file, []byte(got), 0o644))
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err, "run with -update to make it")
	assert.Equal(t, string(want), got)
}
