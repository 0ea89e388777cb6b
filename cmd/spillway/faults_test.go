package main

import (
	"bytes"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What can go wrong around the program. Each fault leaves an old file as it was, no other file behind, and a message that says what
// failed.

// writerProcess, when set, makes this test binary a process that writes a file again and again until it is killed.
const writerProcess = "SPILLWAY_TEST_WRITER"

// version1 and version2 are the two contents that the process writes by turns.
func contents(which int) []byte { return bytes.Repeat([]byte{byte('a' + which)}, 3<<20) }

func TestWriterProcess(t *testing.T) {
	path := os.Getenv(writerProcess)
	if path == "" {
		t.Log("only a helper of TestKilledWhileWriting")
		return
	}
	for i := 0; ; i++ {
		if err := writeFile(path, contents(i%2)); err != nil {
			fmt.Println(err)
			os.Exit(7)
		}
	}
}

// Killed at any moment, the program leaves the old file or the new one, never a piece.
func TestKilledWhileWriting(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("no SIGKILL")
	}
	folder := t.TempDir()
	path := filepath.Join(folder, "out.json")
	require.NoError(t, os.WriteFile(path, contents(0), 0o644))
	random := rand.New(rand.NewPCG(8, 1))
	torn := 0
	for range 25 {
		cmd := exec.Command(os.Args[0], "-test.run=^TestWriterProcess$")
		cmd.Env = append(os.Environ(), writerProcess+"="+path)
		require.NoError(t, cmd.Start())
		require.Eventually(t, func() bool { // a write has begun: a machine under load takes its time
			begun, err := filepath.Glob(filepath.Join(folder, ".spillway-*.part"))
			return err == nil && len(begun) > 0
		}, 30*time.Second, 200*time.Microsecond)
		time.Sleep(time.Duration(random.IntN(2000)) * time.Microsecond)
		require.NoError(t, cmd.Process.Signal(syscall.SIGKILL))
		require.Error(t, cmd.Wait(), "it was killed, and did not end by itself")
		data, err := os.ReadFile(path)
		require.NoError(t, err)
		if !bytes.Equal(data, contents(0)) && !bytes.Equal(data, contents(1)) {
			t.Fatalf("%d bytes of neither version", len(data))
		}
		left, err := filepath.Glob(filepath.Join(folder, ".spillway-*.part"))
		require.NoError(t, err)
		torn += len(left)
		for _, name := range left { // what a killed process leaves behind does not stop the next one
			require.NoError(t, os.Remove(name))
		}
	}
	assert.Positive(t, torn, "at least one kill fell into a write, or the test shows nothing")
}

// limited runs the program in a shell under a limit on the size of files: a disk that fills up in mid-write.
func TestDiskFillsUp(t *testing.T) {
	shell, err := exec.LookPath("sh")
	if err != nil || runtime.GOOS == "windows" {
		t.Skip("needs a shell with ulimit")
	}
	program := filepath.Join(t.TempDir(), "spillway")
	build := exec.Command("go", "build", "-o", program, ".")
	output, err := build.CombinedOutput()
	require.NoError(t, err, string(output))
	folder := t.TempDir()
	old := filepath.Join(folder, "out.json")
	require.NoError(t, os.WriteFile(old, []byte("this stays"), 0o644))
	run := func(command string) (string, int) {
		cmd := exec.Command(shell, "-c", "ulimit -f 16; "+command, program, old, folder)
		output, err := cmd.CombinedOutput()
		if failed, ok := err.(*exec.ExitError); ok {
			return string(output), failed.ExitCode()
		}
		require.NoError(t, err)
		return string(output), 0
	}
	for name, command := range map[string]string{
		"solve":  `exec "$0" solve testdata/small.toml --format json -o "$1"`,
		"draw":   `exec "$0" draw testdata/small.toml --state "cooling: loft" -o "$1"`,
		"schema": `exec "$0" schema -o "$1"`,
		"report": `exec "$0" report testdata/small.toml --steps 0 -o "$1"`,
		"tune":   `exec "$0" tune testdata/small.toml --steps 3 --format json -o "$1"`,
		"sweep":  `exec "$0" sweep testdata/small.toml --move "damper.main.stop=0..100 %" --steps 3 --format json -o "$1"`,
		"chart":  `exec "$0" sweep testdata/small.toml --move "damper.main.stop=0..100 %" --steps 3 --chart "$1" > /dev/null`,
		"spread": `exec "$0" spread testdata/small.toml --samples 20 --format json -o "$1"`,
	} {
		said, code := run(command)
		assert.Equal(t, unsolvable, code, "%s: %s", name, said)
		assert.Contains(t, said, "cannot write "+old+": file too large", name)
		data, err := os.ReadFile(old)
		require.NoError(t, err)
		assert.Equal(t, "this stays", string(data), name)
		left, err := os.ReadDir(folder)
		require.NoError(t, err)
		assert.Len(t, left, 1, "%s: nothing else is left behind", name)
	}
	// Of a folder of pictures none is a piece: the first that does not fit ends it.
	pictures := filepath.Join(folder, "pictures")
	said, code := run(`exec "$0" draw testdata/small.toml -o "$2/pictures/"`)
	assert.Equal(t, unsolvable, code, said)
	assert.Regexp(t, "cannot write "+pictures+"/.*: file too large", said)
	assert.NoDirExists(t, pictures)
	said, code = run(`"$0" batch testdata/small.toml testdata/small.toml > "$2/lines"`)
	assert.Equal(t, unsolvable, code)
	assert.Contains(t, said, "cannot write results: ")
}

