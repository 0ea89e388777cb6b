package network

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network/quantity"
	"spillway/network/section"
)

// inch is a variable so that products round as the reader's do, at run time.
var inch = float64(quantity.Inch)

// small is the least job that has something of everything the tests look at.
const small = `
[equipment]
cooling = { capacity = "2 ton", tap = "high" }
heating = { output = "40 kBtu/h", rise = ["30 F", "60 F"], tap = "medium" }
blower  = { table = "generic psc 2 ton" }
filter  = { drop = "0.08 inwc", at = "800 cfm" }
coil    = { drop = "0.14 inwc", at = "800 cfm" }
[zone]
day = { wants = "500 cfm", damper = "day" }
bed = { wants = "300 cfm", damper = "bed" }
[damper]
day = { stop = "25 %" }
bed = {}
[supply]
trunk     = { from = "supply plenum", size = "16x8 in", length = "8 ft" }
day-trunk = { from = "trunk", size = "12 in", length = "16 ft", fittings = ["straight on"], damper = "day" }
bed-trunk = { from = "trunk", size = "9 in", length = "18 ft", fittings = ["wye 45"], damper = "bed" }
living    = { from = "day-trunk", size = "8 in", length = "14 ft", fittings = ["wye 45", "2x elbow 90 smooth", "C = 0.35", "15 ft equivalent"], register = "12x6 in", room = "living" }
bed-1     = { from = "bed-trunk", size = "8 in flex", length = "12 ft", register = "12x6 in", room = "bed 1" }
bed-2     = { from = "bed-trunk", size = "6 in flex", length = "12 ft", fittings = ["wye 45"], register = "6x6 in", room = "bed 2" }
[return]
drop = { to = "return plenum", grille = "20x16 in", size = "16 in", length = "12 ft" }
`

func read(t *testing.T, text string, opt Options) *Job {
	t.Helper()
	job, found := Read("small.toml", []byte(text), opt)
	require.NotNil(t, job, "%s", found)
	return job
}

func (j *Job) line(name string) *Line {
	for _, table := range [][]Line{j.Supply, j.Return, j.Bypass, j.Dump} {
		for i := range table {
			if table[i].Name == name {
				return &table[i]
			}
		}
	}
	return nil
}

func (j *Job) assumption(path string) string {
	for _, a := range j.Assumptions {
		if a.Path == path {
			return a.Value
		}
	}
	return ""
}

func TestReadSmall(t *testing.T) {
	job := read(t, small, Options{})
	var names []string
	for _, l := range job.Supply {
		names = append(names, l.Name)
	}
	assert.Equal(t, []string{"trunk", "day-trunk", "bed-trunk", "living", "bed-1", "bed-2"}, names, "file order")

	living := job.line("living")
	assert.Equal(t, []FittingUse{{Name: "wye 45", Count: 1}, {Name: "elbow 90 smooth", Count: 2}, {Count: 1, Coefficient: 0.35}, {Count: 1, Equivalent: 15 * quantity.Foot}}, living.Fittings)
	assert.Equal(t, section.NewRectangular(12*inch, 6*inch), living.Register.Size)
	assert.InDelta(t, 14*0.3048, float64(living.Length), 1e-12)
	assert.Equal(t, "flex", job.line("bed-1").Material)
	assert.Equal(t, section.NewRound(8*inch), job.line("bed-1").Size.Section)
	assert.Equal(t, section.NewRectangular(16*inch, 8*inch), job.line("trunk").Size.Section)

	assert.InDelta(t, 24000*1055.05585262/3600, float64(job.Equipment.Cooling.Capacity), 1e-3, "2 tons of 12 000 Btu/h")
	assert.Equal(t, Position(0.25), job.Dampers[0].Stop)
	assert.Equal(t, quantity.IP, job.Units)

	// Zones come from the damper upstream, all along the path behind it.
	for name, zone := range map[string]string{"trunk": "", "day-trunk": "day", "living": "day", "bed-trunk": "bed", "bed-1": "bed", "bed-2": "bed"} {
		assert.Equal(t, zone, job.line(name).Zone, name)
	}
	// Wants: the living room's register has all of its zone; the bedrooms share 300 cfm as 72 to 36 square inches.
	assert.InDelta(t, 500, float64(living.Wants)/quantity.CFM, 1e-9)
	assert.InDelta(t, 200, float64(job.line("bed-1").Wants)/quantity.CFM, 1e-9)
	assert.InDelta(t, 100, float64(job.line("bed-2").Wants)/quantity.CFM, 1e-9)
	// One stage each, standing for itself.
	require.Len(t, job.Equipment.Heating.Stages, 1)
	assert.Equal(t, "medium", job.Equipment.Heating.Stages[0].Tap)
	assert.Equal(t, job.Equipment.Heating.Output, job.Equipment.Heating.Stages[0].Output)
}

