package resist

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"spillway/network/evidencetest"
	"spillway/solver/air"
)

// The handbook's equal-friction supply system at 1655 m, section by section. Friction is printed to 1 Pa. Fittings are C
// times a velocity pressure already rounded to 1 Pa, then rounded again: C/2 + 1/2. Totals add the two, paths the rows.
// The system through the whole program, which is the evidence, stands in solver/state, as do those below.
func TestSupplySystemBySections(t *testing.T) {
	thin := handbookAir()
	thin.Density = 0.978 // printed; an input
	const terminal = 1.67
	totals := map[string]float64{}
	for _, s := range []struct {
		name                     string
		flow, diameter, length   float64 // L/s, mm (0: 450x500), m
		local                    float64
		friction, fitting, total float64
	}{
		{"1", 1520, 0, 1.5, 0, 1, 0, 1},
		{"2", 1520, 375, 6, 0.06, 26, 6, 32},
		{"4", 1140, 350, 6, 0.14, 21, 10, 31},
		{"6", 760, 300, 6, 0.13, 21, 7, 28},
		{"8", 380, 225, 4.5, 0.14, 18, 6, 24},
		{"3", 380, 200, 1.5, 0.58 + terminal, 11, 162, 173},
		{"5", 380, 200, 1.5, 0.38 + terminal, 11, 148, 159},
		{"7", 380, 200, 1.5, 0.29 + terminal, 11, 141, 152},
		{"9", 380, 200, 3, 0.11 + 0.04 + terminal, 22, 131, 153},
	} {
		data := DuctData{Area: circle(s.diameter * mm), Length: s.length, Roughness: steel012, Local: s.local, Air: thin}
		if s.diameter == 0 {
			data.Area, data.Diameter = 0.45*0.5, 2*0.45*0.5/0.95
		}
		duct := must(NewDuct(data))
		q := thin.Density * s.flow * ls
		friction, total := duct.FrictionDrop(q), dropOf(&duct, q)
		assert.InDelta(t, s.friction, friction, 0.5, "section "+s.name+", friction, Pa")
		assert.InDelta(t, s.fitting, total-friction, s.local/2+0.5, "section "+s.name+", fittings, Pa")
		within := s.local/2 + 1
		if s.local == 0 {
			within = 0.5
		}
		assert.InDelta(t, s.total, total, within, "section "+s.name+", total, Pa")
		totals[s.name] = total
	}
	for _, p := range []struct {
		name     string
		sections []string
		want     float64
	}{
		{"path A", []string{"1", "2", "3"}, 206},
		{"path B", []string{"1", "2", "4", "5"}, 223},
		{"path C", []string{"1", "2", "4", "6", "7"}, 244},
		{"path D", []string{"1", "2", "4", "6", "8", "9"}, 269},
	} {
		sum := 0.0
		for _, s := range p.sections {
			sum += totals[s]
		}
		assert.InDelta(t, p.want, sum, 3, p.name+", Pa")
	}
}

// The handbook's converging exhaust system. Totals within 0.5 %, which is the rounding of the printed friction and
// velocity pressures, plus 3 Pa for friction printed as a whole number of Pa/m times the length.
func TestPublishedExhaustSystem(t *testing.T) {
	evidencetest.Of(t, evidencetest.Formula)
	const source = handbook + ", Example 9 Tables 19-20"
	totals := map[string]float64{}
	for _, s := range []struct {
		name                     string
		flow, diameter, length   float64
		local                    float64
		friction, fitting, total float64
	}{
		{"1", 860, 200, 7.32, 1.09, 293, 492, 785},
		{"2", 290, 125, 2.7, 1.06, 146, 356, 502},
		{"4", 580, 180, 3.84, 0.51, 123, 160, 283},
		{"5", 1440, 280, 2.7, 0.23, 50, 76, 126},
		{"6", 1440, 355, 3.0, 0.03, 18, 4, 22},
		{"7", 1440, 355, 14.0, 1.77, 84, 225, 309},
	} {
		duct := roundDuct(s.diameter*mm, s.length, steel009, s.local, handbookAir())
		q := 1.204 * s.flow * ls
		friction, total := duct.FrictionDrop(q), dropOf(duct, q)
		assert.InDelta(t, s.friction, friction, 0.005*s.friction+3, "section "+s.name+", friction, Pa")
		assert.InDelta(t, s.fitting, total-friction, 0.005*s.fitting+0.5, "section "+s.name+", fittings, Pa")
		assert.InDelta(t, s.total, total, 0.003*s.total+3, "section "+s.name+", total, Pa")
		totals[s.name] = total
	}
	const collector = 750 // printed, a separator's rating
	assert.InDelta(t, 785, totals["2"]+totals["4"], 3, "sections 2 + 4 against 1, Pa")
	fan := totals["1"] + totals["5"] + collector + totals["6"] + totals["7"]
	published(t, "fan total pressure, Pa", source, 1992, fan, 4)
	// Fan outlet 260x310 mm.
	outlet := must(NewLocal(1, 0.26*0.31, handbookAir()))
	velocityPressure := dropOf(outlet, 1.204*1.440)
	published(t, "fan outlet velocity pressure, Pa", source, 192, velocityPressure, 1)
	published(t, "fan static pressure, Pa", source, 1800, fan-velocityPressure, 4)
	hood := must(NewLocal(1+0.25, circle(0.2), handbookAir()))
	published(t, "hood suction of section 1, Pa", source, 560, dropOf(hood, 1.204*0.860), 5)
}

