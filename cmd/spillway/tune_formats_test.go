package main

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network/networktest"
)

// What --send, --balance and --ask say as JSON is what they say as CSV, and what solving the pasted override gives.
func TestTuneModesAsJSONAndCSV(t *testing.T) {
	const loft = "design-cooling: loft"
	for _, c := range []struct {
		name, job, alternative string
		args                   []string
		check                  func(t *testing.T, doc map[string]any, rows []map[string]string, s judgedState)
	}{
		{"send", "two-floor", "tuned", []string{"--state", loft, "--move", "damper.main.stop=0..100 %", "--send", "main=400 cfm"},
			func(t *testing.T, doc map[string]any, rows []map[string]string, s judgedState) {
				require.Len(t, rows, 1)
				assert.InDelta(t, 400, num(doc, "gets_cfm"), 0.1)
				assert.InDelta(t, 400, number(t, rows[0]["gets_cfm"]), 0.1)
				for _, z := range s.Zones {
					if text(z, "name") == "main" {
						assert.InDelta(t, 400, num(z, "airflow_cfm"), 0.2)
					}
				}
				told, found := map[string]string{}, map[string]string{}
				for _, f := range doc["findings"].([]any) {
					one := f.(map[string]any)
					told[text(one, "check")+" "+text(one, "where")] = text(one, "level")
				}
				for _, f := range s.Findings {
					if !strings.HasPrefix(f.Check, "damper stop") { // which costs further solutions, and is left to solve
						found[f.Check+" "+f.Where] = f.Level
					}
				}
				assert.Equal(t, found, told)
			}},
		{"balance", "two-floor", "balanced", []string{"--balance"},
			func(t *testing.T, doc map[string]any, rows []map[string]string, s judgedState) {
				runs := doc["runs"].([]any)
				require.Len(t, rows, len(runs))
				require.Len(t, s.Registers, len(runs))
				for i, r := range runs {
					run := r.(map[string]any)
					assert.Equal(t, text(run, "run"), rows[i]["run"])
					assert.InDelta(t, num(run, "open"), number(t, rows[i]["open"]), 1e-9)
					assert.InDelta(t, num(doc, "common_share"), num(run, "of_want_after"), 0.01, "each damper is set to a whole percent")
					for _, reg := range s.Registers {
						if text(reg, "name") == text(run, "run") {
							assert.InDelta(t, num(run, "of_want_after"), num(reg, "airflow_cfm")/num(reg, "wanted_cfm"), 1e-4)
						}
					}
				}
			}},
		{"ask", "four-zone", "modulated", []string{"--ask", "living=80 %", "--ask", "bedrooms=50 %", "--blower", "500..1600 cfm"},
			func(t *testing.T, doc map[string]any, rows []map[string]string, s judgedState) {
				require.Len(t, rows, 2)
				given := 0.0
				for i, asked := range []float64{0.8 * 560, 0.5 * 400} { // of the wants in the file
					zone := doc["zones"].([]any)[i].(map[string]any)
					assert.InDelta(t, asked, num(zone, "asks_cfm"), 0.01)
					assert.InDelta(t, asked, num(zone, "gets_cfm"), 0.1)
					assert.InDelta(t, asked, number(t, rows[i]["asks_cfm"]), 0.01)
					given += num(zone, "gets_cfm")
					for _, z := range s.Zones {
						if text(z, "name") == rows[i]["zone"] {
							assert.InDelta(t, num(zone, "gets_cfm"), num(z, "airflow_cfm"), 0.1)
						}
					}
				}
				assert.InDelta(t, num(doc, "blower_cfm"), given+num(doc, "left_over_cfm"), 0.2)
				assert.InDelta(t, num(s.Blower, "airflow_cfm"), num(doc, "blower_cfm"), 0.1)
				assert.InDelta(t, num(s.Blower, "external_static_inwc"), num(doc, "static_inwc"), 1e-4)
			}},
	} {
		t.Run(c.name, func(t *testing.T) {
			job := networktest.Example(t, c.job)
			name := filepath.Join(t.TempDir(), "house.toml")
			require.NoError(t, os.WriteFile(name, job, 0o644))

			var doc map[string]any
			require.NoError(t, json.Unmarshal(output(t, append([]string{"tune", name, "--format", "json"}, c.args...)...), &doc))
			table, err := csv.NewReader(bytes.NewReader(output(t, append([]string{"tune", name, "--format", "csv"}, c.args...)...))).ReadAll()
			require.NoError(t, err)
			var rows []map[string]string
			for _, line := range table[1:] {
				row := map[string]string{}
				for i, head := range table[0] {
					row[head] = line[i]
				}
				rows = append(rows, row)
			}

			require.NoError(t, os.WriteFile(name, []byte(string(job)+"\n"+text(doc, "override")), 0o644))
			var fresh judgedDocument
			require.NoError(t, json.Unmarshal(output(t, "solve", name, "--alternative", c.alternative, "--state", text(doc, "state"), "--format", "json"), &fresh))
			require.Len(t, fresh.States, 1)
			c.check(t, doc, rows, fresh.States[0])
		})
	}
}

func number(t *testing.T, text string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(text, 64)
	require.NoError(t, err)
	return x
}