// Every default that the reader uses is told, with its value.
func TestAssumptions(t *testing.T) {
	job := read(t, small, Options{})
	for _, test := range []struct{ path, value string }{
		{"equipment.cooling.sensible", "75 %"},
		{"equipment.max-static", "0.500 in. w.c."},
		{`weather."design cooling".outdoor`, "95.0 °F"},
		{`weather."design cooling".indoor`, "75.0 °F"},
		{`weather."design cooling".humidity`, "50 %"},
		{`weather."design cooling".supply-air`, "55.0 °F"},
		{`weather."design heating".outdoor`, "17.0 °F"},
		{`weather."design heating".indoor`, "70.0 °F"},
		{`weather."design heating".supply-air`, "120.0 °F"},
		{"supply.*.material", "galvanised"},
		{"return.drop.material", "galvanised"},
		{"supply.*.place", "inside"},
		{"supply.bed-1.compression", "4 %"},
		{"damper.day.size", "12 in"},
		{"damper.day.blade", "round"},
		{"damper.day.drive", "two-position"},
		{"damper.day.leakage", "3 %"},
		{"supply.living.wants", "500 cfm"},
		{"supply.bed-2.wants", "100 cfm"},
	} {
		t.Run(test.path, func(t *testing.T) { assert.Equal(t, test.value, job.assumption(test.path)) })
	}
	require.Len(t, job.Weather, 2)
	for _, w := range job.Weather {
		assert.NotNil(t, w.Outdoor)
		assert.NotNil(t, w.SupplyAir)
		assert.False(t, w.SupplyAirGiven)
	}
	bypass := read(t, small+"[bypass]\nrelief = { from = \"supply plenum\", to = \"return plenum\", size = \"8 in\", length = \"5 ft\", opens-at = \"0.3 inwc\" }\n", Options{})
	assert.Equal(t, "0.600 in. w.c.", bypass.assumption("bypass.relief.fully-open-at"), "twice the starting pressure")
	own := read(t, strings.Replace(small, "bed = {}", `bed = { size = "9 in", blade = "round", drive = "modulating", leakage = "class 1A" }`, 1), Options{})
	for _, key := range []string{"size", "blade", "drive", "leakage"} {
		assert.Empty(t, own.assumption("damper.bed."+key), "nothing is assumed where the file speaks")
	}
	assert.Equal(t, "class 1a", own.Dampers[1].Leakage.Class)
}

