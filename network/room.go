package network

import "strings"

// RoomUse is what a room is for, as far as noise goes.
type RoomUse string

// The uses.
const (
	Bedroom RoomUse = "bedroom"
	Living  RoomUse = "living"
	Service RoomUse = "service" // kitchen, bath, hall, laundry
)

func roomUses() []string { return []string{string(Bedroom), string(Living), string(Service)} }

// What a room is taken for where the file does not say: a bedroom of 3.6 × 3.8 m under 8 ft with the pillow 5 ft from the register.
// Our choice, on the severe side.
const (
	DefaultRoomFloor = 3.6 * 3.8    // m²
	DefaultCeiling   = 8 * 0.3048   // m
	DefaultListener  = 5 * 0.3048   // m
	wallAllowance    = 0.5 * 0.3048 // m; what a high register keeps from the ceiling
)

// Hearing is a room as noise and jets need it, with every default filled in.
type Hearing struct {
	Name     string
	Use      RoomUse
	Floor    float64 // m²
	Ceiling  float64 // m
	Listener float64 // m from a register to a listener
	Target   float64 // NC that the job asks for, its own or its zone's; 0: none
}

// Volume of the room, m³.
func (h Hearing) Volume() float64 { return h.Floor * h.Ceiling }

// RoomOf is the room of a name and a zone, in the [room] table or not, with defaults where the job is silent. Without a name it is a
// living room.
func (j *Job) RoomOf(name, zone string) Hearing {
	h := Hearing{Name: name, Use: useByName(name), Floor: DefaultRoomFloor, Ceiling: DefaultCeiling, Listener: DefaultListener}
	for i := range j.Zones {
		if j.Zones[i].Name == zone {
			h.Target = j.Zones[i].NoiseTarget
		}
	}
	for i := range j.Rooms {
		r := &j.Rooms[i]
		if r.Name != name {
			continue
		}
		if r.Use != "" {
			h.Use = RoomUse(r.Use)
		}
		if r.Floor > 0 {
			h.Floor = float64(r.Floor)
		}
		if r.Ceiling > 0 {
			h.Ceiling = float64(r.Ceiling)
		}
		if r.Listener > 0 {
			h.Listener = float64(r.Listener)
		}
		if r.NoiseTarget > 0 {
			h.Target = r.NoiseTarget
		}
	}
	return h
}

// useByName guesses what a room is for from the words of its name: our choice of words.
func useByName(name string) RoomUse {
	words := strings.FieldsFunc(strings.ToLower(name), func(r rune) bool { return r < 'a' || r > 'z' })
	begins := func(word string, with ...string) bool {
		for _, w := range with {
			if strings.HasPrefix(word, w) {
				return true
			}
		}
		return false
	}
	for _, w := range words {
		if begins(w, "bed", "nursery", "guest", "sleep", "dorm") {
			return Bedroom
		}
	}
	for _, w := range words {
		if begins(w, "kitchen", "bath", "toilet", "wc", "hall", "laundry", "utility", "entry", "foyer", "corridor", "powder", "shower",
			"pantry", "garage", "workshop", "stair", "closet", "storage", "mud", "landing") {
			return Service
		}
	}
	return Living
}

// Patterns are the names of the ways in which a register may throw its air, those of the generic throw constants.
func Patterns() []string {
	return []string{
		"high sidewall", "high sidewall, wide", "high sidewall linear, core under 100 mm", "high sidewall linear, core over 100 mm",
		"low sidewall up", "low sidewall up, wide", "low sidewall up, straight",
		"baseboard up", "baseboard up, wide", "baseboard up, straight", "floor", "floor, wide", "floor, straight",
		"ceiling, all round", "ceiling, four-way", "ceiling slot", "ceiling slot, free", "ceiling slot, air curtain",
	}
}

// DefaultPattern is that of a register that does not say; its throw is printed but not judged.
const DefaultPattern = "floor"

// OutletHeight is how high a register of a pattern sits in a room, m, where the job does not say (our choice): in the floor, a foot up
// the wall, half a foot under the ceiling, or in the ceiling.
func OutletHeight(pattern string, ceiling float64) float64 {
	switch {
	case strings.HasPrefix(pattern, "high sidewall"):
		return ceiling - wallAllowance
	case strings.HasPrefix(pattern, "low sidewall"):
		return 2 * wallAllowance
	case strings.HasPrefix(pattern, "ceiling"):
		return ceiling
	}
	return 0
}

// RuleSets are the names of published rules that a job may ask for besides the usual limits.
func RuleSets() []string { return []string{"california zonal", "california gas furnace fan"} }
