package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network"
	"spillway/network/quantity"
)

// noiseExpectations: rooms by NC. Bedroom 30 and 35, living 35 and 40, kitchen, bath and hall 40 and 45: inside the ranges of Egan and the
// ASHRAE table. A fault must be past the first step even at the low end of its band. What is under NC 15 has no number and is in order.
func noiseExpectations(job *network.Job, s *judgedState) (list []expectation) {
	for _, r := range s.Rooms {
		name := text(r, "name")
		room, zone := "", text(r, "zone")
		for _, o := range append(append([]map[string]any{}, s.Registers...), s.Grilles...) {
			if text(o, "room") == name {
				room = name
			}
		}
		caution, fault := 35.0, 40.0
		switch h := job.RoomOf(room, zone); {
		case h.Target > 0:
			caution, fault = h.Target, h.Target+5
		case h.Use == network.Bedroom:
			caution, fault = 30, 35
		case h.Use == network.Service:
			caution, fault = 40, 45
		}
		sure := fault
		if !(num(r, "noise_low_nc") > caution) {
			sure = math.NaN()
		}
		list = append(list, expectation{check: "room noise", where: name, value: num(r, "noise_nc"), caution: caution, fault: sure})
		list = append(list, rangeExpectations(s, r, caution)...)
	}
	return list
}

// rangeExpectations: the outlet formula is for faces of 0.005 to 0.4 m², 0.5 to 5 m/s and 1 to 75 Pa. What the JSON holds is the
// velocity; it may be noted, at one place only.
func rangeExpectations(s *judgedState, room map[string]any, caution float64) (list []expectation) {
	for _, o := range s.Registers {
		if text(o, "room") != text(room, "name") {
			continue
		}
		if num(o, "noise_duct_nc") > caution-10 {
			list = append(list, damperRanges(s)...)
		}
		if num(o, "noise_outlet_nc") <= caution-10 {
			continue
		}
		v := num(o, "face_velocity_fpm")
		list = append(list, expectation{check: "outside a formula's range", where: lineOf(s, o), value: v, caution: 5 / quantity.FPM, fault: math.NaN(), always: "caution", loose: true})
	}
	return list
}

// damperRanges: what comes down the ducts is made by dampers and takeoffs (application guide on sound in ventilation systems, June 2009).
// The damper's formula is for loss coefficients C = 15.9e6 Δp S²/Q² up to 300, in in. w.c., ft² and cfm, and for blockage factors from 0.02,
// those of one blade being 0.68 C^−0.15 − 0.22; the takeoff's is for a main up to three times as fast as the branch. One place only is noted.
//
// A damper at a junction has the junction's loss in its drop, and the JSON does not part them: it is some of the velocity pressure of the main,
// between none and all of it. The formula is for what the blade takes alone.
func damperRanges(s *judgedState) (list []expectation) {
	note := func(e map[string]any, value, within, limit float64, least bool) {
		list = append(list, expectation{check: "outside a formula's range", where: text(e, "name"), value: value, within: within,
			caution: limit, fault: math.NaN(), least: least, always: "caution", loose: true})
	}
	for _, e := range s.Elements {
		if !strings.HasSuffix(text(e, "kind"), "damper") {
			continue
		}
		v, drop, main := num(e, "velocity_fpm"), num(e, "drop_inwc"), 0.0
		for _, up := range s.Elements {
			if up["to"] == e["from"] && strings.Contains(text(e, "from"), " at ") {
				main = num(up, "velocity_fpm")
			}
		}
		const standard = 0.075 // lb/ft³
		shared := math.Pow(main/4005, 2) * num(e, "density_lb_ft3") / standard
		coefficient := func(drop float64) float64 { return 15.9e6 * drop / (v * v) }
		blockage := func(c float64) float64 { return 0.68*math.Pow(c, -0.15) - 0.22 }
		most, least := coefficient(drop), coefficient(max(drop-shared, 0))
		if most > 300 {
			note(e, (most+least)/2, (most-least)/2+1e-4*most, 300, false)
		}
		if low, high := blockage(most), blockage(least); low < 0.02 {
			note(e, (low+high)/2, (high-low)/2+1e-4, 0.02, true)
		}
		if main > 3*v {
			note(e, main/v, 1e-4*main/v, 3, false)
		}
	}
	return list
}

