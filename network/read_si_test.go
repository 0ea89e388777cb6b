package network

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"spillway/network/quantity"
	"spillway/network/section"
)

// Bare numbers in an SI file are m for runs, mm for sizes, l/s, Pa, °C, K, W and m².
func TestBareNumbersInSI(t *testing.T) {
	job := read(t, `
units = "si"
site.elevation = 250
[equipment]
cooling = { capacity = 7000, tap = "high" }
heating = { output = 12000, rise = [20, 35], leaving-limit = 77, tap = "medium" }
blower  = { table = "generic psc 2 ton" }
max-static = 125
filter  = { drop = 20, at = 380 }
coil    = { drop = 35, at = 380 }
[weather]
hot = { mode = "cooling", outdoor = 34, indoor = 24, humidity = 50 }
[zone]
all = { wants = 300, floor = 120, damper = "all" }
[damper]
all = { stop = 25 }
[supply]
trunk = { from = "supply plenum", size = 300, length = 6, damper = "all", insulation = 1.4 }
room  = { from = "trunk", size = 200, length = 4, rise = -1.5, register = "300x150", wants = 300 }
[return]
drop  = { to = "return plenum", grille = "500x400", size = "400x300", length = 3.5 }
[leakage]
supply = "12 at 25"
[room]
study = { zone = "all", door = { undercut = 12, width = 800 } }
[limits]
supply-face-velocity = 3
`, Options{})
	assert.Equal(t, quantity.SI, job.Units)
	assert.Equal(t, quantity.Length(250), job.Site.Elevation)
	assert.Equal(t, quantity.Heat(7000), job.Equipment.Cooling.Capacity)
	assert.Equal(t, []quantity.TemperatureSpan{20, 35}, job.Equipment.Heating.Rise)
	assert.Equal(t, quantity.Temperature(77), *job.Equipment.Heating.LeavingLimit)
	assert.Equal(t, quantity.Pressure(125), job.Equipment.MaxStatic)
	assert.Equal(t, quantity.Temperature(34), *job.Weather[0].Outdoor)
	assert.InDelta(t, 0.5, float64(job.Weather[0].Humidity), 1e-15)
	assert.InDelta(t, 0.3, float64(job.Zones[0].Wants), 1e-15)
	assert.Equal(t, quantity.Area(120), job.Zones[0].Floor)
	assert.Equal(t, Position(0.25), job.Dampers[0].Stop)
	assert.Equal(t, quantity.Insulation(1.4), job.Supply[0].Insulation)
	assert.Equal(t, section.NewRound(0.3), job.Supply[0].Size.Section)
	assert.Equal(t, quantity.Length(-1.5), job.Supply[1].Rise)
	assert.Equal(t, section.NewRectangular(0.3, 0.15), job.Supply[1].Register.Size)
	assert.InDelta(t, 0.012, float64(job.Leakage.Supply.Airflow), 1e-15)
	assert.Equal(t, quantity.Pressure(25), job.Leakage.Supply.At)
	assert.InDelta(t, 0.012, float64(job.Rooms[0].Door.Undercut), 1e-15)
	assert.Equal(t, []quantity.Velocity{3}, job.Limits.SupplyFace)
}
