// Package networktest gives tests the example jobs: their bytes, their alternatives, and the graphs built from them.
//
// It is for tests only, as net/http/httptest is, and so may open files, which the packages it helps to test may not.
package networktest

import (
	"os"
	"path/filepath"
	"strings"

	"github.com/stretchr/testify/require"

	"spillway/network"
)

// T is what a test has, and a property and a benchmark as well.
type T interface {
	require.TestingT
	Helper()
}

// File reads a file of the repository. The path is slash-separated from the repository's root: "testdata/jobs/every-part.toml".
func File(t T, path string) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(root(t), filepath.FromSlash(path)))
	require.NoError(t, err)
	return data
}

// Example is the text of an example job, written out without rows, by its name, "two-floor": tests
// change its lines. It solves to the numbers of the example itself.
func Example(t T, name string) []byte {
	t.Helper()
	return File(t, "testdata/jobs/long/"+name+".toml")
}

// Examples names every example job, in the order of the alphabet. There are never fewer than five, so that a test over all of them
// cannot pass because the folder has moved.
func Examples(t T) []string {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(root(t), "examples", "*.toml"))
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(files), 5, "the example jobs")
	names := make([]string, len(files))
	for i, f := range files {
		names[i] = strings.TrimSuffix(filepath.Base(f), ".toml")
	}
	return names
}

// Jobs lists every job to be solved in full by its path for File: those that have every kind of part, and the examples.
func Jobs(t T) []string {
	t.Helper()
	jobs := []string{"testdata/jobs/every-part.toml", "testdata/jobs/other-parts.toml"}
	for _, name := range Examples(t) {
		jobs = append(jobs, "examples/"+name+".toml")
	}
	return jobs
}

// LongJobs lists the jobs of Jobs with every name in a key or a value of its own, as Rename takes them: the
// examples written out without rows.
func LongJobs(t T) []string {
	t.Helper()
	jobs := Jobs(t)
	for i := range jobs {
		jobs[i] = strings.Replace(jobs[i], "examples/", "testdata/jobs/long/", 1)
	}
	return jobs
}

// Alternatives names the alternatives of a job; the first is "", the job as it stands.
func Alternatives(t T, data []byte) []string {
	t.Helper()
	job, found := network.Read("job.toml", data, network.Options{})
	require.NotNil(t, job, "%v", found)
	names := []string{""}
	for _, a := range job.Alternatives {
		names = append(names, a.Name)
	}
	return names
}

// Build reads a job that must be without errors and builds its graph. The name stands where a problem is told.
func Build(t T, name string, data []byte, opt network.Options) *network.Graph {
	t.Helper()
	job, found := network.Read(name, data, opt)
	require.NotNil(t, job, "%v", found)
	g, err := network.Build(job)
	require.NoError(t, err)
	return g
}

// Graph builds an example job with one of its alternatives, or "", and with overrides as --set takes them.
func Graph(t T, name, alternative string, set ...string) *network.Graph {
	t.Helper()
	return Build(t, name+".toml", Example(t, name), network.Options{Alternative: alternative, Set: set})
}

// root is the folder of the module that the test belongs to.
func root(t T) string {
	t.Helper()
	folder, err := os.Getwd()
	require.NoError(t, err)
	for {
		if _, err := os.Stat(filepath.Join(folder, "go.mod")); err == nil {
			return folder
		}
		above := filepath.Dir(folder)
		require.NotEqual(t, folder, above, "no go.mod above the test")
		folder = above
	}
}
