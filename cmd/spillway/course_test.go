package main

import (
	"bytes"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
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
	ran, printed := 0, map[string]bool{}
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
			if strings.HasSuffix(a, ".svg") || strings.HasSuffix(a, ".html") {
				args[i] = filepath.Join(away, filepath.Base(a))
			}
		}
		var out, errs bytes.Buffer
		code := run(args, console{in: strings.NewReader(""), out: &out, err: &errs})
		assert.Equal(t, solved, code, "%s\n%s", line, errs.String())
		note(printed, out.String())
	}
	for _, n := range figure.FindAllString(commandBlock.ReplaceAllString(string(text), ""), -1) {
		if len(n) >= 3 && !strings.HasPrefix(n, "0.") {
			assert.True(t, printed[n], "nothing that the course runs prints %s", n)
		}
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

// Every line that the answers quote is printed by the commands above it, and every number in their
// prose is among what these print or ask, or is worked out there by an equation that holds.
func TestTheAnswersHold(t *testing.T) {
	t.Chdir("../..")
	text, err := os.ReadFile("examples/course/ANSWERS.md")
	require.NoError(t, err)
	questions, err := os.ReadFile("examples/course/README.md")
	require.NoError(t, err)
	parts := strings.Split(string(text), "\n## ")[1:]
	assert.Len(t, parts, strings.Count(string(questions), "**Question.**"), "an answer each")
	lines, figures := 0, 0
	for _, part := range parts {
		title, part, _ := strings.Cut(part, "\n")
		known := map[string]bool{"1": true, "100": true}
		var printed strings.Builder
		for _, block := range strings.Split(part, "```sh\n")[1:] {
			block, _, _ = strings.Cut(block, "```")
			printed.WriteString(runLines(t, strings.TrimSpace(block)))
			note(known, block)
		}
		output := strings.Join(strings.Fields(printed.String()), " ")
		prose := part
		for _, block := range strings.Split(part, "```text\n")[1:] {
			block, _, _ = strings.Cut(block, "```")
			note(known, block)
			for line := range strings.Lines(block) {
				lines++
				assert.Contains(t, output, strings.Join(strings.Fields(line), " "), title)
			}
		}
		_, prose, _ = strings.Cut(prose, "```text\n")
		_, prose, _ = strings.Cut(prose, "```")
		for _, m := range regexp.MustCompile("`([^`]*) = ([0-9.]+)`").FindAllStringSubmatch(prose, -1) {
			want, _ := strconv.ParseFloat(m[2], 64)
			_, decimals, _ := strings.Cut(m[2], ".")
			half := 0.5001 * math.Pow10(-len(decimals))
			assert.InDelta(t, want, workedOut(t, known, m[1]), half, "%s: %s", title, m[0])
			known[m[2]] = true
		}
		for _, n := range figure.FindAllString(prose, -1) {
			figures++
			assert.True(t, known[n], "%s: nothing printed has the number %s", title, n)
		}
	}
	assert.Greater(t, lines, 25)
	assert.Greater(t, figures, 60)
}

// commandBlock is a block of commands, or a command within the text.
var commandBlock = regexp.MustCompile("(?s)```.*?```|`[^`]*`")

// figure is a number in a text, without its sign.
var figure = regexp.MustCompile(`[0-9]+(?:[.,][0-9]+)*`)

func note(known map[string]bool, text string) {
	for _, n := range figure.FindAllString(text, -1) {
		known[n] = true
	}
}

// workedOut is the value of "a + b", from left to right; its numbers are known.
func workedOut(t *testing.T, known map[string]bool, equation string) float64 {
	t.Helper()
	words := strings.Fields(equation)
	value := 0.0
	for i := 0; i < len(words); i += 2 {
		assert.True(t, known[words[i]], "%s: %s is not known", equation, words[i])
		x, err := strconv.ParseFloat(words[i], 64)
		require.NoError(t, err, equation)
		switch {
		case i == 0:
			value = x
		case words[i-1] == "+":
			value += x
		case words[i-1] == "-":
			value -= x
		case words[i-1] == "×":
			value *= x
		case words[i-1] == "/":
			value /= x
		default:
			t.Errorf("%s: what is %q?", equation, words[i-1])
		}
	}
	return value
}

// runLines runs the lines of a shell block: this program, cp FILE FILE and echo 'TEXT' >> FILE.
// Files that they make are elsewhere. It returns what the program prints.
func runLines(t *testing.T, block string) string {
	t.Helper()
	away := t.TempDir()
	made := map[string]string{}
	var printed strings.Builder
	for line := range strings.Lines(block) {
		line = strings.TrimSpace(line)
		if text, file, ok := strings.Cut(strings.TrimPrefix(line, "echo '"), "' >> "); ok {
			f, err := os.OpenFile(made[file], os.O_APPEND|os.O_WRONLY, 0)
			require.NoError(t, err, line)
			_, err = f.WriteString(text + "\n")
			require.NoError(t, err)
			require.NoError(t, f.Close())
			continue
		}
		args := splitCommand(line)
		if args[0] == "cp" {
			data, err := os.ReadFile(args[1])
			require.NoError(t, err)
			made[args[2]] = filepath.Join(away, args[2])
			require.NoError(t, os.WriteFile(made[args[2]], data, 0o644))
			continue
		}
		for i, a := range args {
			if made[a] != "" {
				args[i] = made[a]
			}
		}
		var out, errs bytes.Buffer
		require.Equal(t, solved, run(args[1:], console{in: strings.NewReader(""), out: &out,
			err: &errs}),
			"%s\n%s", line, errs.String())
		printed.WriteString(out.String())
	}
	return printed.String()
}