// jetExpectations: throw over reach, dumping and draught of registers whose pattern is given and that pass a tenth of their design air.
func jetExpectations(s *judgedState) (list []expectation) {
	none := math.NaN()
	for _, r := range s.Registers {
		throw := num(r, "throw_free_ft")
		if !yes(r, "pattern_given") || math.IsNaN(throw) || num(r, "airflow_cfm") < 0.1*num(r, "wanted_cfm") {
			continue
		}
		where, reach := lineOf(s, r), num(r, "reach_ft")
		list = append(list, expectation{check: "short throw", where: where, value: 100 * throw / reach, caution: 100 * num(r, "least_throw"), fault: none, least: true})
		if ratio := actual(s, r) / num(r, "wanted_cfm"); ratio > 2 { // generic throw constants, 0.1 to 2 of the design flow
			list = append(list, expectation{check: "outside a formula's range", where: where, value: ratio, caution: 2, fault: none, always: "caution", loose: true})
		}
		attached, horizontal := yes(r, "attached"), yes(r, "horizontal")
		if s.Mode == "cooling" && horizontal {
			far := throw
			if attached {
				if s := num(r, "separation_ft"); !math.IsNaN(s) { // null: it does not leave the ceiling
					far = math.Min(far, s)
				}
			} else {
				list = append(list, expectation{check: "jet drop", where: where, value: math.Max(num(r, "jet_drop_ft"), 0) / num(r, "clearance_ft"), caution: 1, fault: none})
			}
			list = append(list, expectation{check: "dumping", where: where, value: 100 * far / reach, caution: 50, fault: none, least: true})
		}
		velocity := num(r, "draught_fpm")
		switch {
		case s.Mode == "cooling": // ADPI: −1.7 K of effective draft temperature, 0.35 m/s
			list = append(list, expectation{check: "draught", where: where, value: math.Max(-num(r, "draught_effective_f"), 0), caution: 1.7 * 1.8, fault: none},
				expectation{check: "draught", where: where, value: velocity, caution: 0.35 / 0.00508, fault: none})
		case s.Mode == "heating" && !(horizontal && attached): // 30 fpm
			list = append(list, expectation{check: "draught", where: where, value: velocity, caution: 0.15 / 0.00508, fault: none})
		}
	}
	return list
}

// actual is the actual airflow of a register, cfm: face velocity by gross face, from standard airflow and density.
func actual(s *judgedState, r map[string]any) float64 {
	for _, e := range s.Elements {
		if e["name"] == r["element"] {
			const standard = 0.075 // lb/ft³
			return num(r, "airflow_cfm") * standard / num(e, "density_lb_ft3")
		}
	}
	return math.NaN()
}

