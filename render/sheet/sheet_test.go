package sheet

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network/quantity"
	"spillway/render/internal/doc"
	"spillway/render/internal/text"
)

var update = flag.Bool("update", false, "rewrite the golden files")

// golden compares with a file of testdata. The files are what a person has looked at and found right.
func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *update {
		require.NoError(t, os.MkdirAll("testdata", 0o755))
		require.NoError(t, os.WriteFile(path, got, 0o644))
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, string(want), string(got))
}

func TestTextGolden(t *testing.T) {
	for _, c := range []struct {
		name  string
		units quantity.System
		style Style
	}{
		{"plain-ip", quantity.IP, Style{}},
		{"plain-si", quantity.SI, Style{}},
		{"verbose-ip", quantity.IP, Style{Verbose: true}},
		{"verbose-si", quantity.SI, Style{Verbose: true}},
		{"summary", quantity.IP, Style{Summary: true}},
		{"colour", quantity.IP, Style{Color: true}},
	} {
		t.Run(c.name, func(t *testing.T) {
			var b bytes.Buffer
			require.NoError(t, Text(&b, fixtureIn(c.units), c.style))
			golden(t, c.name+".txt", b.Bytes())
			var again bytes.Buffer
			require.NoError(t, Text(&again, fixtureIn(c.units), c.style))
			assert.Equal(t, b.String(), again.String(), "same input, same bytes")
		})
	}
}

// Colour must add nothing but colour: without its codes the text is the plain text.
func TestColourSaysNothingAlone(t *testing.T) {
	var painted, bare bytes.Buffer
	require.NoError(t, Text(&painted, fixture(), Style{Color: true, Verbose: true}))
	require.NoError(t, Text(&bare, fixture(), Style{Verbose: true}))
	text := painted.String()
	require.Contains(t, text, "\x1b[")
	for _, code := range []string{"0", "1", "2", "33", "1;31", "36", "35"} {
		text = strings.ReplaceAll(text, "\x1b["+code+"m", "")
	}
	assert.Equal(t, bare.String(), text)
	assert.NotContains(t, bare.String(), "\x1b")
}

func TestTextFitsThePage(t *testing.T) {
	s := fixture()
	long := strings.Repeat("a very long name ", 12)
	s.Job.Title = long
	for _, r := range s.Reports {
		g := r.Outcome.Graph
		r.Outcome.State.Name = long
		r.Findings = append(r.Findings, r.Findings...)
		for i := range g.Elements {
			g.Elements[i].Name, g.Elements[i].Room, g.Elements[i].Zone = long, long, long
		}
		for i := range g.Registers {
			g.Registers[i].Line, g.Registers[i].Room = long, long
		}
		for i := range g.Nodes[4:7] {
			g.Nodes[i+4].Name = long
		}
		for i := range r.Outcome.Dampers {
			r.Outcome.Dampers[i].Name = long
		}
	}
	s.Reports[0].Findings[0].Where = long
	s.Assumptions[0].Why = long
	for _, sys := range []quantity.System{quantity.IP, quantity.SI} {
		for _, width := range []int{0, 80, 200} { // no terminal, a narrow and a wide one
			var b bytes.Buffer
			s.Units = sys
			require.NoError(t, Text(&b, s, Style{Verbose: true, Width: width}))
			most := text.PageWidth
			if width == 80 {
				most = width
			}
			for line := range strings.Lines(b.String()) {
				line = strings.TrimSuffix(line, "\n")
				assert.LessOrEqual(t, text.Width(line), most, line)
				assert.Equal(t, strings.TrimRight(line, " "), line, "no blanks at the end of a line")
			}
		}
	}
}

// A name in a job file must not reach the terminal as a command to it.
func TestNamesCannotSteerTheTerminal(t *testing.T) {
	s := fixture()
	evil := "x\x1b[2J\x07\nFAULT"
	s.Job.Title, s.Reports[0].Outcome.State.Name = evil, evil
	s.Reports[0].Outcome.Graph.Registers[0].Room = evil
	s.Reports[0].Findings[0].Remedy = evil
	s.Reports[0].Outcome.Graph.Job.Zones[0].Name = evil
	s.Reports[0].Outcome.Ledger.Paths[2].To = evil
	var b bytes.Buffer
	require.NoError(t, Text(&b, s, Style{Verbose: true}))
	assert.NotContains(t, b.String(), "\x1b")
	assert.NotContains(t, b.String(), "\x07")
}

func TestSentence(t *testing.T) {
	assert.Equal(t, "Of 1,130 cfm the loft takes 655 and wants 520; 384 bleeds through the living floor's damper at its 25 % stop; 91 leaks.",
		Sentence(loftCalls(), quantity.IP), "the sentence that the design gives as an example")
	assert.Equal(t, "Of 533 l/s the loft takes 309 and wants 245; 181 bleeds through the living floor's damper at its 25 % stop; 43 leaks.",
		Sentence(loftCalls(), quantity.SI))
	assert.Equal(t, "Of 1,000 cfm the living floor takes only 501 of the 760 it wants; the loft takes only 400 of the 520 it wants; "+
		"60 goes back through the bypass relief; 39 leaks.", Sentence(bothCall(), quantity.IP))

	shut := loftCalls()
	shut.Dampers[0].Position = 0
	assert.Contains(t, Sentence(shut, quantity.IP), "384 seeps past the living floor's shut damper")

	exact := loftCalls()
	exact.Ledger.Paths[1].Airflow = 0
	exact.Ledger.Blower -= cfm(135.3)
	assert.Contains(t, Sentence(exact, quantity.IP), "the loft takes the 520 it wants")

	backwards := loftCalls()
	backwards.Ledger.Paths[2].Airflow = cfm(-20)
	assert.Contains(t, Sentence(backwards, quantity.IP), "-20 (drawn backwards) comes out of the living floor")
}

func TestZonePhrase(t *testing.T) {
	for name, want := range map[string]string{
		"loft": "the loft", "living floor": "the living floor", "first-floor": "the first-floor", "bedrooms": "the bedrooms zone",
		"zone 2": "zone 2", "Zone-East": "Zone-East", "main": "the main zone", "upstairs": "the upstairs zone",
	} {
		assert.Equal(t, want, ZonePhrase(name))
	}
}

// One airflow is one number in all tables of a state: 60.5 cfm is rounded down in this ledger to make it add up, and so it is
// beside the damper that it passes.
func TestOneAirflowOneNumber(t *testing.T) {
	text := func(c doc.Cell) string { return c.Text(quantity.IP) }
	both, loft := accounts(bothCall()), accounts(loftCalls())
	assert.Equal(t, "61", text(airflowCell(cfm(60.6))))
	assert.Equal(t, "60", text(both.to("relief", cfm(60.5))))
	o := bothCall()
	o.Dampers[1].Airflow = cfm(60.5)
	assert.Equal(t, "60", text(both.past(1, o)), "beside the damper")
	assert.Equal(t, "400", text(both.to("loft", cfm(399.5))))
	assert.Equal(t, "655", text(loft.to("loft", cfm(655.3))), "wanted and more than wanted together")
	assert.Equal(t, "77", text(both.to("loft", cfm(77))), "an airflow that the ledger does not have")
}
