package main

import (
	"bytes"
	"encoding/json"
	"io"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network"
	"spillway/solver/session"
)

// document is what the checks below read of the machine interface.
type document struct {
	Alternative string
	States      []struct {
		Name    string
		Calling []string
		Ledger  struct {
			Blower  float64 `json:"blower_cfm"`
			Wanted  float64 `json:"wanted_cfm"`
			Surplus float64 `json:"surplus_cfm"`
			Paths   []struct {
				To, Kind string
				Airflow  float64 `json:"airflow_cfm"`
			}
		}
		Registers []struct {
			Name, Zone string
			Calling    bool
			Dump       bool
			Airflow    float64 `json:"airflow_cfm"`
			Wanted     float64 `json:"wanted_cfm"`
		}
		Elements []struct {
			Name, From, To string
			Airflow        float64 `json:"airflow_cfm"`
		}
	}
}

// A reader of the JSON can balance the books by itself, in every state of every alternative: the ledger's paths add up to the
// blower, what bleeds into a zone is what its registers deliver, and what enters a point leaves it.
func TestSolveBalancesInJSON(t *testing.T) {
	var out, messages bytes.Buffer
	code := run([]string{"solve", "testdata/small.toml", "--alternative", "all", "--format", "json"}, console{out: &out, err: &messages})
	require.Zero(t, code, messages.String())
	lines := strings.Split(strings.TrimSpace(out.String()), "\n")
	require.Len(t, lines, 2)
	const printed = 0.01 // cfm; six significant digits of some hundred cfm, added over a few elements
	for _, line := range lines {
		var d document
		require.NoError(t, json.Unmarshal([]byte(line), &d))
		require.Len(t, d.States, 6)
		for _, s := range d.States {
			where := d.Alternative + " " + s.Name
			sum, bleed, wanted := 0.0, map[string]float64{}, 0.0
			for _, p := range s.Ledger.Paths {
				sum += p.Airflow
				switch p.Kind {
				case "bleed":
					bleed[p.To] += p.Airflow
				case "wanted":
					wanted += p.Airflow
				}
			}
			assert.InDelta(t, s.Ledger.Blower, sum, 1e-9, where)
			assert.InDelta(t, s.Ledger.Blower, s.Ledger.Wanted+s.Ledger.Surplus, 1e-9, where)
			assert.InDelta(t, s.Ledger.Wanted, wanted, 1e-9, where)
			delivered, upToWant := map[string]float64{}, 0.0
			for _, r := range s.Registers {
				if r.Calling {
					upToWant += math.Min(r.Airflow, r.Wanted)
				} else if !r.Dump {
					delivered[r.Zone] += r.Airflow
				}
			}
			assert.InDelta(t, upToWant, s.Ledger.Wanted, printed, where)
			for zone, airflow := range delivered {
				assert.InDelta(t, airflow, bleed[zone], printed, "%s: %s", where, zone)
			}
			balance := map[string]float64{}
			for _, e := range s.Elements {
				balance[e.From] -= e.Airflow
				balance[e.To] += e.Airflow
			}
			for node, left := range balance {
				if node != "house" && node != "outside" {
					assert.InDelta(t, 0, left, printed, "%s: %s", where, node)
				}
			}
		}
	}
}

// A network that the solver refuses is a wrong job, whichever command meets it: solve and draw go through session, check through
// checkJob, and both end in buildError. No job file is known that gets past the reader and then fails here, so the graph is broken
// by hand.
func TestRefusedNetworkIsAWrongJob(t *testing.T) {
	c := console{out: io.Discard, err: io.Discard}
	graphs, err := c.load("testdata/small.toml", &common{alternative: "bypass"})
	require.NoError(t, err)
	g := graphs[0]
	g.Elements[g.Blower].Spec = &network.DamperSpec{}
	_, err = c.cases("small.toml", g, session.Options{})
	var f *failure
	require.ErrorAs(t, err, &f)
	assert.Equal(t, wrongCall, f.code)
	assert.Equal(t, `small.toml, alternative "bypass": the graph has no blower`, err.Error())
}