// stopExpectations solves the state again, as a person would with --set, with each zone damper that stands at a stop five degrees nearer
// open and nearer shut. Whether the finding is a caution because something else tips is held against the findings of those runs.
func stopExpectations(t *testing.T, file string, set []string, alternative string, job *network.Job, s *judgedState) (list []expectation) {
	t.Helper()
	const difference = 100 * 2 * 5e-6 // percent, of two flows of six significant digits
	for _, d := range s.Dampers {
		name := ""
		for i := range job.Dampers {
			if job.Dampers[i].Name+" damper" == text(d, "name") {
				name = job.Dampers[i].Name
			}
		}
		zoned := false
		for i := range job.Zones {
			for _, n := range job.Zones[i].Damper {
				zoned = zoned || n == name
			}
		}
		position := num(d, "position")
		if !zoned || yes(d, "moved") || yes(d, "calling") || position <= 0 || position >= 1 {
			continue
		}
		most, tipped := 0.0, map[string]bool{}
		for _, degrees := range []float64{-5, 5} {
			blade := math.Min(math.Max(num(d, "blade_deg")+degrees, 0), 90)
			also := append(append([]string{}, set...), fmt.Sprintf(`damper."%s".stop=%.9f deg from open`, name, blade))
			for _, call := range job.Panel.Calls { // the panel may set the stop for this call
				for _, setting := range call.Damper {
					if setting.Name == name {
						also = append(also, fmt.Sprintf(`panel.call."%s".damper."%s"=%.9f deg from open`, call.Name, name, blade))
					}
				}
			}
			moved := solveJSON(t, file, also, "--alternative", alternative, "--state", s.Name, "--units", "ip")
			require.Len(t, moved, 1)
			require.Len(t, moved[0].States, 1)
			for _, other := range moved[0].States[0].Dampers {
				if other["name"] == d["name"] {
					most = math.Max(most, math.Abs(num(other, "airflow_cfm")-num(d, "airflow_cfm"))/math.Abs(num(d, "airflow_cfm")))
				}
			}
			for _, f := range moved[0].States[0].Findings {
				was := false
				for _, b := range s.Findings {
					was = was || b.Check == f.Check && b.Where == f.Where && b.Level == "fault"
				}
				if f.Level == "fault" && !was {
					tipped[f.Check+" at "+f.Where] = true
				}
			}
		}
		list = append(list, expectation{check: "damper stop", where: text(d, "name"), value: 100 * most, within: difference, caution: 25, fault: math.NaN()})
		if len(tipped) > 0 {
			list = append(list, expectation{check: "damper stop slip", where: text(d, "name"), value: float64(len(tipped)), caution: 0, fault: math.NaN()})
		}
	}
	return list
}

// No noise beyond the NC curves is printed as a number, in any example, alternative or state, in either system of units: JSON has null and
// words, and no key that held the reading of a velocity table has a number any more. The two systems agree.
func TestNoNumberBeyondTheCurves(t *testing.T) {
	var walk func(path string, v any, each func(path string, v any))
	walk = func(path string, v any, each func(path string, v any)) {
		each(path, v)
		switch v := v.(type) {
		case map[string]any:
			for k, x := range v {
				walk(path+"."+k, x, each)
			}
		case []any:
			for i, x := range v {
				walk(fmt.Sprintf("%s[%d]", path, i), x, each)
			}
		}
	}
	files, err := filepath.Glob("../../examples/*.toml")
	require.NoError(t, err)
	quiet, loud := 0, 0
	for _, file := range files {
		noises := map[string]map[string]any{}
		for _, system := range []string{"ip", "si"} {
			var out, messages bytes.Buffer
			require.Zero(t, run([]string{"solve", file, "--format", "json", "--alternative", "all", "--units", system}, console{out: &out, err: &messages}), messages.String())
			noises[system] = map[string]any{}
			decoder := json.NewDecoder(&out)
			for n := 0; decoder.More(); n++ {
				var d any
				require.NoError(t, decoder.Decode(&d))
				walk(fmt.Sprint(n), d, func(path string, v any) {
					if strings.Contains(path, "screen_") {
						assert.Nil(t, v, path)
					}
					if !strings.HasSuffix(path, "_nc") && !strings.HasSuffix(path, "noise_text") {
						return
					}
					noises[system][path] = v
					if v, ok := v.(float64); ok {
						loud++
						assert.True(t, v >= 15 && v <= 70, "%s: %g", path, v)
					} else {
						quiet++
					}
				})
			}
		}
		require.Equal(t, len(noises["ip"]), len(noises["si"]))
		for path, v := range noises["ip"] {
			a, number := v.(float64)
			b, _ := noises["si"][path].(float64)
			if number && math.Abs(a-15) > 1e-4 {
				assert.InDelta(t, a, b, 1e-3, "%s %s", file, path)
			}
		}
	}
	assert.Greater(t, loud, 100)
	assert.Greater(t, quiet, 100)
}