// Loads become airflow by q = Q/(1.08 ΔT), the larger of heating and cooling. The worked numbers 12 000 Btu/h at 20 °F giving 556
// cfm and 9 000 Btu/h at 50 °F giving 167 cfm are computed from that formula.
func TestWantsFromLoads(t *testing.T) {
	job := read(t, strings.Replace(strings.Replace(small,
		`day = { wants = "500 cfm", `, `day = { heat-gain = "12 kBtu/h", heat-loss = "20 kBtu/h", cooling-drop = "20 F", heating-rise = "50 F", `, 1),
		`bed = { wants = "300 cfm", `, `bed = { heat-loss = "9 kBtu/h", `, 1), Options{})
	assert.InDelta(t, 556, float64(job.Zones[0].Wants)/quantity.CFM, 0.5)
	// The rating plate says 30 to 60 F, so 45 F: 9000/(1.08·45) = 185.2 cfm.
	assert.InDelta(t, 185.2, float64(job.Zones[1].Wants)/quantity.CFM, 0.05)
	assert.Equal(t, "45.0 °F", job.assumption("zone.bed.heating-rise"))
	assert.Equal(t, "185 cfm", job.assumption("zone.bed.wants"))

	// Room loads decide the shares within a zone: 2 to 1 here although the registers are as 72 to 36.
	rooms := read(t, small+"[room]\n\"bed 1\" = { heat-gain = \"2 kBtu/h\" }\n\"bed 2\" = { heat-gain = \"4 kBtu/h\" }\n", Options{})
	assert.InDelta(t, 100, float64(rooms.line("bed-1").Wants)/quantity.CFM, 1e-9)
	assert.InDelta(t, 200, float64(rooms.line("bed-2").Wants)/quantity.CFM, 1e-9)

	// A room's own figure goes before; the zone's sum is left to the rest.
	own := read(t, small+"[room]\n\"bed 1\" = { wants = \"120 cfm\" }\n", Options{})
	assert.InDelta(t, 120, float64(own.line("bed-1").Wants)/quantity.CFM, 1e-9)
	assert.InDelta(t, 180, float64(own.line("bed-2").Wants)/quantity.CFM, 1e-9)

	// Registers with figures of their own make the zone's.
	sum := read(t, strings.Replace(strings.Replace(strings.Replace(small, `wants = "300 cfm", `, "", 1),
		`room = "bed 1"`, `wants = "90 cfm"`, 1), `room = "bed 2"`, `wants = "70 cfm"`, 1), Options{})
	assert.InDelta(t, 160, float64(sum.Zones[1].Wants)/quantity.CFM, 1e-9)
	assert.Equal(t, "160 cfm", sum.assumption("zone.bed.wants"))
}

