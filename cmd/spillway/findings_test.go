package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network"
	"spillway/network/quantity"
)

// TestFindingsFromTheJSONAlone reckons every finding of every example again, in every alternative and state, from the other numbers of
// the JSON and from the job file: value, limit, level and margin. The limits are written down here a second time, in the units of
// the trade and with their source, and the code that judges is not called. Nothing that is out of order may be missing either.
func TestFindingsFromTheJSONAlone(t *testing.T) {
	files, err := filepath.Glob("../../examples/*.toml")
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(files), 6)
	judged := map[string]int{}
	for _, file := range files {
		data, err := os.ReadFile(file)
		require.NoError(t, err)
		for _, set := range [][]string{nil, {`limits.rules=["california zonal", "california gas furnace fan"]`}} {
			if set != nil && !strings.Contains(file, "two-floor.toml") {
				continue
			}
			for _, d := range solveJSON(t, file, set, "--alternative", "all", "--units", "ip") {
				job, list := network.Read(file, data, network.Options{Alternative: d.Alternative, Set: set})
				require.NotNil(t, job, "%v", list)
				for i := range d.States {
					s := &d.States[i]
					t.Run(fmt.Sprintf("%s %d/%s/%s", filepath.Base(file), len(set), d.Alternative, s.Name), func(t *testing.T) {
						recheck(t, expectations(t, file, set, d.Alternative, job, s), s.Findings, judged)
					})
				}
			}
		}
	}
	for _, check := range []string{"external static", "airflow per ton", "fan power",
		"bypass share", "bypass open", "dump room", "smallest zone", "largest zone", "floor per ton", "static budget", "load carried", "cooling size", "heating size", "temperature rise", "entering air",
		"entering air, cold", "limit", "duct air", "coil frost", "leaving air", "register sweating", "zone drift", "register face velocity", "return grille velocity",
		"duct velocity", "zone shortfall", "zone excess", "return over supply", "room pressure", "damper stop", "room noise",
		"short throw", "dumping", "draught", "zoning given away", "blower off its table", "outside a formula's range", "california zonal airflow", "california zonal fan power",
		"california zonal bypass", "california gas furnace fan"} {
		assert.NotZero(t, judged[check], "the examples exercise %q", check)
	}
}

// judgedState is what the arithmetic reads of a state.
type judgedState struct {
	Name, Mode     string
	Calling        []string
	Stage, Stages  int
	Blower         map[string]any
	Equipment      map[string]any
	Elements       []map[string]any
	Nodes          []map[string]any
	Registers      []map[string]any
	Grilles, Rooms []map[string]any
	Zones, Dampers []map[string]any
	Zoning         map[string]any
	Findings       []jsonFinding
}

type jsonFinding struct {
	Check, Where, Level, Unit, Source, Remedy, Bounds, Safety string
	Value, Limit, Margin                                      *float64
}

type judgedDocument struct {
	Alternative string
	States      []judgedState
}

func solveJSON(t *testing.T, file string, set []string, flags ...string) []judgedDocument {
	t.Helper()
	args := append([]string{"solve", file, "--format", "json"}, flags...)
	for _, s := range set {
		args = append(args, "--set", s)
	}
	var out, messages bytes.Buffer
	require.Zero(t, run(args, console{out: &out, err: &messages}), messages.String())
	var documents []judgedDocument
	decoder := json.NewDecoder(&out)
	for decoder.More() {
		var d judgedDocument
		require.NoError(t, decoder.Decode(&d))
		documents = append(documents, d)
	}
	return documents
}

// expectation is one check at one place as the arithmetic here sees it.
type expectation struct {
	check, where   string
	value          float64
	within         float64 // how well the value can be known, where that is worse than the digits of one number
	caution, fault float64 // NaN: none
	least          bool
	always         string // level that holds whatever the value, "" otherwise
	loose          bool   // may be missing: a note, or one of several of its kind
}