// A textbook supply with two branches, from chart friction and p_v = (V/4000)²; ε 0.0005 ft for charts of that age.
// Charts are read to about 6 %, and 4000 for 4005 adds 0.3 %.
func TestTextbookBranchesBySections(t *testing.T) {
	totals := map[string]float64{}
	for _, s := range []struct {
		name                   string
		flow, diameter, length float64 // CFM, in, ft
		fittings               float64 // in.w.c., as printed
		total                  float64
	}{
		{"1-a", 400, 10, 50, 0.0285, 0.0735},
		{"a-2", 280, 9, 50, 0.002, 0.042},
		{"a-3", 120, 6, 40, 0.0161 + 0.0086 + 0.0086, 0.0813},
	} {
		area := circle(s.diameter * inch)
		velocity := s.flow * cfm / area / fpm
		c := s.fittings / (velocity / 4000 * velocity / 4000)
		duct := roundDuct(s.diameter*inch, s.length*foot, rough05, c, air.Standard())
		totals[s.name] = dropOf(duct, air.StandardDensity*s.flow*cfm) / inwc
		assert.InDelta(t, s.total, totals[s.name], 0.04*s.total, "section "+s.name+", in.w.c.")
	}
	assert.InDelta(t, 0.1155, totals["1-a"]+totals["a-2"], 0.0025, "path 1-2, in.w.c.")
	assert.InDelta(t, 0.1548, totals["1-a"]+totals["a-3"], 0.0025, "path 1-3, in.w.c.")
}

// A fan table against a duct: the operating point of a fluid-mechanics textbook (ch. 14, Example 14-1). How the table is
// interpolated moves the answer by 1.2 % in flow, hence 10 CFM and 0.02 in.
func TestOperatingPoint(t *testing.T) {
	water := 998 * 9.81 * inch // Pa per inch of the book's water
	book := air.State{Density: 1.184, Viscosity: 1.562e-5 * 1.184}
	var table FanTable
	for _, row := range [][2]float64{{0, 0.90}, {250, 0.95}, {500, 0.90}, {750, 0.75}, {1000, 0.40}, {1200, 0}} {
		// The book's table is for its own air; ours are for standard air.
		table = append(table, FanRow{Flow: row[0] * cfm, Static: row[1] * water * air.StandardDensity / book.Density})
	}
	fan, err := NewStallFan(table, book.Density)
	assert.NoError(t, err)
	rises := fan.Rises()
	if assert.Len(t, rises, 1) {
		assert.InDelta(t, 250, rises[0].High/book.Density/cfm, 1e-9)
	}
	const entry, elbows, damper, exit = 1.3, 5 * 0.21, 1.8, 1.05
	duct := roundDuct(0.230, 13.4, 0.15*mm, entry+elbows+damper+exit, book)

	// Above the rising piece the balance rises with flow: one root.
	q := flowOf(t, NewSeries(duct, fan), 0, 0.25*book.Density, 0.5*book.Density)
	assert.InDelta(t, 650, q/book.Density/cfm, 10)
	assert.InDelta(t, 0.83, dropOf(duct, q)/water, 0.02)
	assert.InDelta(t, dropOf(duct, q), -dropOf(fan, q), 1e-9)
	assert.False(t, math.IsNaN(q))
}
