package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// call runs the program as the shell would.
func call(args ...string) (code int, out, err string) {
	var o, e bytes.Buffer
	code = run(args, console{in: strings.NewReader(""), out: &o, err: &e})
	return code, o.String(), e.String()
}

const twoFloor = "../../examples/two-floor.toml"

func TestReport(t *testing.T) {
	folder := t.TempDir()
	file := filepath.Join(folder, "house.html")
	code, out, err := call("report", twoFloor, "--state", "design-cooling: loft", "--steps", "3", "-o", file)
	require.Zero(t, code, err)
	assert.Empty(t, out)
	data, readErr := os.ReadFile(file)
	require.NoError(t, readErr)
	assert.True(t, bytes.HasPrefix(data, []byte("<!DOCTYPE html>")))
	assert.Equal(t, 1, bytes.Count(data, []byte(`class="view state"`)))
	assert.True(t, bytes.Contains(data, []byte(`data-frames="v0s0"`)), "a slider has its frames")

	code, out, err = call("report", twoFloor, "--state", "cellar", "--steps", "0")
	assert.Equal(t, wrongCall, code)
	assert.Contains(t, err, "no call state")
	assert.Empty(t, out)

	code, out, err = call("report", twoFloor, "--state", "heating: main", "--state", "heating: loft", "--steps", "0", "--units", "si", "--alternative", "all")
	require.Zero(t, code, err)
	assert.False(t, strings.Contains(out, `data-frames="v`), "no steps, no sliders")
	assert.True(t, strings.Contains(out, "l/s surplus"))
	assert.Equal(t, 8, strings.Count(out, `class="view state"`), "two states of the file and of three alternatives")
}

func TestReportRefuses(t *testing.T) {
	for _, c := range []struct {
		name string
		args []string
		code int
		want string
	}{
		{"one step", []string{"report", twoFloor, "--steps", "1"}, wrongCall, "--steps"},
		{"a thousand", []string{"report", twoFloor, "--steps", "1000"}, wrongCall, "--steps"},
		{"no file", []string{"report"}, wrongCall, "needs a job file"},
		{"not there", []string{"report", "nowhere.toml"}, wrongCall, "cannot read nowhere.toml"},
		{"no folder", []string{"report", twoFloor, "--state", "heating: loft", "--steps", "0", "-o", "nowhere/x.html"}, unsolvable, "there is no folder nowhere"},
		{"a wrong setting", []string{"report", twoFloor, "--set", "damper.main.stop=lots"}, wrongCall, "lots"},
	} {
		t.Run(c.name, func(t *testing.T) {
			code, out, err := call(c.args...)
			assert.Equal(t, c.code, code)
			assert.Contains(t, err, c.want)
			assert.Empty(t, out)
		})
	}
}

// What a terminal is shown while a report is made: how far it is, in whole per cent; nothing where there is no terminal.
func TestProgressLine(t *testing.T) {
	assert.Equal(t, "  0 % of 120 call states", progressLine(0, 120, "call states"))
	assert.Equal(t, " 50 % of 120 call states", progressLine(60, 120, "call states"))
	assert.Equal(t, "100 % of 7 damper positions, bypass", progressLine(7, 7, "damper positions, bypass"))
	step, end := console{err: &bytes.Buffer{}}.progress("call states")
	assert.Nil(t, step)
	end()
}