func (e expectation) level() (level string, limit float64) {
	beyond := func(limit float64) bool {
		if strings.HasSuffix(e.check, "velocity") {
			limit *= 1.05 // a guideline of velocity, and nobody predicts or reads one better (our choice)
		}
		if e.least {
			return e.value < limit
		}
		return e.value > limit
	}
	level, limit = "ok", e.caution
	if math.IsNaN(limit) {
		limit = e.fault
	}
	if beyond(e.caution) {
		level, limit = "caution", e.caution
	}
	if beyond(e.fault) {
		level, limit = "fault", e.fault
	}
	if e.always != "" {
		level = e.always
	}
	return level, limit
}

// beside is the value, told apart from a limit that it equals in all digits printed by the margin, which has six of its own.
func (e expectation) beside(f jsonFinding, digits float64) float64 {
	for _, limit := range []float64{e.caution, e.fault} {
		if near := digits * math.Max(math.Abs(limit), 1); f.Margin != nil && math.Abs(e.value-limit) <= near && math.Abs(*f.Margin) <= near {
			if e.least {
				return limit + *f.Margin
			}
			return limit - *f.Margin
		}
	}
	return e.value
}

// ruleExpectations are the rules of thumb that hold with all zones calling: capacity is the nominal
// cooling of the stage, tons, rated the rated static, in. w.c.
func ruleExpectations(job *network.Job, s *judgedState, capacity, rated float64) (list []expectation) {
	none := math.NaN()
	largest, floor, floors, gains := 0.0, 0.0, true, true
	for i := range job.Zones {
		gain := float64(job.Zones[i].HeatGain)
		largest, gains = math.Max(largest, gain), gains && gain > 0
		own := float64(job.Zones[i].Floor) / quantity.SquareFoot
		floor, floors = floor+own, floors && own > 0
	}
	cooling := s.Mode == "cooling"
	if cooling && len(s.Zones) > 1 && s.Stages == 1 && gains && capacity > 0 {
		sensible := float64(job.Equipment.Cooling.Sensible)
		if sensible == 0 {
			sensible = 0.75 // usual (from memory)
		}
		over := 12*capacity*sensible - largest/(1000*quantity.BtuPerHour) // kBtu/h
		list = append(list, expectation{check: "largest zone", value: over, caution: 6,
			fault: none}) // half a ton (common practice)
	}
	if cooling && floors && capacity > 0 {
		e := expectation{check: "floor per ton", value: floor / capacity, caution: 400, fault: none,
			least: true} // 40 load calculations (second-hand)
		if e.value > 3400 {
			e.caution, e.least = 3400, false
		}
		list = append(list, e)
	}
	total := func(node string) float64 {
		for _, n := range s.Nodes {
			if text(n, "name") == node {
				return num(n, "total_inwc")
			}
		}
		return none
	}
	drop := func(kind string) float64 {
		for _, e := range s.Elements {
			if text(e, "kind") == kind && text(e, "side") == "equipment" {
				return num(e, "drop_inwc")
			}
		}
		return 0
	}
	// Usual shares of the rated static (from memory).
	for _, b := range []struct {
		where       string
		used, share float64
	}{{"filter", drop("filter"), 20}, {"coil", drop("coil"), 40},
		{"supply", total("supply plenum") - total("house"), 20},
		{"return", total("house") - total("return plenum"), 20}} {
		list = append(list, expectation{check: "static budget", where: b.where,
			value: 100 * b.used / rated, caution: b.share, fault: none, within: 1e-3})
	}
	return list
}

// higherStage tells whether the panel lets a higher stage run in the same call, as the example job files write it.
func higherStage(job *network.Job, s *judgedState) bool {
	if s.Stage >= s.Stages {
		return false
	}
	for _, c := range job.Panel.Calls {
		if len(c.Zones) == len(s.Calling) && !slices.ContainsFunc(c.Zones, func(z string) bool { return !slices.Contains(s.Calling, z) }) && len(c.Stages) > 0 {
			return slices.Max(c.Stages) > s.Stage
		}
	}
	return len(s.Calling) >= job.Panel.SecondStageNeeds
}