// solved runs a call on some input and returns what it prints.
func solvedText(t *testing.T, input []byte, args ...string) string {
	var out, messages bytes.Buffer
	code := run(args, console{in: bytes.NewReader(input), out: &out, err: &messages})
	require.Zero(t, code, messages.String())
	return out.String()
}

// Line ends and a byte order mark change nothing.
func TestLineEndsAndByteOrderMark(t *testing.T) {
	job, err := os.ReadFile("testdata/small.toml")
	require.NoError(t, err)
	want := solvedText(t, job, "solve", "-", "--format", "json")
	crlf := bytes.ReplaceAll(job, []byte("\n"), []byte("\r\n"))
	for name, variant := range map[string][]byte{
		"CRLF": crlf, "BOM": append([]byte("\xef\xbb\xbf"), job...), "both": append([]byte("\xef\xbb\xbf"), crlf...),
		"no last line end": bytes.TrimRight(job, "\n"),
	} {
		assert.Equal(t, want, solvedText(t, variant, "solve", "-", "--format", "json"), name)
	}
}

// So it is with readings.
func TestLineEndsOfReadings(t *testing.T) {
	const job = "../../examples/noisy-bedroom.toml"
	readings, err := os.ReadFile("../../examples/readings/noisy-bedroom.toml")
	require.NoError(t, err)
	fitted := func(text []byte) string {
		name := filepath.Join(t.TempDir(), "readings.toml")
		require.NoError(t, os.WriteFile(name, text, 0o600))
		said := solvedText(t, nil, "fit", job, name)
		return strings.ReplaceAll(said, name, "readings.toml")
	}
	want := fitted(readings)
	assert.Equal(t, want, fitted(append([]byte("\xef\xbb\xbf"), bytes.ReplaceAll(readings, []byte("\n"), []byte("\r\n"))...)))
}

// Input that is no job file is refused in little time and memory, with a message of a few lines.
func TestInputThatIsNoJob(t *testing.T) {
	for _, c := range []struct {
		name string
		in   func() io.Reader
		says string
	}{
		{"nothing", func() io.Reader { return strings.NewReader("") }, "the file is empty"},
		{"zero bytes", func() io.Reader { return bytes.NewReader(make([]byte, 1000)) }, "not a text file"},
		{"100 MB of comments", func() io.Reader { return strings.NewReader(strings.Repeat("# nothing\n", 10<<20)) }, "a job file has at most"},
		{"one line of 10 MB", func() io.Reader { return strings.NewReader("a = \"" + strings.Repeat("x", 10<<20) + "\"\n") }, "a line of"},
		{"a million brackets", func() io.Reader { return strings.NewReader("a = " + strings.Repeat("[\n", 1_000_000)) }, "nested too deep"},
		{"brackets in brackets", func() io.Reader { return strings.NewReader("a = " + strings.Repeat("[", 10_000)) }, "nested too deep"},
		{"tables in tables", func() io.Reader { return strings.NewReader("[" + strings.Repeat("a.", 5000) + "a]\n") }, "nested too deep"},
		{"Latin-1", func() io.Reader { return strings.NewReader("title = \"Dachgescho\xdf\"\n") }, `the byte \xdf is no UTF-8 text`},
		{"UTF-16", func() io.Reader { return strings.NewReader("\xff\xfet\x00i\x00") }, "UTF-16"},
		{"endless", func() io.Reader { return &endless{} }, "more than 16 MiB"},
	} {
		t.Run(c.name, func(t *testing.T) {
			var out, messages bytes.Buffer
			code := run([]string{"solve", "-"}, console{in: c.in(), out: &out, err: &messages})
			assert.Equal(t, wrongCall, code)
			assert.Empty(t, out.String())
			assert.Contains(t, messages.String(), c.says)
			assert.Less(t, messages.Len(), 20<<10)
		})
	}
}

