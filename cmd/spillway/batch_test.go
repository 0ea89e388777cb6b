package main

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// batchLine is what the checks read of a line of output.
type batchLine struct {
	Line     int
	ID       any
	File     *string
	Code     int
	Messages []message
	Results  []json.RawMessage
}

func runBatch(t *testing.T, input string, args ...string) ([]batchLine, int) {
	var out, messages bytes.Buffer
	code := run(append([]string{"batch"}, args...), console{in: strings.NewReader(input), out: &out, err: &messages})
	var lines []batchLine
	for _, text := range strings.Split(strings.TrimSpace(out.String()), "\n") {
		var l batchLine
		require.NoError(t, json.Unmarshal([]byte(text), &l), text)
		lines = append(lines, l)
	}
	assert.Empty(t, messages.String(), "all that is to be said stands in the lines")
	return lines, code
}

// Good and bad jobs mixed: one line out for each one in, in order, whatever the number of workers; the good ones are what solve prints.
func TestBatchAnswersEveryLineInOrder(t *testing.T) {
	job, err := os.ReadFile("testdata/small.toml")
	require.NoError(t, err)
	text, err := json.Marshal(string(job))
	require.NoError(t, err)
	input := strings.Join([]string{
		"testdata/small.toml",
		"",
		"testdata/nowhere.toml",
		`{"id": 7, "file": "testdata/small.toml", "alternative": "all", "units": "si", "states": ["heating: loft"]}`,
		`{"id": {"a": [1]}, "job": ` + string(text) + `, "set": ["damper.main.stop=30 %"]}`,
		`{"id": "bad", "job": "title = 3"}`,
		`{"job"`, `{}`, `{"file": "a", "files": "b"}`, `{"file": "a"} x`, `{"file": "a", "units": "us"}`,
		`{"id": "none", "file": "testdata/small.toml", "states": ["attic"]}`,
		"{" + strings.Repeat(" ", mostRequest) + "}",
		"\xff\xfe not a name",
		"testdata/small.toml",
	}, "\n")
	var first []batchLine
	for _, workers := range []string{"1", "2", "7"} {
		lines, code := runBatch(t, input, "--workers", workers)
		assert.Equal(t, wrongCall, code)
		var numbers, codes []int
		for _, l := range lines {
			numbers, codes = append(numbers, l.Line), append(codes, l.Code)
			if l.Code != 0 {
				assert.NotEmpty(t, l.Messages, "line %d", l.Line)
				assert.Empty(t, l.Results, "line %d", l.Line)
			}
		}
		assert.Equal(t, []int{1, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15}, numbers)
		assert.Equal(t, []int{0, 2, 0, 0, 2, 2, 2, 2, 2, 2, 2, 2, 2, 0}, codes)
		if first == nil {
			first = lines
		}
		assert.Equal(t, first, lines, "the number of workers changes nothing")
	}
	assert.Nil(t, first[0].ID)
	assert.EqualValues(t, 7, first[2].ID)
	assert.Equal(t, map[string]any{"a": []any{1.0}}, first[3].ID)
	assert.Len(t, first[2].Results, 2)
	assert.Contains(t, string(first[2].Results[0]), `"units":"si"`)
	assert.Contains(t, first[11].Messages[0].Summary, "has more than 8 MiB")

	var out, messages bytes.Buffer
	require.Zero(t, run([]string{"solve", "testdata/small.toml", "testdata/small.toml", "--format", "json"}, console{out: &out, err: &messages}))
	solvedLine, _, _ := strings.Cut(out.String(), "\n")
	assert.Equal(t, solvedLine, string(first[0].Results[0]))
	assert.Equal(t, solvedLine, string(first[13].Results[0]))
}