// recheck holds findings against expectations, both ways.
func recheck(t *testing.T, expected []expectation, findings []jsonFinding, judged map[string]int) {
	t.Helper()
	const digits = 3e-5 // six significant digits, some of them differences
	found := make([]bool, len(expected))
	for _, f := range findings {
		judged[f.Check]++
		matched := false
		for i, e := range expected {
			if f.Value == nil && e.check == f.Check && e.where == f.Where && math.IsNaN(e.value) { // a noise that has no number
				matched, found[i] = true, true
				assert.Equal(t, "ok", f.Level)
				assert.Nil(t, f.Margin)
				break
			}
			if e.check != f.Check || e.where != f.Where || f.Value == nil || math.Abs(*f.Value-e.value) > max(digits*math.Max(math.Abs(e.value), 1), e.within) {
				continue
			}
			matched, found[i] = true, true
			e.value = e.beside(f, digits)
			level, limit := e.level()
			at := f.Check + " at " + f.Where
			assert.Equal(t, level, f.Level, "%s: value %g, caution %g, fault %g", at, e.value, e.caution, e.fault)
			if math.IsNaN(limit) {
				assert.Nil(t, f.Limit, at)
			} else if assert.NotNil(t, f.Limit, at) {
				assert.InDelta(t, limit, *f.Limit, digits*math.Max(math.Abs(limit), 1), at)
				margin := limit - e.value
				if e.least {
					margin = -margin
				}
				assert.InDelta(t, margin, *f.Margin, max(digits*math.Max(math.Abs(limit)+math.Abs(e.value), 1), e.within), at)
			}
			assert.Equal(t, map[bool]string{true: "at least", false: "at most"}[e.least], f.Bounds, at)
			assert.NotEmpty(t, f.Source, at)
			assert.Equal(t, level == "ok", f.Remedy == "", at)
			break
		}
		assert.True(t, matched, "no arithmetic here gives %q at %q the value %v %s", f.Check, f.Where, f.Value, f.Unit)
	}
	present := map[string]bool{}
	for _, f := range findings {
		present[f.Check] = true
	}
	for i, e := range expected {
		if level, _ := e.level(); level != "ok" && !e.loose {
			assert.True(t, found[i], "%s at %s is %s (%g) and was not found", e.check, e.where, level, e.value)
		}
		if !e.loose {
			assert.True(t, present[e.check], "%s was not judged at all", e.check)
		}
	}
}

// helps reports whether the panel opens a damper of a zone that does not call.
func helps(job *network.Job, s *judgedState) bool {
	for _, c := range job.Panel.Calls {
		if len(c.Zones) != len(s.Calling) || len(c.Modes) > 0 && !slices.Contains(c.Modes, network.Mode(s.Mode)) ||
			slices.ContainsFunc(c.Zones, func(z string) bool { return !slices.Contains(s.Calling, z) }) {
			continue
		}
		for _, d := range c.Damper {
			if d.Position > 0 {
				return true
			}
		}
		return len(c.Open) > 0
	}
	return false
}

// num reads a number of the JSON; NaN where it is null.
func num(o map[string]any, key string) float64 {
	if v, ok := o[key].(float64); ok {
		return v
	}
	return math.NaN()
}

func text(o map[string]any, key string) string { s, _ := o[key].(string); return s }
func yes(o map[string]any, key string) bool    { b, _ := o[key].(bool); return b }

