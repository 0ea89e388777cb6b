package main

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// heard is a standard error that another goroutine reads.
type heard struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (h *heard) Write(p []byte) (int, error) {
	h.mu.Lock()
	defer h.mu.Unlock()
	return h.b.Write(p)
}

func (h *heard) String() string {
	h.mu.Lock()
	defer h.mu.Unlock()
	return h.b.String()
}

// serving runs serve until the test ends it and returns the page's address.
func serving(t *testing.T, job string) (url string, end func() error) {
	t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	said := &heard{}
	done := make(chan error, 1)
	c := console{in: strings.NewReader(""), out: &bytes.Buffer{}, err: said}
	go func() { done <- c.serve(ctx, job, &serveFlags{listen: "127.0.0.1:0"}) }()
	t.Cleanup(cancel)
	address := regexp.MustCompile(`http://127\.0\.0\.1:\d+`)
	require.Eventually(t, func() bool { return address.MatchString(said.String()) }, 10*time.Second, 10*time.Millisecond)
	return address.FindString(said.String()), func() error {
		cancel()
		select {
		case err := <-done:
			return err
		case <-time.After(10 * time.Second):
			return fmt.Errorf("it does not end: %s", said.String())
		}
	}
}

// The page shows the numbers that the solve command prints for the same setting.
func TestServeAgreesWithSolve(t *testing.T) {
	url, end := serving(t, twoFloor)
	for _, stop := range []string{"0 %", "25 %", "22 deg from shut", "100 %"} {
		code, out, errText := call("solve", twoFloor, "--state", "design-cooling: loft", "--set", "damper.main.stop="+stop, "--format", "json")
		require.Zero(t, code, errText)
		var solved struct {
			States []struct{ Sentence string }
		}
		require.NoError(t, json.Unmarshal([]byte(out), &solved))
		question := fmt.Sprintf(`{"state":"design-cooling: loft","set":[{"path":"damper.main.stop","value":%q}]}`, stop)
		r, err := http.Post(url+"/solve", "application/json", strings.NewReader(question))
		require.NoError(t, err)
		var a struct{ Parts string }
		require.NoError(t, json.NewDecoder(r.Body).Decode(&a))
		r.Body.Close()
		assert.Contains(t, a.Parts, strings.ReplaceAll(solved.States[0].Sentence, "'", "&#39;"), stop)
	}
	assert.NoError(t, end())
}

// A page that waits for news does not keep the program from ending; a file that changes on disk is told of.
func TestServeEnds(t *testing.T) {
	job := filepath.Join(t.TempDir(), "house.toml")
	data, err := os.ReadFile(twoFloor)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(job, data, 0o666))
	url, end := serving(t, job)
	r, err := http.Get(url + "/events")
	require.NoError(t, err)
	defer r.Body.Close()
	buffer := make([]byte, 1<<12)
	n, err := r.Body.Read(buffer)
	require.NoError(t, err)
	assert.Contains(t, string(buffer[:n]), `"revision":1`)
	// As editors save: a new file takes the old one's place.
	require.NoError(t, os.WriteFile(job+"~", append(data, "# more\n"...), 0o666))
	require.NoError(t, os.Rename(job+"~", job))
	n, err = r.Body.Read(buffer)
	require.NoError(t, err)
	assert.Contains(t, string(buffer[:n]), `"revision":2`)
	assert.NoError(t, end())
}

// Whatever becomes of the file while it is served, the page is told and goes on with the last one that was in order.
func TestServeOutlivesItsFile(t *testing.T) {
	job := filepath.Join(t.TempDir(), "house.toml")
	good, err := os.ReadFile("testdata/small.toml")
	require.NoError(t, err)
	put := func(data []byte) { // as editors save
		require.NoError(t, os.WriteFile(job+"~", data, 0o666))
		require.NoError(t, os.Rename(job+"~", job))
	}
	put(good)
	url, end := serving(t, job)
	ask := func() string {
		r, err := http.Post(url+"/solve", "application/json", strings.NewReader(`{"state":"cooling: loft"}`))
		require.NoError(t, err)
		defer r.Body.Close()
		var a struct{ Parts, Problem string }
		require.NoError(t, json.NewDecoder(r.Body).Decode(&a))
		return a.Parts
	}
	want := ask()
	require.NotEmpty(t, want)
	r, err := http.Get(url + "/events")
	require.NoError(t, err)
	defer r.Body.Close()
	lines := bufio.NewScanner(r.Body)
	problem := func() string {
		for lines.Scan() {
			if text, ok := strings.CutPrefix(lines.Text(), "data: "); ok {
				var e struct{ Problem string }
				require.NoError(t, json.Unmarshal([]byte(text), &e))
				return e.Problem
			}
		}
		require.Fail(t, "no news")
		return ""
	}
	require.Empty(t, problem())
	for _, c := range []struct {
		name string
		do   func()
		says string
	}{
		{"half of it", func() { put(good[:len(good)/2]) }, "error: "},
		{"nothing in it", func() { put(nil) }, "the file is empty"},
		{"a picture", func() { put([]byte("\x89PNG\r\n\x1a\n\x00\x00")) }, "not a text file"},
		{"Latin-1", func() { put([]byte("title = \"Dachgescho\xdf\"\n")) }, `the byte \xdf is no UTF-8 text`},
		{"nested", func() { put([]byte("a = " + strings.Repeat("[", 10_000))) }, "nested too deep"},
		{"large", func() { put(bytes.Repeat([]byte("# nothing\n"), 1<<20)) }, "a job file has at most"},
		{"gone", func() { require.NoError(t, os.Remove(job)) }, "no such file or directory"},
		{"a folder", func() { require.NoError(t, os.Mkdir(job, 0o777)) }, "it is a folder, not a job file"},
	} {
		c.do()
		said := problem()
		assert.Contains(t, said, c.says, c.name)
		assert.Less(t, len(said), 20<<10, c.name)
		assert.Equal(t, want, ask(), c.name)
	}
	require.NoError(t, os.Remove(job))
	put(append([]byte("\xef\xbb\xbf"), bytes.ReplaceAll(good, []byte("\n"), []byte("\r\n"))...))
	for said := problem(); said != ""; said = problem() { // between removing and putting it may have been seen as gone
		assert.Contains(t, said, "no such file or directory")
	}
	assert.Equal(t, want, ask(), "with other line ends")
	assert.NoError(t, end())
}

func TestServeRefuses(t *testing.T) {
	for _, c := range []struct {
		name, job, listen, alternative string
		want                           string
	}{
		{"all machines", twoFloor, "0.0.0.0:0", "", "this machine only"},
		{"no address", twoFloor, ":0", "", "this machine only"},
		{"all machines, IPv6", twoFloor, "[::]:0", "", "this machine only"},
		{"a name", twoFloor, "example.invalid:0", "", "this machine only"},
		{"no port", twoFloor, "127.0.0.1", "", "address and a port"},
		{"standard input", "-", "127.0.0.1:0", "", "cannot be watched"},
		{"all alternatives", twoFloor, "127.0.0.1:0", "all", "all alternatives"},
		{"no file", "nowhere.toml", "127.0.0.1:0", "", "cannot read nowhere.toml"},
	} {
		t.Run(c.name, func(t *testing.T) {
			f := &serveFlags{listen: c.listen}
			f.alternative = c.alternative
			err := console{err: &bytes.Buffer{}}.serve(context.Background(), c.job, f)
			var failed *failure
			require.ErrorAs(t, err, &failed)
			assert.Equal(t, wrongCall, failed.code)
			assert.ErrorContains(t, err, c.want)
		})
	}
}