// A list solved in pieces, each told where it begins, gives the bytes of the list solved at once.
func TestBatchInPieces(t *testing.T) {
	lines := []string{
		"testdata/small.toml", `{"id": 2, "job": "title = 3"}`, "", `{}`, "testdata/nowhere.toml",
		`{"id": 5, "file": "testdata/small.toml", "set": ["damper.main.stop=30 %"]}`, "{", "testdata/small.toml",
	}
	solve := func(lines []string, args ...string) string {
		var out, messages bytes.Buffer
		in := strings.NewReader(strings.Join(lines, "\n") + "\n")
		run(append([]string{"batch"}, args...), console{in: in, out: &out, err: &messages})
		return out.String()
	}
	whole := solve(lines)
	joined := ""
	for from := 0; from < len(lines); from += 3 {
		piece := lines[from:min(from+3, len(lines))]
		joined += solve(piece, "--workers", "1", "--first-line", fmt.Sprint(from+1))
	}
	assert.Equal(t, whole, joined)
	assert.Equal(t, len(lines)-1, strings.Count(whole, "\n"), "a blank line is not a job")
	assert.Contains(t, whole, `"line":8`)
}

func TestBatchOfFiles(t *testing.T) {
	lines, code := runBatch(t, "", "testdata/small.toml", "testdata/nowhere.toml", "testdata/small.toml")
	assert.Equal(t, wrongCall, code)
	require.Len(t, lines, 3)
	assert.Equal(t, "testdata/nowhere.toml", *lines[1].File)
	assert.Equal(t, []int{0, 2, 0}, []int{lines[0].Code, lines[1].Code, lines[2].Code})
}

// slowWriter takes a line at a time when it is told to.
type slowWriter struct{ lines chan int }

func (w slowWriter) Write(data []byte) (int, error) { w.lines <- len(data); return len(data), nil }

// However long the input, only a few lines more than are written have been read.
func TestBatchReadsNoFurtherThanItsQueue(t *testing.T) {
	const workers, total = 2, 400
	var taken atomic.Int64
	in, feed := io.Pipe()
	go func() {
		for i := range total {
			// The padding is wider than the reader's buffer, so that a line is taken only when it is wanted.
			if _, err := fmt.Fprintf(feed, `{"id": %d, "job": "title = 3"%s}`+"\n", i, strings.Repeat(" ", 70<<10)); err != nil {
				return
			}
			taken.Add(1)
		}
		feed.Close()
	}()
	out := slowWriter{make(chan int)}
	finished := make(chan int)
	go func() {
		finished <- run([]string{"batch", "--workers", fmt.Sprint(workers)}, console{in: bufio.NewReaderSize(in, 16), out: out, err: io.Discard})
	}()
	written := 0
	for written < total {
		<-out.lines
		written++
		if written%40 == 0 {
			time.Sleep(20 * time.Millisecond) // let the reader run as far as it can
			assert.LessOrEqual(t, int(taken.Load())-written, 4*workers+workers+3, "after %d lines", written)
		}
	}
	assert.Equal(t, wrongCall, <-finished)
}

// brokenWriter fails after some lines, as a pipe that nobody reads any more.
type brokenWriter struct{ left int }

func (w *brokenWriter) Write(data []byte) (int, error) {
	if w.left--; w.left < 0 {
		return 0, io.ErrClosedPipe
	}
	return len(data), nil
}

func TestBatchEndsWhenNobodyReads(t *testing.T) {
	input := strings.Repeat("{\"job\": \"\"}\n", 10_000)
	code := run([]string{"batch"}, console{in: strings.NewReader(input), out: &brokenWriter{left: 5}, err: io.Discard})
	assert.Equal(t, unsolvable, code)
}

func BenchmarkBatch(b *testing.B) {
	for _, workers := range []string{"1", "2"} {
		b.Run("workers="+workers, func(b *testing.B) {
			input := strings.Repeat("testdata/small.toml\n", b.N)
			b.ResetTimer()
			code := run([]string{"batch", "--workers", workers}, console{in: strings.NewReader(input), out: io.Discard, err: io.Discard})
			b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "houses/s")
			if code != solved {
				b.Fatal(code)
			}
		})
	}
}