// expectations is the second reckoning.
func expectations(t *testing.T, file string, set []string, alternative string, job *network.Job, s *judgedState) []expectation {
	var list []expectation
	none := math.NaN()
	most := func(check, where string, value, caution, fault float64) {
		if !math.IsNaN(value) {
			list = append(list, expectation{check: check, where: where, value: value, caution: caution, fault: fault})
		}
	}
	least := func(check, where string, value, caution, fault float64) {
		if !math.IsNaN(value) {
			list = append(list, expectation{check: check, where: where, value: value, caution: caution, fault: fault, least: true})
		}
	}
	inwc := func(p quantity.Pressure) float64 { return float64(p) / quantity.InchWater }

	// Rating plate or the job's own; 0.50 in. w.c. is a usual rating (common practice). A caution from 90 % on.
	static := 0.50
	if p := job.Equipment.MaxStatic; p > 0 {
		static = inwc(p)
	}
	if own := job.Limits.MaxStatic; len(own) > 0 {
		static = inwc(own[len(own)-1])
	}
	blower, eq := s.Blower, s.Equipment
	most("external static", "", num(blower, "external_static_inwc"), 0.9*static, static)
	perWatt := num(blower, "power_w") / num(blower, "airflow_cfm")
	most("fan power", "", perWatt, 0.58, 1.16) // California Title 24 Part 6 (2013); twice that by our choice
	capacity := 0.0                            // tons
	if m := job.Equipment.Cooling; m != nil {
		capacity = float64(m.Capacity) / quantity.TonOfCooling
		if len(m.Stages) >= s.Stage && s.Mode == "cooling" {
			capacity = float64(m.Stages[s.Stage-1].Capacity) / quantity.TonOfCooling
		}
	}
	if perTon := num(blower, "airflow_cfm") / capacity; s.Mode == "cooling" && perTon > 450 {
		most("airflow per ton", "", perTon, 450, 500) // FSEC-PF-321-97; above it our choice
	} else if s.Mode == "cooling" {
		least("airflow per ton", "", perTon, 350, 300) // FSEC-PF-321-97; rating window of coils
	}
	all := len(s.Calling) == len(job.Zones)
	if len(job.Bypass) > 0 {
		most("bypass share", "", 100*num(eq, "bypass_share"), 20, 35) // our choice
		if all && s.Stage == s.Stages {
			most("bypass open", "", 100*num(eq, "bypass_share"), 2,
				none) // common practice; the figure is our choice
		}
	}
	if all && s.Stage == s.Stages {
		needs, wants, smallest := 0.0, 0.0, math.Inf(1)
		for _, z := range s.Zones {
			needs, wants, smallest = needs+num(z, "load_kbtu_h"), wants+num(z,
				"wanted_cfm"), min(smallest, num(z, "wanted_cfm"))
		}
		gives := num(eq, "output_kbtu_h")
		if s.Mode == "cooling" {
			gives *= num(eq, "sensible_share")
		}
		if yes(eq, "computed") && math.Abs(needs) > 0 {
			least("load carried", "", 100*gives/math.Abs(needs), 100,
				90) // ACCA Manual S (second-hand); nine tenths by our choice
		}
		if len(s.Zones) > 1 && s.Stages == 1 && smallest > 0 {
			least("smallest zone", "", 100*smallest/wants, 35,
				none) // a contractor's guide (second-hand)
		}
		list = append(list, ruleExpectations(job, s, capacity, static)...)
	}
	list = append(list, dumpExpectations(s)...)
	if all && s.Stage == s.Stages {
		gain, loss, gains, losses := 0.0, 0.0, true, true
		for i := range job.Zones {
			gain, loss = gain+float64(job.Zones[i].HeatGain), loss+float64(job.Zones[i].HeatLoss)
			gains, losses = gains && job.Zones[i].HeatGain > 0, losses && job.Zones[i].HeatLoss > 0
		}
		if m := job.Equipment.Cooling; s.Mode == "cooling" && gains && capacity > 0 {
			sensible := float64(m.Sensible)
			if sensible == 0 {
				sensible = 0.75 // usual (from memory)
			}
			most("cooling size", "", capacity*quantity.TonOfCooling*sensible/gain, 1.15, none) // ACCA Manual S, older edition
		}
		if m := job.Equipment.Heating; s.Mode == "heating" && losses {
			output := float64(m.Output)
			if len(m.Stages) >= s.Stage {
				output = float64(m.Stages[s.Stage-1].Output)
			}
			if output > 0 {
				most("heating size", "", output/loss, 1.40, none) // ACCA Manual S, older edition
			}
		}
	}
	for _, rule := range job.Limits.Rules { // California Title 24 Part 6, as published
		switch rule {
		case "california zonal":
			if s.Mode == "cooling" && (s.Stages <= 1 || all && s.Stage == s.Stages) {
				least("california zonal airflow", "", num(blower, "airflow_cfm")*(1-num(eq, "bypass_share"))/capacity, none, 350)
				most("california zonal fan power", "", perWatt, none, 0.58)
			}
			if len(job.Bypass) > 0 {
				most("california zonal bypass", "", 100*num(eq, "bypass_share"), none, 0)
			}
		case "california gas furnace fan":
			most("california gas furnace fan", "", perWatt, none, 0.45)
		}
	}
	if yes(blower, "off_table") {
		value := num(blower, "external_static_inwc")
		edge, below := tableEdge(t, file, set, alternative, text(blower, "tap"), value)
		list = append(list, expectation{check: "blower off its table", value: value, caution: edge, fault: none, least: below, always: "caution"})
	}

	// The heat side. Fahrenheit, as the trade has it.
	if yes(eq, "computed") {
		entering, leaving, rise := num(eq, "entering_f"), num(eq, "leaving_f"), num(eq, "temperature_rise_f")
		if s.Mode == "heating" {
			low, high := num(eq, "least_rise_f"), num(eq, "greatest_rise_f")
			switch {
			case math.IsNaN(high):
			case rise < low:
				least("temperature rise", "", rise, none, low) // rating plate
			default:
				most("temperature rise", "", rise, none, high)
			}
			most("entering air", "", entering, 80, 85)        // installation manuals (from memory)
			least("entering air, cold", "", entering, 60, 55) // the same
			opens := num(eq, "limit_opens_f")
			list = append(list, mixedExpectation(eq, "limit", "limit_sensor", opens-10, opens, false))
			most("duct air", "", leaving, 200, 250) // IRC M1601.1.1 (from memory)
		}
		if s.Mode == "cooling" {
			list = append(list, mixedExpectation(eq, "coil frost", "coldest_strip", 34, 28, true)) // saturation at which a comfort coil frosts (from memory)
			least("leaving air", "", leaving, 45, 40)                                              // our choice
			worst := -1
			for i, r := range s.Registers {
				if d := num(r, "temperature_f") - num(r, "dew_point_f"); !math.IsNaN(d) &&
					(worst < 0 || d < num(s.Registers[worst], "temperature_f")-num(s.Registers[worst], "dew_point_f")) {
					worst = i
				}
			}
			for i, r := range s.Registers { // several may be the coldest to six digits
				if worst >= 0 {
					d := num(r, "temperature_f") - num(r, "dew_point_f") - num(s.Registers[worst], "temperature_f") + num(s.Registers[worst], "dew_point_f")
					if d < 1e-3 {
						list = append(list, expectation{check: "register sweating", where: lineOf(s, r), value: num(r, "temperature_f"), caution: num(r, "dew_point_f") - 5,
							fault: none, least: true, loose: i != worst || num(r, "temperature_f") < num(r, "dew_point_f")-5})
					}
				}
			}
		}
		for _, z := range s.Zones {
			if end := num(z, "drift_end_f"); !yes(z, "calling") && !math.IsNaN(end) {
				if s.Mode == "cooling" {
					end = -end
				}
				most("zone drift", text(z, "name"), math.Max(end, 0), 2, 3) // usual swings (from memory)
			}
		}
	}

	// Zoning: what of the call reaches its callers, against the same with every zone damper open. Our measure and our steps.
	if natural := num(s.Zoning, "natural_share"); !math.IsNaN(natural) {
		callers, whole := 0.0, 0.0
		for _, z := range s.Zones {
			if whole += num(z, "delivered_kbtu_h"); yes(z, "calling") {
				callers += num(z, "delivered_kbtu_h")
			}
		}
		share := callers / whole
		kept, where, floor := (share-natural)/(1-natural), strings.Join(s.Calling, " + "), 25.0
		if helps(job, s) {
			floor = 0 // what the panel was told to do is a caution at most
		}
		if share < 0.5 && kept >= 0.4 {
			least("zoning given away", where, 100*share, 50, none)
		} else {
			least("zoning given away", where, 100*kept, 40, floor)
		}
	}

	// Air.
	for _, r := range s.Registers {
		most("register face velocity", lineOf(s, r), num(r, "face_velocity_fpm"), 500, 700) // residential duct manual (from memory)
	}
	runs := map[string]bool{}
	for _, r := range s.Registers {
		runs[lineOf(s, r)] = true
	}
	fastest := map[string]float64{}
	for _, e := range s.Elements {
		switch text(e, "kind") {
		case "grille":
			caution, fault := 400.0, 500.0 // residential duct manual, second-hand
			if l := lineNamed(job, text(e, "line")); l.Grille.Kind == "filter grille" {
				caution, fault = 270, 300
			}
			most("return grille velocity", text(e, "line"), num(e, "velocity_fpm"), caution, fault)
		case "duct":
			fastest[text(e, "line")] = math.Max(fastest[text(e, "line")], num(e, "velocity_fpm"))
		}
	}
	for _, table := range []struct {
		lines []network.Line
		back  bool
	}{{job.Supply, false}, {job.Dump, false}, {job.Bypass, false}, {job.Return, true}} {
		for i := range table.lines {
			l := &table.lines[i]
			v, ducts := fastest[l.Name]
			if !ducts {
				continue
			}
			caution, fault := 700.0, 900.0 // trunk; Air-Conditioning Systems Design Manual (1993) and the residential duct manual
			switch flexible := strings.Contains(l.Material, "flex"); {
			case table.back:
				caution, fault = 600, 700
			case runs[l.Name] && flexible:
				caution, fault = 600, 700
			case runs[l.Name]:
				caution, fault = 600, 900
			}
			most("duct velocity", l.Name, v, caution, fault)
		}
	}
	house := 0.0
	for _, n := range s.Nodes {
		if text(n, "kind") == "house" {
			house = num(n, "total_inwc")
		}
	}
	for _, n := range s.Nodes {
		if text(n, "kind") == "room" { // ENERGY STAR: 3 and 5 Pa
			most("room pressure", text(n, "name"), math.Abs(num(n, "total_inwc")-house), 3/quantity.InchWater, 5/quantity.InchWater)
		}
	}
	for _, z := range s.Zones {
		if wants := num(z, "wanted_cfm"); yes(z, "calling") && wants > 0 {
			most("zone excess", text(z, "name"), num(z, "airflow_cfm")/wants, 1.5, 2) // our choice
			short := 100 * num(z, "shortfall_cfm") / wants
			switch load := num(z, "load_kbtu_h"); {
			case higherStage(job, s):
			case !(s.Mode == "heating" && load > 0 && num(z, "delivered_kbtu_h") >= load):
				most("zone shortfall", text(z, "name"), short, 10, 20) // balancing tolerances (from memory)
			case short > 10: // heat decides
				least("zone shortfall", text(z, "name"), 100*num(z, "delivered_kbtu_h")/load, 100, none)
			}
		}
		if len(s.Zones) > 1 && len(s.Calling) == len(s.Zones) && !math.IsNaN(num(z, "return_cfm")) && hasGrille(s, text(z, "name")) {
			most("return over supply", text(z, "name"), num(z, "return_cfm"), 1.1*num(z, "airflow_cfm"), none) // IRC 2021 M1602.2, with a tenth
		}
	}

	list = append(list, noiseExpectations(job, s)...)
	list = append(list, jetExpectations(s)...)
	list = append(list, stopExpectations(t, file, set, alternative, job, s)...)
	return list
}