func TestForms(t *testing.T) {
	for _, test := range []struct {
		name, text string
		want       any
		read       func(r *reader, n *node) any
	}{
		{"round", "14 in", Size{Section: section.NewRound(14 * inch)}, readSize},
		{"rectangular", "20x8 in", Size{Section: section.NewRectangular(20*inch, 8*inch)}, readSize},
		{"rectangular with blanks", "20 x 8 in", Size{Section: section.NewRectangular(20*inch, 8*inch)}, readSize},
		{"rectangular by sign", "20×8 in", Size{Section: section.NewRectangular(20*inch, 8*inch)}, readSize},
		{"rectangular with both units", "20 in x 8 in", Size{Section: section.NewRectangular(20*inch, 8*inch)}, readSize},
		{"rectangular by marks", `20"x8"`, Size{Section: section.NewRectangular(20*inch, 8*inch)}, readSize},
		{"bare", "14", Size{Section: section.NewRound(14 * inch)}, readSize},
		{"millimetres", "250 mm", Size{Section: section.NewRound(0.25)}, readSize},
		{"rectangular millimetres", "500x200 mm", Size{Section: section.NewRectangular(0.5, 0.2)}, readSize},
		{"flexible", "6 in flex", Size{Section: section.NewRound(6 * inch), Material: "flex"}, readSize},
		{"flexible bare", "6 flex", Size{Section: section.NewRound(6 * inch), Material: "flex"}, readSize},
		{"fractions", "3-1/4x10", Size{Section: section.NewRectangular(3.25*inch, 10*inch)}, readSize},
		{"fractions with a blank", "2 1/4 x 12 in", Size{Section: section.NewRectangular(2.25*inch, 12*inch)}, readSize},
		{"oval", "30x8 in oval", Size{Section: section.NewFlatOval(30*inch, 8*inch)}, readSize},
		{"oval said before the unit", "30x8 oval in", Size{Section: section.NewFlatOval(30*inch, 8*inch)}, readSize},
		{"material of two words", "14 in duct board", Size{Section: section.NewRound(14 * inch), Material: "duct board"}, readSize},
		{"half inches", "5.5 in", Size{Section: section.NewRound(5.5 * inch)}, readSize},

		{"percent open", "25 %", Position(0.25), readPosition},
		{"blade degrees from open", "67.5 deg from open", Position(0.25), readPosition},
		{"blade degrees from shut", "36° from Shut", Position(0.4), readPosition},
		{"blade degrees from fully closed", "22.5 deg from fully closed", Position(0.25), readPosition},
		{"word open", "open", Position(1), readPosition},
		{"word shut", "Shut", Position(0), readPosition},

		{"share", "3 %", DamperLeakage{Share: 0.03, Given: true}, readDamperLeakage},
		{"class", "Class 1A", DamperLeakage{Class: "1A", Given: true}, readDamperLeakage},

		{"leak as share", "4 % of blower at 25 Pa", Leak{Share: 0.04, At: 25}, readLeak},
		{"leak as airflow", "40 l/s at 25 Pa to attic", Leak{Airflow: 0.04, At: 25, To: "attic"}, readLeak},
		{"leak as class", "class 12", Leak{Class: 12}, readLeak},

		{"fitting", "elbow 90 smooth", FittingUse{Name: "elbow 90 smooth", Count: 1}, readFitting},
		{"counted", "3x elbow 90 smooth", FittingUse{Name: "elbow 90 smooth", Count: 3}, readFitting},
		{"counted with blank", "3 x elbow 90 smooth", FittingUse{Name: "elbow 90 smooth", Count: 3}, readFitting},
		{"plural", "2 elbows", FittingUse{Name: "elbow", Count: 2}, readFitting},
		{"plural with a style", "3 elbows 90 smooth", FittingUse{Name: "elbow 90 smooth", Count: 3}, readFitting},
		{"count as a word", "two elbows", FittingUse{Name: "elbow", Count: 2}, readFitting},
		{"count as a word, by angle", "two 90s", FittingUse{Name: "elbow 90", Count: 2}, readFitting},
		{"one as a word", "an elbow 45", FittingUse{Name: "elbow 45", Count: 1}, readFitting},
		{"count behind", "elbow x2", FittingUse{Name: "elbow", Count: 2}, readFitting},
		{"count behind with a style", "elbow 90 smooth ×3", FittingUse{Name: "elbow 90 smooth", Count: 3}, readFitting},
		{"count without a blank", "2xelbow", FittingUse{Name: "elbow", Count: 2}, readFitting},
		{"count in front of an angle", "2x 45 elbow", FittingUse{Name: "45 elbow", Count: 2}, readFitting},
		{"angle in front", "45 elbow", FittingUse{Name: "45 elbow", Count: 1}, readFitting},
		{"angle of a wye in front", "45 wye", FittingUse{Name: "45 wye", Count: 1}, readFitting},
		{"angle of a boot in front", "90 boot", FittingUse{Name: "90 boot", Count: 1}, readFitting},
		{"many, in the plural", "12 elbows", FittingUse{Name: "elbow", Count: 12}, readFitting},
		{"small angle", "elbow 10 deg", FittingUse{Name: "elbow 10 deg", Count: 1}, readFitting},
		{"count in front of a coefficient", "2 C = 0.35", FittingUse{Coefficient: 0.35, Count: 2}, readFitting},
		{"coefficient", "C = 0.35", FittingUse{Coefficient: 0.35, Count: 1}, readFitting},
		{"coefficient without sign", "c 0.35", FittingUse{Coefficient: 0.35, Count: 1}, readFitting},
		{"counted coefficient", "2x C=1.2", FittingUse{Coefficient: 1.2, Count: 2}, readFitting},
		{"name that begins with c", "conical tee", FittingUse{Name: "conical tee", Count: 1}, readFitting},
		{"equivalent length", "15 ft equivalent", FittingUse{Equivalent: 15 * quantity.Foot, Count: 1}, readFitting},
		{"equivalent length in metres", "4 m eq", FittingUse{Equivalent: 4, Count: 1}, readFitting},
	} {
		t.Run(test.name, func(t *testing.T) {
			r := &reader{}
			got := test.read(r, &node{name: "x", leaf: test.text})
			require.Empty(t, r.found)
			assert.Equal(t, test.want, got)
		})
	}
}

