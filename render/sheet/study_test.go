package sheet

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"math"
	"strings"
	"testing"

	"github.com/BurntSushi/toml"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network"
	"spillway/network/networktest"
	"spillway/network/quantity"
	"spillway/render/internal/doctest"
	"spillway/render/internal/text"
	"spillway/solver/study"
	"spillway/solver/verdict"
)

// studied is a small study and the sheet it is printed with.
func studied(t *testing.T) (*study.Study, *Sheet) {
	t.Helper()
	s := study.New("first-look.toml", networktest.Example(t, "first-look"), study.Options{})
	g, err := s.Read(study.Variant{})
	require.NoError(t, err)
	return s, &Sheet{Version: "test", File: "first-look.toml", Job: g.Job}
}

func stopRange(steps int) study.Span {
	return study.Span{Path: "damper.day.stop", From: "0 %", To: "100 %", Steps: steps}
}

func TestKneeText(t *testing.T) {
	k := study.Knee{X: 32.04, Below: true, Also: 2}
	k.Fault = study.Fault{Check: study.Check{State: "cooling: loft", Name: "external static"},
		Finding: verdict.Finding{Check: "external static", Quantity: verdict.Pressure, Value: 125, Limit: 0.5 * quantity.InchWater}}
	span := study.Span{Path: "damper.main.stop", From: "0 %", To: "100 %", Steps: 2}
	assert.Equal(t, "below 32 % external static passes 0.500 in. w.c. (cooling: loft), and further on in 2 more places", KneeText(k, span, quantity.IP))
	k.Below, k.Also, k.X = false, 0, 46.27
	k.Finding = verdict.Finding{Check: "coil frost", Quantity: verdict.Temperature, Value: -1, Limit: 0}
	assert.Equal(t, "above 46.3 % coil frost falls below 0 °C (cooling: loft)", KneeText(k, span, quantity.SI))
}

