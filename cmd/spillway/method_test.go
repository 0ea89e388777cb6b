package main

import (
	"bytes"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// methodRows are the rows of the Markdown tables under a heading of METHOD.md, cell by cell, without heads.
func methodRows(t *testing.T, heading string) [][]string {
	t.Helper()
	text, err := os.ReadFile("../../solver/METHOD.md")
	require.NoError(t, err)
	_, section, found := strings.Cut(string(text), "\n## "+heading+"\n")
	require.True(t, found, heading)
	section, _, _ = strings.Cut(section, "\n## ")
	var rows [][]string
	for _, line := range strings.Split(section, "\n") {
		if !strings.HasPrefix(line, "| ") {
			continue
		}
		cells := strings.Split(strings.Trim(line, "|"), "|")
		for i := range cells {
			cells[i] = strings.TrimSpace(cells[i])
		}
		rows = append(rows, cells)
	}
	return rows
}

// What METHOD.md says of its accuracy stands, number for number, in the table of published values.
func TestMethodQuotesPublished(t *testing.T) {
	published, err := os.ReadFile("../../testdata/published.md")
	require.NoError(t, err)
	rows := 0
	for _, cells := range methodRows(t, "8. How accurate") {
		if len(cells) != 4 || cells[0] == "part" {
			continue
		}
		rows++
		pair := " | " + cells[2] + " | " + strings.Replace(cells[3], "−", "-", 1) + " | "
		assert.Contains(t, string(published), pair, strings.Join(cells, " | "))
	}
	assert.GreaterOrEqual(t, rows, 15)
}

// The example that METHOD.md reckons by hand: the program prints what the right-hand column says, and the hand, which rounds on the
// way, is within 3 % of it.
func TestMethodByHand(t *testing.T) {
	var out, messages bytes.Buffer
	args := []string{"solve", "../../examples/first-look.toml", "--state", "bed", "--verbose"}
	require.Zero(t, run(args, console{out: &out, err: &messages}), messages.String())
	prints := func(pattern string) string {
		m := regexp.MustCompile(`(?m)^ *` + pattern).FindStringSubmatch(out.String())
		require.NotNil(t, m, pattern)
		return strings.ReplaceAll(m[1], ",", "")
	}
	program := map[string]string{
		"air":                 prints(`blower +([\d.]+) +100\.0`),
		"filter":              prints(`filter +filter +\d+ +\d+ +\d+ +([\d.]+)`),
		"wet coil":            prints(`coil +coil +\d+ +\d+ +\d+ +([\d.]+)`),
		"trunk 16x8 in":       prints(`trunk +trunk at bed-trunk +\d+ +\d+ +([\d,]+)`),
		"its drop":            prints(`trunk +trunk at bed-trunk +\d+ +\d+ +[\d,]+ +([\d.]+)`),
		"bed-trunk 9 in":      prints(`bed-trunk +bed-trunk at bed-1 +\d+ +\d+ +([\d,]+)`),
		"damper":              prints(`bed damper +open for its call +100 % +0° +\d+ +([\d.]+)`),
		"day damper at 67.5°": prints(`day damper +at its stop +25 % +68° +\d+ +([\d.]+)`),
		"drop of the air":     prints(`drop +([\d.]+) °F`),
	}
	friction := []string{ // the rows that both begin "its friction"
		prints(`trunk +trunk at bed-trunk +\d+ +\d+ +[\d,]+ +[\d.]+ +([\d.]+)`),
		prints(`bed-trunk +bed-trunk at bed-1 +\d+ +\d+ +[\d,]+ +[\d.]+ +([\d.]+)`),
	}
	static, err := strconv.ParseFloat(prints(`FAULT +external static: ([\d.]+)`), 64)
	require.NoError(t, err)
	out.Reset()
	args = []string{"explain", "../../examples/first-look.toml", "--state", "bed", "bed-1 register drop", "--depth", "0"}
	require.Zero(t, run(args, console{out: &out, err: &messages}), messages.String())
	program["register 10x6 in"] = prints(`bed-1 register drop: ([\d.]+) in`)
	checked := 0
	for _, cells := range methodRows(t, "9. Check it by hand") {
		if len(cells) != 3 || cells[0] == "what" || cells[2] == "" {
			continue
		}
		hand, err := strconv.ParseFloat(cells[1], 64)
		require.NoError(t, err, cells[0])
		ours, err := strconv.ParseFloat(cells[2], 64)
		require.NoError(t, err, cells[0])
		assert.InEpsilon(t, ours, hand, 0.03, cells[0])
		checked++
		name, _, _ := strings.Cut(cells[0], ":")
		name, _, _ = strings.Cut(name, " with its share")
		name, _, _ = strings.Cut(name, ", 23.")
		switch {
		case name == "its friction":
			require.NotEmpty(t, friction)
			assert.Equal(t, friction[0], cells[2], cells[0])
			friction = friction[1:]
		default:
			require.Contains(t, program, name)
			assert.Equal(t, program[name], cells[2], cells[0])
		}
	}
	assert.GreaterOrEqual(t, checked, 11)

	// Once round: the drops in the last paragraph add up to the external static that is printed.
	text, err := os.ReadFile("../../solver/METHOD.md")
	require.NoError(t, err)
	_, round, found := strings.Cut(string(text), "And once round, through bed 1:")
	require.True(t, found)
	round, _, _ = strings.Cut(round, "Their sum")
	sum := 0.0
	parts := regexp.MustCompile(`\d\.\d{3}`).FindAllString(round, -1)
	for _, p := range parts {
		x, err := strconv.ParseFloat(p, 64)
		require.NoError(t, err)
		sum += x
	}
	assert.Len(t, parts, 9)
	assert.InDelta(t, static, sum, 9*0.0005, "nine roundings to a thousandth")
}