func readSize(r *reader, n *node) any          { return r.size(n) }
func readPosition(r *reader, n *node) any      { return r.position(n) }
func readDamperLeakage(r *reader, n *node) any { return r.damperLeakage(n) }
func readLeak(r *reader, n *node) any          { return r.leak(n) }
func readFitting(r *reader, n *node) any       { return r.fitting(n) }

// A size that is printed reads back as the same section.
func TestSizeRoundTrip(t *testing.T) {
	for _, system := range []quantity.System{quantity.IP, quantity.SI} {
		for _, s := range []section.Section{section.NewRound(0.254), section.NewRectangular(0.508, 0.2032), section.NewFlatOval(0.762, 0.2032)} {
			r := &reader{system: system}
			text := SizeText(s, system)
			got := r.size(&node{leaf: text}).Section
			assert.Equal(t, s.Shape, got.Shape, text)
			assert.InDelta(t, s.Area(), got.Area(), 1e-3*s.Area(), text)
		}
	}
}

// An error names the alternative that has it, and an override of a part that only some alternatives have says which.
func TestErrorsNameTheAlternative(t *testing.T) {
	text := small + `
[alternative.bypass]
damper.day.stop = "0 %"
bypass.relief = { from = "supply plenum", to = "drop", size = "8 in", length = "6 ft", opens-at = "0.3 inwc" }

[alternative.one-bedroom]
remove = ["supply.bed-2"]

[alternative.without]
like = "one-bedroom"
supply.bed-2.length = "9 ft"

[alternative.broken]
supply.bed-2.length = "8 cfm"
`
	for _, c := range []struct {
		name string
		opt  Options
		want string
		fix  string
	}{
		{"in the alternative", Options{Alternative: "broken"}, `with alternative "broken": "8 cfm" is an airflow, but a length is meant here`, `write a length, such as "12 ft"`},
		{"a part that one removes", Options{Alternative: "without"},
			`with alternative "without": there is no supply "bed-2" to change`, "the alternative removes it; leave the override out, or name the alternatives that keep the part"},
		{"a part that one adds", Options{Set: []string{"bypass.relief.opens-at=0.2 inwc"}}, `there is no bypass "relief" to change`, "bypass.relief is in alternative bypass: add --alternative bypass"},
		{"a part that none has", Options{Set: []string{"dump.far.opens-at=0.2 inwc"}}, `there is no dump "far" to change`, "to add a part write dump.far = { ... }"},
		{"the override itself", Options{Alternative: "bypass", Set: []string{"supply.bed-2.length=9 cfm"}}, `"9 cfm" is an airflow, but a length is meant here`, `write a length, such as "12 ft"`},
	} {
		t.Run(c.name, func(t *testing.T) {
			job, found := Read("small.toml", []byte(text), c.opt)
			require.Nil(t, job)
			require.Len(t, found.Errors(), 1, "%s", found)
			assert.Equal(t, c.want, found.Errors()[0].Summary)
			assert.Equal(t, c.fix, found.Errors()[0].Fix)
		})
	}
	_, found := Read("small.toml", []byte(text), Options{Alternative: "bypass", Set: []string{"bypass.relief.opens-at=0.2 inwc"}})
	assert.False(t, found.HasErrors(), "%s", found)
	// A flag for several alternatives is skipped in the one that removes its part, and that is
	// said.
	job, found := Read("small.toml", []byte(text), Options{Alternative: "one-bedroom",
		Set: []string{"supply.bed-2.length=9 ft"}})
	require.NotNil(t, job, "%s", found)
	require.Len(t, found, 1)
	assert.Equal(t, "supply.bed-2.length is skipped: the alternative removes it", found[0].Summary)
}

