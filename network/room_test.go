package network

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network/quantity"
)

const hearingJob = `
[weather]
summer = { mode = "cooling", outdoor = "93 F", indoor = "75 F" }
[equipment]
cooling = { capacity = "2 ton", tap = "high" }
blower  = { table = "generic psc 2 ton" }
filter  = { drop = "0.1 inwc", at = "800 cfm", size = "20x25 in" }
coil    = { drop = "0.2 inwc", at = "800 cfm" }
[zone]
up   = { damper = "up", noise-target = 28 }
down = { damper = "down" }
[damper]
up   = { size = "10 in" }
down = { size = "10 in" }
[supply]
to-up   = { from = "supply plenum", size = "10 in", length = "12 ft", damper = "up", lined = "1 in", register = { size = "12x6 in", pattern = "high sidewall", height = "7 ft", reach = "13 ft", noise = { nc = 24, at = "300 cfm" } }, room = "loft bed", wants = "300 cfm" }
to-down = { from = "supply plenum", size = "10 in flex", length = "12 ft", damper = "down", register = "12x8 in", room = "kitchen", wants = "400 cfm" }
[return]
back = { to = "return plenum", size = "14 in", length = "6 ft", grille = { size = "20x20 in", noise = { nc = 30, at = "700 cfm" } }, room = "hall" }
[room]
"loft bed" = { zone = "up", floor = "160 ft2", ceiling = "9 ft", listener = "6 ft" }
kitchen    = { use = "living", noise-target = 33 }
[limits]
max-static = ["0.4 inwc", "0.5 inwc"]
supply-face-velocity = 600
bedroom-noise = [26, 31]
rules = ["california zonal"]
`

func TestHearingKeys(t *testing.T) {
	job, found := Read("hearing.toml", []byte(hearingJob), Options{})
	require.NotNil(t, job, "%v", found)
	assert.Empty(t, found)

	r := job.Supply[0].Register
	assert.Equal(t, "high sidewall", r.Pattern)
	assert.InDelta(t, 7*0.3048, float64(*r.Height), 1e-12)
	assert.InDelta(t, 13*0.3048, float64(r.Reach), 1e-12)
	assert.InDelta(t, 24, r.Noise.NC, 0)
	assert.InDelta(t, 300*quantity.CFM, float64(r.Noise.At), 1e-12)
	assert.InDelta(t, 0.0254, float64(job.Supply[0].Lined), 1e-12)
	assert.InDelta(t, 30, job.Return[0].Grille.Noise.NC, 0)
	assert.InDelta(t, 20*25*0.0254*0.0254, job.Equipment.Filter.Size.Area(), 1e-12)
	assert.Equal(t, []quantity.Velocity{600 * quantity.FPM}, job.Limits.SupplyFace)
	assert.Len(t, job.Limits.MaxStatic, 2)
	assert.Equal(t, []float64{26, 31}, job.Limits.BedroomNoise)
	assert.Equal(t, []string{"california zonal"}, job.Limits.Rules)

	bed := job.RoomOf("loft bed", "up")
	assert.Equal(t, Bedroom, bed.Use)
	assert.InDelta(t, 9*0.3048, bed.Ceiling, 1e-12)
	assert.InDelta(t, 6*0.3048, bed.Listener, 1e-12)
	assert.InDelta(t, 28, bed.Target, 0, "the zone's target")
	assert.InDelta(t, 160*0.3048*0.3048*9*0.3048, bed.Volume(), 1e-9)
	kitchen := job.RoomOf("kitchen", "down")
	assert.Equal(t, Living, kitchen.Use, "said so, whatever the name")
	assert.InDelta(t, 33, kitchen.Target, 0)
	assert.InDelta(t, DefaultRoomFloor*DefaultCeiling, kitchen.Volume(), 1e-12)

	// What was not said is in the log.
	log := map[string]string{}
	for _, a := range job.Assumptions {
		log[a.Path] = a.Value
	}
	assert.Equal(t, "service", log["room.hall.use"])
	assert.NotContains(t, log, `room."loft bed".ceiling`)
	assert.Equal(t, "8.0 ft", log["room.kitchen.ceiling"])
	assert.NotContains(t, log, "room.kitchen.use")
}

// What a room is for goes by the words of its name (our choice of words).
func TestUseOfARoomByItsName(t *testing.T) {
	for name, use := range map[string]RoomUse{
		"bed 2": Bedroom, "Main Bedroom": Bedroom, "loft-bed": Bedroom, "guest room": Bedroom, "nursery": Bedroom, "bed hall": Bedroom,
		"kitchen": Service, "loft bath": Service, "hall": Service, "laundry": Service, "entry": Service,
		"living": Living, "den": Living, "study": Living, "": Living, "hobbies": Living,
	} {
		assert.Equal(t, use, useByName(name), name)
	}
}

func TestOutletHeightStaysInTheRoom(t *testing.T) {
	for _, p := range Patterns() {
		h := OutletHeight(p, DefaultCeiling)
		assert.GreaterOrEqual(t, h, 0.0, p)
		assert.LessOrEqual(t, h, DefaultCeiling, p)
	}
	assert.InDelta(t, DefaultCeiling, OutletHeight("ceiling slot", DefaultCeiling), 0)
	assert.Greater(t, OutletHeight("high sidewall", DefaultCeiling), 2.0)
	assert.Zero(t, OutletHeight("floor", DefaultCeiling))
}