// dumpExpectations are the rooms with a dump: what they are given of their zone's heat, over their
// part of its load. Ours.
func dumpExpectations(s *judgedState) (list []expectation) {
	for _, dump := range s.Registers {
		zone, wants, room, all := map[string]any(nil), 0.0, 0.0, 0.0
		for _, z := range s.Zones {
			if z["name"] == dump["zone"] {
				zone = z
			}
		}
		for _, r := range s.Registers {
			if r["zone"] != dump["zone"] {
				continue
			}
			if all += num(r, "airflow_cfm"); r["room"] == dump["room"] {
				room += num(r, "airflow_cfm")
				if !yes(r, "dump") {
					wants += num(r, "wanted_cfm")
				}
			}
		}
		if load := num(zone, "load_kbtu_h"); yes(dump, "dump") && wants > 0 && all > 0 &&
			math.Abs(load) > 0 {
			share := num(zone, "delivered_kbtu_h") * room / all / (load * wants / num(zone,
				"wanted_cfm"))
			list = append(list, expectation{check: "dump room", where: text(dump, "room"),
				value: share, caution: 1.5, fault: 3})
		}
	}
	return list
}

// mixedExpectation is a check of a value that depends on how recirculated air mixes: a fault where it is one even well mixed, a caution of the
// usual value or of the least mixed where it may be one.
func mixedExpectation(eq map[string]any, check, key string, caution, fault float64, least bool) expectation {
	e := expectation{check: check, value: num(eq, key+"_f"), caution: caution, fault: fault, least: least}
	beyond := func(value float64) bool { return least && value < fault || !least && value > fault }
	switch mixed, unmixed := num(eq, key+"_low_f"), num(eq, key+"_high_f"); {
	case beyond(e.value) && !beyond(mixed):
		e.always = "caution"
	case !beyond(e.value) && beyond(unmixed):
		e.value, e.always = unmixed, "caution"
	}
	return e
}