func TestAlternatives(t *testing.T) {
	text := small + `
[alternative.bypass]
note = "shut and relieved"
damper.day.stop = "0 %"
bypass.relief = { from = "supply plenum", to = "drop", size = "8 in", length = "6 ft", opens-at = "0.3 inwc" }

[alternative.one-bedroom]
remove = ["supply.bed-2", "damper.day.stop"]

[alternative.board.supply.trunk]
material = "duct board"
`
	base := read(t, text, Options{})
	assert.Equal(t, []Alternative{{Name: "bypass", Note: "shut and relieved", Line: 24}, {Name: "one-bedroom", Line: 29}, {Name: "board", Line: 32}}, base.Alternatives)
	assert.Equal(t, Position(0.25), base.Dampers[0].Stop)
	assert.Empty(t, base.Bypass)

	bypass := read(t, text, Options{Alternative: "bypass"})
	assert.Equal(t, "bypass", bypass.Alternative)
	assert.Equal(t, Position(0), bypass.Dampers[0].Stop)
	require.Len(t, bypass.Bypass, 1)
	assert.InDelta(t, 0.3*quantity.InchWater, float64(bypass.Bypass[0].OpensAt), 1e-9)
	assert.Len(t, bypass.Alternatives, 3)

	one := read(t, text, Options{Alternative: "one-bedroom"})
	assert.Nil(t, one.line("bed-2"))
	assert.Equal(t, Position(0), one.Dampers[0].Stop, "a removed setting falls back to its default")
	assert.InDelta(t, 300, float64(one.line("bed-1").Wants)/quantity.CFM, 1e-9)

	board := read(t, text, Options{Alternative: "board"})
	assert.Equal(t, "duct board", board.line("trunk").Material)
	assert.Equal(t, base.line("trunk").Length, board.line("trunk").Length, "what an override does not say is kept")
	assert.Empty(t, Check("small.toml", []byte(text)))
}

// An alternative may start from another one instead of the file as it stands, and that from a third.
func TestAlternativeLikeAnother(t *testing.T) {
	text := small + `
[alternative.tuned]
like = "quiet"
bypass.relief.opens-at = "0.2 inwc"
damper.day.stop = "10 %"

[alternative.bypass]
damper.day.stop = "0 %"
bypass.relief = { from = "supply plenum", to = "drop", size = "8 in", length = "6 ft", opens-at = "0.3 inwc" }

[alternative.quiet]
like = "bypass"
note = "the bypass, larger"
bypass.relief.size = "10 in"

[alternative.none]
like = "tuned"
remove = ["bypass.relief"]
`
	tuned := read(t, text, Options{Alternative: "tuned"})
	require.Len(t, tuned.Bypass, 1)
	assert.InDelta(t, 0.2*quantity.InchWater, float64(tuned.Bypass[0].OpensAt), 1e-9, "its own word is the last")
	assert.InDelta(t, 10*inch, tuned.Bypass[0].Size.Section.HydraulicDiameter(), 1e-9, "that of the one before holds")
	assert.InDelta(t, 6*0.3048, float64(tuned.Bypass[0].Length), 1e-9, "and so does that of the first")
	assert.Equal(t, Position(0.1), tuned.Dampers[0].Stop)
	assert.Equal(t, []string{"quiet", "", "bypass", "tuned"}, []string{tuned.Alternatives[0].Like, tuned.Alternatives[1].Like, tuned.Alternatives[2].Like, tuned.Alternatives[3].Like})

	quiet := read(t, text, Options{Alternative: "quiet"})
	assert.InDelta(t, 0.3*quantity.InchWater, float64(quiet.Bypass[0].OpensAt), 1e-9, "what starts from it does not touch it")
	none := read(t, text, Options{Alternative: "none"})
	assert.Empty(t, none.Bypass)
	assert.Equal(t, Position(0.1), none.Dampers[0].Stop)
	assert.Empty(t, Check("small.toml", []byte(text)))
	assert.Equal(t, "tuned-2", tuned.FreeAlternative("tuned"))
	assert.Equal(t, "balanced", tuned.FreeAlternative("balanced"))
}

