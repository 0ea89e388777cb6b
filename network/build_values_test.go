package network_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network"
)

const (
	squareInch = 0.0254 * 0.0254
	cfm        = 4.719474432e-4 // m³/s
	inwc       = 249.089        // Pa
)

// ducts are two plain runs.
const ducts = `
trunk = { from = "supply plenum", size = "14 in", length = "20 ft" }
a     = { from = "trunk", size = "10 in", length = "10 ft", damper = "a", register = "14x8 in", zone = "a", room = "den" }
b     = { from = "trunk", size = "8 in", length = "10 ft", damper = "b", register = "12x6 in", zone = "b" }
`

// specs are the specs of one type, in the order of the elements.
func specs[T any](g *network.Graph) (list []T) {
	for i := range g.Elements {
		if spec, ok := g.Elements[i].Spec.(T); ok {
			list = append(list, spec)
		}
	}
	return list
}

// A shut door is open by its undercut, 32 in. wide where nothing is said (a usual inner door: common practice), and by the cracks round
// it, 15 in² (the middle of 10 to 25 in² of a field plot of undercuts in a trade magazine).
func TestBuildDoors(t *testing.T) {
	for _, c := range []struct {
		door string
		want float64 // in²
	}{
		{`{ width = "30 in", undercut = "0.5 in", shut = true }`, 30*0.5 + 15},
		{`{ undercut = "0.75 in", shut = true }`, 32*0.75 + 15},
		{`{ undercut = "0 in", shut = true }`, 15},
	} {
		g := graphOf(t, head+ducts+"[room]\nden = { zone = \"a\", door = "+c.door+" }\n")
		gaps := specs[*network.GapSpec](g)
		require.Len(t, gaps, 1, c.door)
		assert.InEpsilon(t, c.want*squareInch, gaps[0].Area, 1e-9, c.door)
	}
}

// A leak that was tested passes what was measured at the pressure it was measured at, and goes to other
// pressures with 0.6 (tests are scaled with 0.6 to 0.65: from memory). A leakage
// class is in cfm per 100 ft² at 1 in. of water, with 0.65 (Handbook of Fundamentals 2021 (SI), chapter 21, eq. 37).
func TestBuildLeaks(t *testing.T) {
	flow := func(l *network.LeakSpec, pressure float64) float64 {
		return l.Coefficient * math.Pow(pressure, l.Exponent)
	}
	for _, c := range []struct {
		leakage  string
		pressure float64 // Pa
		want     float64 // cfm; 0: 5 % of the blower's design airflow
		exponent float64
	}{
		{`supply = "40 cfm at 25 Pa"`, 25, 40, 0.6},
		{`supply = { airflow = "40 cfm", at = "50 Pa" }`, 50, 40, 0.6},
		{`supply = { airflow = "40 cfm", at = "25 Pa", exponent = 0.5 }`, 100, 80, 0.5}, // four times the pressure, twice the air: Q ∝ √Δp
		{`supply = "5 % of blower at 25 Pa"`, 25, 0, 0.6},
	} {
		g := graphOf(t, head+ducts+"[leakage]\n"+c.leakage+"\n")
		leaks := specs[*network.LeakSpec](g)
		if c.want == 0 {
			c.want = 0.05 * g.DesignAirflow / cfm
		}
		// Wherever it leaks, all of it at one pressure is the file's figure.
		sum, share := 0.0, 0.0
		for _, l := range leaks {
			sum += flow(l, c.pressure) / cfm
			share += l.Share
			assert.Equal(t, c.exponent, l.Exponent, c.leakage)
		}
		assert.InEpsilon(t, c.want, sum, 1e-9, c.leakage)
		assert.InEpsilon(t, 1, share, 1e-12, c.leakage)
	}
	class := &network.Leak{Class: 12}
	assert.InEpsilon(t, 12, flow(class.Spec(0, 100*0.3048*0.3048), inwc)/cfm, 1e-3, "class 12, 100 ft², 1 in. of water")
	assert.Nil(t, (&network.Leak{}).Spec(1, 1), "a leak of nothing")
}

// The design airflow is that of the fastest tap in use at the rated static, 0.5 in. of water unless the job says otherwise (the usual
// rating of a furnace or air handler: common practice). Read off the table of the job by hand.
func TestDesignAirflow(t *testing.T) {
	const blower = `
[blower]
static = [0.3, 0.5, 0.7]
[blower.tap]
high   = { airflow = [1000, 900, 760], watts = [400, 390, 380] }
middle = { airflow = [800, 740, 640], watts = [300, 290, 280] }
low    = { airflow = [600, 560, 500], watts = [200, 190, 180] }
`
	for _, c := range []struct {
		name, equipment string
		want            float64
	}{
		{"at 0.5", `cooling = { capacity = "2 ton", tap = "high" }`, 900},
		{"the tap in use", `cooling = { capacity = "2 ton", tap = "middle" }`, 740},
		{"the faster of two", "cooling = { capacity = \"2 ton\", tap = \"high\" }\nheating = { output = \"40 kBtu/h\", tap = \"low\" }", 900},
		{"half way between two statics", "max-static = \"0.6 inwc\"\ncooling = { capacity = \"2 ton\", tap = \"high\" }", 830},
		{"below the table its first value", "max-static = \"0.2 inwc\"\ncooling = { capacity = \"2 ton\", tap = \"high\" }", 1000},
		{"above it its last", "max-static = \"0.9 inwc\"\ncooling = { capacity = \"2 ton\", tap = \"high\" }", 760},
	} {
		text := "title = \"test\"\n[equipment]\n" + c.equipment + `
filter  = { drop = "0.08 inwc", at = "800 cfm" }
coil    = { drop = "0.14 inwc", at = "800 cfm" }
` + blower + headRest + ducts
		g := graphOf(t, text)
		assert.InEpsilon(t, c.want, g.DesignAirflow/cfm, 1e-9, c.name)
	}
}

// Resistances by their rating: what the file says, and the catalogue's figure where it is silent.
func TestBuildRatings(t *testing.T) {
	g := graphOf(t, head+ducts)
	filter, coil := specs[*network.RatedSpec](g)[0], specs[*network.RatedSpec](g)[1]
	assert.InEpsilon(t, 0.08*inwc, filter.Drop, 1e-6)
	assert.InEpsilon(t, 800*cfm, filter.At, 1e-9)
	assert.Equal(t, 1.5, filter.Exponent, "between 1 (medium) and 2 (frame): from memory")
	assert.Equal(t, 1.0, filter.WetFactor, "a filter does not run wet")
	assert.Equal(t, 1.6, coil.Exponent, "our choice: mean of 1.41 to 1.88 of an unbranded sheet")
	assert.Equal(t, 1.25, coil.WetFactor, "trade range 1.2 to 1.5: from memory")
	assert.Equal(t, 1.0, coil.Factor)
	assert.Equal(t, 0.75, float64(g.Job.Equipment.Cooling.Sensible), "usual sensible heat ratio of residential cooling at rating: common practice")
}