// Every piece that is printed to be pasted is TOML, whatever stands in names and values.
func TestOverrideIsTOML(t *testing.T) {
	text := override(&network.Job{}, "tuned", []string{`damper.main.stop=75 %`, `equipment.filter.loading=2.5`, `panel.call.x.zones=["a", "b"]`, `supply."bed ""=1"`, `supply.a.material=duct "board"\`,
		`damper.main.stop=80 %`})
	text = strings.ReplaceAll(text, "supply.\"bed \"\"", "supply.\"bed\"") // a name with a quote cannot be in a job file
	var values map[string]any
	_, err := toml.Decode(text, &values)
	require.NoError(t, err, text)
	tuned := values["alternative"].(map[string]any)["tuned"].(map[string]any)
	assert.Equal(t, "80 %", tuned["damper"].(map[string]any)["main"].(map[string]any)["stop"], "the last of several holds")
	assert.Equal(t, 2.5, tuned["equipment"].(map[string]any)["filter"].(map[string]any)["loading"])
	assert.Equal(t, `duct "board"\`, tuned["supply"].(map[string]any)["a"].(map[string]any)["material"])
	job := &network.Job{Alternative: `my "way"`, Alternatives: []network.Alternative{{Name: `my "way"`}, {Name: "tuned"}}}
	text = override(job, "tuned", []string{"a.b=1"})
	_, err = toml.Decode(text, &values)
	require.NoError(t, err, text)
	assert.Equal(t, `my "way"`, values["alternative"].(map[string]any)["tuned-2"].(map[string]any)["like"], "a name that is free, and what it starts from")
}

// Whatever a study prints: no line is wider than the page, JSON is JSON, every row of CSV has the columns of the first.
func TestStudiesPrint(t *testing.T) {
	s, head := studied(t)
	sweep, err := s.Sweep(study.Variant{}, stopRange(5))
	require.NoError(t, err)
	grid, err := s.Sweep(study.Variant{}, stopRange(3), study.Span{Path: "equipment.filter.loading", List: []string{"1", "2"}})
	require.NoError(t, err)
	tuning, err := s.Tune(study.Variant{}, study.Goal{Moves: []study.Span{stopRange(5), {Path: "damper.bed.stop", From: "0 %", To: "100 %", Steps: 5}}, Priority: study.Comfort})
	require.NoError(t, err)
	spread, err := s.Spread(study.Variant{}, study.Sampling{Samples: 40, Seed: 1})
	require.NoError(t, err)
	sizing, err := s.Size(study.Variant{}, study.SizeGoal{Friction: 0.7})
	require.NoError(t, err)
	balance, err := s.Balance(study.Variant{}, "")
	require.NoError(t, err)
	for _, system := range []quantity.System{quantity.IP, quantity.SI} {
		head.Units = system
		for name, d := range map[string]*Document{"sweep": Sweep(head, sweep), "grid": Sweep(head, grid), "tune": Tune(head, tuning),
			"spread": Spread(head, spread), "size": Size(head, sizing), "balance": Balance(head, balance)} {
			t.Run(name+" "+system.String(), func(t *testing.T) {
				var b bytes.Buffer
				doctest.SameCells(t, d)
				require.NoError(t, Write(&b, d, "text", Style{}))
				for line := range strings.Lines(b.String()) {
					line = strings.TrimRight(line, "\n")
					if strings.Contains(line, " = ") {
						continue // a line to paste is as long as it must be
					}
					assert.LessOrEqual(t, text.Width(line), text.PageWidth, line)
					assert.Equal(t, strings.TrimRight(line, " "), line)
				}
				assert.NotContains(t, b.String(), "NaN")
			})
		}
		for name, write := range map[string]func(b *bytes.Buffer) error{
			"sweep":  func(b *bytes.Buffer) error { return SweepJSON(b, head, sweep) },
			"grid":   func(b *bytes.Buffer) error { return SweepJSON(b, head, grid) },
			"tune":   func(b *bytes.Buffer) error { return TuneJSON(b, head, tuning) },
			"spread": func(b *bytes.Buffer) error { return SpreadJSON(b, head, spread) },
			"size":   func(b *bytes.Buffer) error { return SizeJSON(b, head, sizing) },
		} {
			t.Run(name+" json "+system.String(), func(t *testing.T) {
				var b bytes.Buffer
				require.NoError(t, write(&b))
				var values map[string]any
				require.NoError(t, json.Unmarshal(b.Bytes(), &values))
				assert.Equal(t, "test", values["spillway"])
			})
		}
		for name, write := range map[string]func(b *bytes.Buffer) error{
			"sweep":  func(b *bytes.Buffer) error { return SweepCSV(b, head, sweep) },
			"grid":   func(b *bytes.Buffer) error { return SweepCSV(b, head, grid) },
			"tune":   func(b *bytes.Buffer) error { return TuneCSV(b, tuning) },
			"spread": func(b *bytes.Buffer) error { return SpreadCSV(b, head, spread) },
			"size":   func(b *bytes.Buffer) error { return SizeCSV(b, head, sizing) },
		} {
			t.Run(name+" csv "+system.String(), func(t *testing.T) {
				var b bytes.Buffer
				require.NoError(t, write(&b))
				rows, err := csv.NewReader(&b).ReadAll() // refuses rows of other length than the first
				require.NoError(t, err)
				assert.Greater(t, len(rows), 1)
			})
		}
	}
}

func TestSweepFigureNeedsOneSetting(t *testing.T) {
	s, head := studied(t)
	sweep, err := s.Sweep(study.Variant{}, stopRange(5))
	require.NoError(t, err)
	f, ok := SweepFigure(head, sweep, "external static")
	require.True(t, ok)
	require.Len(t, f.Lines, 3, "one for each call state")
	assert.NotEmpty(t, f.Bands, "limits are shaded")
	for _, l := range f.Lines {
		require.Len(t, l.Points, 5)
		for k, p := range l.Points {
			assert.InDelta(t, 25*float64(k), p.X, 1e-9)
			assert.False(t, math.IsNaN(p.Y))
		}
	}
	_, ok = SweepFigure(head, sweep, "charm")
	assert.False(t, ok)
}