func TestSet(t *testing.T) {
	for _, test := range []struct {
		name, set string
		got       func(j *Job) any
		want      any
	}{
		{"a text without quotes", "damper.day.stop=40 %", func(j *Job) any { return j.Dampers[0].Stop }, Position(0.4)},
		{"a quoted text", `damper.day.stop = "40 %"`, func(j *Job) any { return j.Dampers[0].Stop }, Position(0.4)},
		{"a number", "supply.trunk.length=10", func(j *Job) any { return j.line("trunk").Length }, quantity.Length(3.048)},
		{"a list", `supply.bed-1.fittings=["C = 1", "C = 2"]`, func(j *Job) any { return len(j.line("bed-1").Fittings) }, 2},
		{"a size over a size", "supply.trunk.size=18x8 in", func(j *Job) any { return j.line("trunk").Size.Section }, section.NewRectangular(18*inch, 8*inch)},
		{"a text over a table", `supply.living.register={ size = "10x6 in", free-area = "80 %" }`, func(j *Job) any { return j.line("living").Register.FreeArea }, quantity.Fraction(0.8)},
		{"a new part", `box.far={ note = "x" }`, func(j *Job) any { return len(j.Boxes) }, 1},
		{"the system", "units=si", func(j *Job) any { return j.Units }, quantity.SI},
		{"the title", "title=A = B", func(j *Job) any { return j.Title }, "A = B"},
	} {
		t.Run(test.name, func(t *testing.T) {
			assert.Equal(t, test.want, test.got(read(t, small, Options{Set: []string{test.set}})))
		})
	}
	text := small + "[alternative.x]\ndamper.day.stop = \"10 %\"\n"
	assert.Equal(t, Position(0.3), read(t, text, Options{Alternative: "x", Set: []string{"damper.day.stop=20 %", "damper.day.stop=30 %"}}).Dampers[0].Stop, "the last word holds")
}

// A return line may be tied from either end.
func TestReturnFromEitherEnd(t *testing.T) {
	text := strings.Replace(small, `drop = { to = "return plenum", grille = "20x16 in", size = "16 in", length = "12 ft" }`,
		"hall = { grille = \"20x16 in\" }\ndrop = { from = \"hall\", to = \"return plenum\", size = \"16 in\", length = \"12 ft\" }", 1)
	job := read(t, text, Options{})
	assert.Equal(t, "drop", job.line("hall").To)
	assert.Empty(t, job.line("drop").From)
	assert.Equal(t, section.NewRectangular(20*inch, 16*inch), job.line("hall").Size.Section, "a grille without a run lends its size")
}

func TestExamples(t *testing.T) {
	files, err := filepath.Glob("../examples/*.toml")
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(files), 6)
	for _, file := range files {
		t.Run(filepath.Base(file), func(t *testing.T) {
			data, err := os.ReadFile(file)
			require.NoError(t, err)
			assert.Equal(t, "", Check(filepath.Base(file), data).Error(), "neither errors nor cautions, in any alternative")
			job := read(t, string(data), Options{})
			promises(t, job)
			assert.True(t, strings.HasPrefix(string(data), "# "), "opens with what to look for")
			for _, a := range job.Alternatives {
				other := read(t, string(data), Options{Alternative: a.Name})
				promises(t, other)
				assert.NotEmpty(t, a.Note)
			}
			again := read(t, string(data), Options{})
			assert.Equal(t, job, again, "same bytes, same job")
			if file == "../examples/first-look.toml" {
				assert.LessOrEqual(t, strings.Count(string(data), "\n"), 40)
			}
			plausible(t, job)
		})
	}
}

// promises holds a job against what its type says of it.
func promises(t *testing.T, job *Job) {
	t.Helper()
	lines := map[string]*Line{}
	for _, table := range [][]Line{job.Supply, job.Return, job.Bypass, job.Dump} {
		for i := range table {
			l := &table[i]
			require.Nil(t, lines[l.Name], l.Name)
			lines[l.Name] = l
			require.NoError(t, l.Size.Check(), l.Name)
			require.NotEmpty(t, l.Material, l.Name)
			require.NotEmpty(t, l.Place, l.Name)
		}
	}
	for _, table := range [][]Line{job.Supply, job.Dump} {
		for i := range table {
			l, steps := &table[i], 0
			for l != nil && l.From != SupplyPlenum {
				require.Less(t, steps, 100)
				l, steps = lines[l.From], steps+1
			}
			require.NotNil(t, l, table[i].Name)
			if table[i].Register != nil && &table[0] == &job.Supply[0] {
				require.NotEmpty(t, table[i].Zone, table[i].Name)
				require.Positive(t, float64(table[i].Wants), table[i].Name)
			}
		}
	}
	for _, m := range []*Machine{job.Equipment.Cooling, job.Equipment.Heating} {
		if m == nil {
			continue
		}
		require.NotEmpty(t, m.Stages)
		for _, s := range m.Stages {
			require.NotEmpty(t, s.Tap)
			require.Positive(t, float64(s.Capacity+s.Output))
		}
	}
	require.NotEmpty(t, job.Weather)
	for _, z := range job.Zones {
		require.NotEmpty(t, z.Damper)
		require.Positive(t, float64(z.Wants))
	}
	for _, d := range job.Dampers {
		require.NoError(t, d.Size.Check(), d.Name)
		require.NotEmpty(t, d.Drive)
	}
	finite(t, reflect.ValueOf(job), "job")
}

