package sheet

import (
	"bytes"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network"
	"spillway/network/quantity"
	"spillway/render/internal/text"
	"spillway/solver/state"
)

// threeWays is a job as it stands and with two alternatives, of which one lacks a call state.
func threeWays(sys quantity.System) []*Sheet {
	alternatives := []network.Alternative{{Name: "bypass", Note: "dampers shut tight, a short weighted bypass from plenum to plenum, and a note that is longer than a line"},
		{Name: "unknown machine"}}
	base, bypass, bare := fixtureIn(sys), fixtureIn(sys), fixtureIn(sys)
	for _, s := range []*Sheet{base, bypass, bare} {
		s.Job.Alternatives = alternatives
	}
	base.Reports[1].Outcome.Equipment.TimeToLimit, base.Reports[1].Outcome.Equipment.Sensor = math.Inf(1), fahrenheit(146)
	base.Reports[1].Outcome.Equipment.SensorLow, base.Reports[1].Outcome.Equipment.SensorHigh = fahrenheit(146), fahrenheit(146)
	base.Reports[1].Outcome.Equipment.Recirculated, base.Reports[1].Outcome.Bypass = 0, 0

	bypass.Job.Alternative = "bypass"
	o := bypass.Reports[0].Outcome
	o.Ledger.Paths[2].Airflow, o.Ledger.Paths[3].Airflow = cfm(20.4), cfm(364)
	o.Bypass, o.Equipment.Recirculated = 0.322, 0.325
	o.Equipment.Entering, o.Equipment.Leaving = fahrenheit(66), fahrenheit(47)
	o.Equipment.EvaporatingStrip, o.Equipment.FrostMargin, o.Equipment.TimeToFrost = -2.1, -2.1, 163

	bare.Job.Alternative = "unknown machine"
	bare.Reports = bare.Reports[:1]
	nan := math.NaN()
	bare.Reports[0].Outcome.Equipment = state.Equipment{Entering: fahrenheit(75), EnteringWetBulb: nan, Leaving: fahrenheit(55), TimeToFrost: nan, FrostMargin: nan}
	bare.Reports[0].Outcome.Zones[0].DriftRate = nan
	bare.Reports[0].Findings = nil
	return []*Sheet{base, bypass, bare}
}

func TestCompareGolden(t *testing.T) {
	for _, sys := range []quantity.System{quantity.IP, quantity.SI} {
		var b bytes.Buffer
		require.NoError(t, Write(&b, Compare(threeWays(sys)), "text", Style{}))
		golden(t, []string{"compare-ip.txt", "compare-si.txt"}[sys], b.Bytes())
		for line := range strings.Lines(b.String()) {
			assert.LessOrEqual(t, text.Width(strings.TrimSuffix(line, "\n")), text.PageWidth, line)
		}
		var painted bytes.Buffer
		require.NoError(t, Write(&painted, Compare(threeWays(sys)), "text", Style{Color: true}))
		text := painted.String()
		require.Contains(t, text, "\x1b[")
		for _, code := range []string{"0", "1", "2", "33", "1;31", "36", "35"} {
			text = strings.ReplaceAll(text, "\x1b["+code+"m", "")
		}
		assert.Equal(t, b.String(), text, "colour says nothing alone")
	}
}

// One row for each alternative that has the call state.
func TestCompareRows(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, Write(&b, Compare(threeWays(quantity.IP)), "text", Style{}))
	cooling, heating, ok := strings.Cut(b.String(), "\nheating: ")
	require.True(t, ok)
	assert.Equal(t, 2, strings.Count(cooling, "unknown machine"), "in the list and in the table")
	assert.NotContains(t, heating, "unknown machine")
	assert.Contains(t, cooling, "364 bypass, 135 extra", "the two biggest kinds, the biggest first")
	assert.Contains(t, cooling, "3.8 below")
	assert.Contains(t, heating, "24 below")

	assert.ErrorIs(t, Write(brokenWriter{}, Compare(threeWays(quantity.IP)), "text", Style{}), errBroken)
}

// Names of any length and kind stay on the page and cannot steer the terminal.
func TestCompareLongNames(t *testing.T) {
	sheets := threeWays(quantity.SI)
	long := strings.Repeat("a very long name\x1b[2J ", 12)
	for _, s := range sheets {
		s.Job.Title = long
		s.Job.Alternatives = append(s.Job.Alternatives, network.Alternative{Name: long, Note: long})
		for _, r := range s.Reports {
			r.Outcome.State.Name = long + r.Outcome.State.Name
		}
	}
	sheets[2].Job.Alternative = long
	for _, width := range []int{80, text.PageWidth} {
		var b bytes.Buffer
		require.NoError(t, Write(&b, Compare(sheets), "text", Style{Width: width}))
		assert.NotContains(t, b.String(), "\x1b")
		for line := range strings.Lines(b.String()) {
			assert.LessOrEqual(t, text.Width(strings.TrimSuffix(line, "\n")), width, line)
		}
	}
}