// A bypass raises the air that enters the furnace and what leaves it; a bleed of the same surplus does not: the lesson of the
// program, read from the JSON of a job. The two closed forms of a loop of constant rise (common practice: leaving = entering +
// rise; a share r of the leaving air comes round again) must hold for what is printed, within the leakage and duct heat of this job:
//
//	entering = return + r rise/(1 − r)
func TestBypassHeatsTheLoopInJSON(t *testing.T) {
	type equipment struct {
		Entering     float64 `json:"entering_f"`
		Leaving      float64 `json:"leaving_f"`
		Rise         float64 `json:"temperature_rise_f"`
		Recirculated float64
		Limit        string
		Course       []struct {
			Time    float64 `json:"t_s"`
			Leaving float64 `json:"supply_f"`
		}
	}
	read := func(alternative string) equipment {
		var out, messages bytes.Buffer
		args := []string{"solve", "testdata/small.toml", "--state", "heating: loft", "--format", "json", "--alternative", alternative}
		require.Zero(t, run(args, console{out: &out, err: &messages}), messages.String())
		var d struct {
			States []struct{ Equipment equipment }
		}
		require.NoError(t, json.Unmarshal(out.Bytes(), &d))
		require.Len(t, d.States, 1)
		return d.States[0].Equipment
	}
	bleed, bypass := read(""), read("bypass")
	assert.Zero(t, bleed.Recirculated)
	assert.Greater(t, bypass.Recirculated, 0.05)
	assert.InDelta(t, 70, bleed.Entering, 1, "bled air comes back at room temperature")
	r := bypass.Recirculated
	assert.InDelta(t, bleed.Entering+r*bypass.Rise/(1-r), bypass.Entering, 0.5)
	assert.InDelta(t, bypass.Entering+bypass.Rise, bypass.Leaving, 1e-3)
	for _, e := range []equipment{bleed, bypass} {
		assert.Contains(t, []string{"never", "reached"}, e.Limit)
		require.NotEmpty(t, e.Course)
		last := e.Course[len(e.Course)-1]
		assert.InDelta(t, 1800, last.Time, 1e-9)
		if e.Limit == "never" {
			assert.InDelta(t, e.Leaving, last.Leaving, 0.5, "after half an hour the course is at rest")
		}
	}
}

// Exit codes of several jobs: not solved goes before a wrong job before a fault.
func TestWorse(t *testing.T) {
	order := []int{solved, atFault, wrongCall, unsolvable}
	for i, a := range order {
		for j, b := range order {
			assert.Equal(t, order[max(i, j)], worse(a, b))
		}
	}
}

func TestSlug(t *testing.T) {
	for name, want := range map[string]string{
		"cooling: loft": "cooling-loft", "Heating stage 2: main + loft": "heating-stage-2-main-loft", "../../etc/passwd": "etc-passwd",
		"...": "state", "Dachgeschoß": "dachgeschoß", strings.Repeat("a", 500): strings.Repeat("a", longestSlug+1),
	} {
		assert.Equal(t, want, slug(name))
	}
}

func TestMatchStates(t *testing.T) {
	names := []string{"cooling: loft", "cooling: main", "cooling: main + loft", "heating: Main"}
	for word, want := range map[string][]int{
		"cooling: main": {1}, "Cooling: MAIN": {1}, "main + loft": {2}, "n + l": {2}, "loft": {0},
		"main": {1, 3}, "cooling": {0, 1, 2}, "heat": {3},
	} {
		found, err := matchStates(names, word)
		require.NoError(t, err, word)
		assert.Equal(t, want, found, word)
	}
	for _, word := range []string{"cool", "", "attic"} {
		_, err := matchStates(names, word)
		assert.Error(t, err, word)
	}
}