// finite walks through everything and finds numbers that are none.
func finite(t *testing.T, v reflect.Value, path string) {
	t.Helper()
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			finite(t, v.Elem(), path)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			finite(t, v.Field(i), path+"."+v.Type().Field(i).Name)
		}
	case reflect.Slice:
		for i := range v.Len() {
			finite(t, v.Index(i), fmt.Sprintf("%s[%d]", path, i))
		}
	case reflect.Float64:
		require.False(t, math.IsNaN(v.Float()) || math.IsInf(v.Float(), 0), path)
	}
}

// plausible holds an example against rules of the trade (common practice): about 400 cfm per ton, registers and ducts at usual
// velocities when every register gets what it wants.
func plausible(t *testing.T, job *Job) {
	t.Helper()
	total := 0.0
	for _, z := range job.Zones {
		total += float64(z.Wants)
	}
	if c := job.Equipment.Cooling; c != nil {
		perTon := total / quantity.CFM / (float64(c.Capacity) / quantity.TonOfCooling)
		assert.InDelta(t, 400, perTon, 50, "cfm per ton; a part of what the blower moves leaks")
	}
	flow := map[string]float64{}
	for i := len(job.Supply) - 1; i >= 0; i-- { // children stand below their parents
		l := &job.Supply[i]
		flow[l.Name] += float64(l.Wants)
		flow[l.From] += flow[l.Name]
		velocity := flow[l.Name] / l.Size.Area() / quantity.FPM
		assert.LessOrEqual(t, velocity, 970.0, "%s: %.0f fpm", l.Name, velocity)
		assert.GreaterOrEqual(t, velocity, 250.0, "%s: %.0f fpm", l.Name, velocity)
		if l.Register != nil {
			face := float64(l.Wants) / l.Register.Size.Area() / quantity.FPM
			assert.LessOrEqual(t, face, 600.0, "%s: %.0f fpm", l.Name, face)
			assert.GreaterOrEqual(t, face, 250.0, "%s: %.0f fpm", l.Name, face)
		}
	}
}

func FuzzRead(f *testing.F) {
	for _, pattern := range []string{"../examples/*.toml", badJobs + "/*.toml"} {
		files, err := filepath.Glob(pattern)
		require.NoError(f, err)
		for _, file := range files {
			data, err := os.ReadFile(file)
			require.NoError(f, err)
			f.Add(data, "", "")
		}
	}
	f.Add([]byte(small+"[alternative.x]\ndamper.day.stop = \"0 %\"\n"), "x", "damper.bed.stop=30 %")
	f.Add([]byte(small), "", `supply.new={ from = "trunk", size = "6 in", length = 4, register = "8x4 in" }`)
	f.Fuzz(func(t *testing.T, data []byte, alternative, set string) {
		opt := Options{Alternative: alternative}
		if set != "" {
			opt.Set = []string{set}
		}
		job, found := Read("f.toml", data, opt)
		if (job == nil) != found.HasErrors() {
			t.Fatalf("job %v with\n%s", job != nil, found)
		}
		if job != nil {
			promises(t, job)
		}
		_ = found.Error()
		_ = Check("f.toml", data).Error()
		checkAgainstParser(t, data)
	})
}