func hasGrille(s *judgedState, zone string) bool {
	return slices.ContainsFunc(s.Grilles, func(g map[string]any) bool { return text(g, "zone") == zone })
}

// lineOf is the line that ends in a register.
func lineOf(s *judgedState, r map[string]any) string {
	for _, e := range s.Elements {
		if e["name"] == r["element"] {
			return text(e, "line")
		}
	}
	return ""
}

func lineNamed(job *network.Job, name string) *network.Line {
	for _, table := range [][]network.Line{job.Supply, job.Return, job.Bypass, job.Dump} {
		for i := range table {
			if table[i].Name == name {
				return &table[i]
			}
		}
	}
	return nil
}

// tableEdge is the end of the running tap's table that a static is beyond, in. w.c., and whether that is the lower end.
func tableEdge(t *testing.T, file string, set []string, alternative, tap string, static float64) (edge float64, below bool) {
	t.Helper()
	data, err := os.ReadFile(file)
	require.NoError(t, err)
	job, _ := network.Read(file, data, network.Options{Alternative: alternative, Set: set})
	g, err := network.Build(job)
	require.NoError(t, err)
	for _, curve := range g.Elements[g.Blower].Spec.(*network.BlowerSpec).Taps {
		if curve.Name == tap {
			low, high := curve.Static[0]/quantity.InchWater, curve.Static[len(curve.Static)-1]/quantity.InchWater
			if static < high {
				return low, true
			}
			return high, false
		}
	}
	return math.NaN(), false
}