// Texts of other kinds are told from a job file at their first line, and readings are read no further than jobs are.
func TestInputOfAnotherKind(t *testing.T) {
	for _, c := range []struct{ name, in, says string }{
		{"JSON", `{"title": "house"}`, `1:1: error: a "=" is missing after the key`},
		{"YAML", "title: house\n", `1:6: error: a "=" is missing after the key`},
		{"a web page", "<!doctype html>\n<p>house\n", `1:1: error: a "=" is missing after the key`},
		{"a picture", "\x89PNG\r\n\x1a\n\x00\x00", "not a text file"},
		{"readings", "state = \"cooling: loft\"\n[reading]\na = { at = \"blower inlet\", static = -0.3 }\n", `a job file has no key "state"`},
		{"Latin-1", "title = \"Dachgescho\xdf\"\n", `the byte \xdf is no UTF-8 text`},
		{"nested", "a = " + strings.Repeat("[", 10_000), "nested too deep"},
		{"large", strings.Repeat("# nothing\n", 1<<20), "bytes; a job file has at most"},
	} {
		t.Run(c.name, func(t *testing.T) {
			name := filepath.Join(t.TempDir(), "other.toml")
			require.NoError(t, os.WriteFile(name, []byte(c.in), 0o600))
			calls := [][]string{{"solve", name}}
			if c.name != "readings" {
				calls = append(calls, []string{"fit", "testdata/small.toml", name})
			}
			for _, args := range calls {
				var out, messages bytes.Buffer
				code := run(args, console{in: strings.NewReader(""), out: &out, err: &messages})
				assert.Equal(t, wrongCall, code, args)
				assert.Empty(t, out.String(), args)
				assert.Contains(t, messages.String(), c.says, args)
				assert.Contains(t, messages.String(), name, args)
				assert.Less(t, messages.Len(), 20<<10, args)
			}
		})
	}
}

// A list of jobs may have the line ends of another system and begin with its byte order mark.
func TestLineEndsOfABatch(t *testing.T) {
	const list = "testdata/small.toml\n{\"file\":\"testdata/small.toml\",\"id\":2}\n"
	want := solvedText(t, []byte(list), "batch", "--state", "cooling: loft")
	assert.Contains(t, want, `"id":2,"file":"testdata/small.toml","code":0`)
	assert.Equal(t, want, solvedText(t, []byte("\xef\xbb\xbf"+strings.ReplaceAll(list, "\n", "\r\n")), "batch", "--state", "cooling: loft"))
	assert.Equal(t, want, solvedText(t, []byte(strings.TrimSpace(list)), "batch", "--state", "cooling: loft"), "without the last line end")
}

// endless is a device that never ends.
type endless struct{}

func (*endless) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = '\n'
	}
	return len(p), nil
}

// A reader that fails in the middle is reported as that.
func TestInputThatBreaksOff(t *testing.T) {
	for _, args := range [][]string{{"solve", "-"}, {"check", "-"}, {"batch"}} {
		var messages bytes.Buffer
		code := run(args, console{in: io.MultiReader(strings.NewReader("title = 3\n"), brokenReader{}), out: io.Discard, err: &messages})
		assert.Equal(t, wrongCall, code, args)
		assert.Contains(t, messages.String(), "input/output error", args)
	}
}

type brokenReader struct{}

func (brokenReader) Read([]byte) (int, error) { return 0, syscall.EIO }
