package jet

import (
	"fmt"
	"math"

	"spillway/solver/sound/validity"
)

// Register is an outlet in its room.
type Register struct {
	Pattern Pattern
	Flow    float64 // m³/s
	Area    float64 // m², core or neck as Pattern.Area says
	Drop    float64 // static pressure across the outlet, Pa; for Separation only
	Air     Air
	Reach   float64 // m, to the opposite wall or half way to the next register
	Height  float64 // m, of the outlet above the floor
	Ceiling float64 // m, height of the room
	// Away tells that a sidewall register sits too far under the ceiling to cling to it.
	Away bool
	// WantedFlow is the design flow, m³/s, or 0 when there is none; under a tenth of it the generic constants mean little.
	WantedFlow float64
	// WallArea is the cross-section of the room that the jet faces, m², or 0; past 1.5 √A the walls squeeze the jet.
	WallArea float64
}

// Dumping is why cold air falls into the room instead of crossing it.
type Dumping uint8

const (
	// Separates: the jet leaves the ceiling before half the reach.
	Separates Dumping = 1 << iota
	// Falls: the free jet is down among people at three quarters of the reach.
	Falls
	// Dies: the throw to 0.25 m/s is under half the reach.
	Dies
)

// String names the reasons.
func (d Dumping) String() string {
	text := ""
	for i, reason := range [...]string{"leaves the ceiling early", "falls among people", "dies before half the room"} {
		if d&(1<<i) != 0 {
			if text != "" {
				text += ", "
			}
			text += reason
		}
	}
	return text
}

// End is what a jet meets before it has slowed to 0.25 m/s.
type End uint8

const (
	// Nothing: it dies in the room.
	Nothing End = iota
	// AtCeiling: a jet that starts upwards turns along the ceiling.
	AtCeiling
	// AtWall: a horizontal jet reaches the far wall.
	AtWall
	// AtFloor: a jet from the ceiling reaches the floor.
	AtFloor
)

// String returns the word for what the jet meets, "" for nothing.
func (e End) String() string { return [...]string{"", "ceiling", "wall", "floor"}[e] }

// Ending returns the throws cut off at what is in the way.
func (a *Assessment) Ending() Throws {
	if a.End == Nothing {
		return a.Throws
	}
	return Throws{min(a.Throws.T075, a.Way), min(a.Throws.T050, a.Way), min(a.Throws.T025, a.Way)}
}

// Assessment is what the air of a register does in one state.
type Assessment struct {
	Idle       bool    // no flow: nothing is thrown, nothing dumps, nothing is felt
	Velocity   float64 // m/s at the outlet
	Throws     Throws  // m, with the pattern, the ceiling and, for vertical jets, the temperature; as if nothing were in the way
	End        End     // what the jet meets before it has slowed to 0.25 m/s
	Way        float64 // m, from the outlet to what may be in the way
	EndSpeed   float64 // m/s there, K Q/(X √A_o) at X = Way; 0 where the jet meets nothing
	Beyond     int     // as Air.Beyond
	ThrowRatio float64 // T025 over Reach
	Short      bool    // ThrowRatio under the pattern's window, as at bleed flow
	Long       bool    // over it: the jet strikes the far wall
	Archimedes float64 // with √A_o
	Drop       float64 // m, of the jet as if free, at 0.75 of the reach
	Separation float64 // m, where a jet along the ceiling leaves it
	Dumping    Dumping // why it dumps; 0 for a jet that does not
	Entry      Draught // where the jet first comes among people
	Notes      []validity.Note
}

var turndown = validity.Range{Quantity: "flow over design flow", Low: 0.1, High: 2, Of: "generic throw constants (range ours)"}

// freeRoom is the share of √A_room up to which a jet is free (ASHRAE Fundamentals, ch. 20).
const freeRoom = 1.5

// Outlet of the register, with its generic constant, shortened when a jet that should cling is away from the ceiling.
func (r Register) Outlet() Outlet {
	k := r.Pattern.K
	if r.Pattern.Attached && r.Away {
		k *= FreeShare
	}
	return Outlet{Flow: r.Flow, Area: r.Pattern.EffectiveArea(r.Area), K: k}
}

// Assess puts throw, drop and draught of the register together.
//
// It dumps, when the air is colder than the room and the jet horizontal (our rule), if
//
//	x_s < 0.5 L                          along a ceiling
//	drop at 0.75 L > height − 1.8 m      free
//	T025 < 0.5 L                         either
//
// L the reach. A floor register cannot dump; its Short says that it does not reach. The entry, where draught is judged,
// is where the jet first comes under 1.8 m (our rule): for a free cold jet where it has fallen so far; for a jet along the
// ceiling a fall's length after it separates; else after crossing the room and coming down the far wall; a jet from the
// floor goes up, across and down.
func (r Register) Assess() (Assessment, error) {
	outlet := r.Outlet()
	if err := r.check(outlet); err != nil {
		return Assessment{}, err
	}
	size := math.Sqrt(outlet.Area)
	a := Assessment{
		Idle:       r.Flow == 0,
		Velocity:   outlet.Velocity(),
		Throws:     outlet.Throws().times(r.Air.VerticalFactor(r.Pattern.Direction)),
		Archimedes: r.Air.Archimedes(outlet.Velocity(), size),
		Drop:       r.Air.DropAt(outlet, 0.75*r.Reach),
		Separation: r.Air.Separation(outlet, r.Drop),
	}
	a.ThrowRatio = a.Throws.T025 / r.Reach
	a.Beyond = r.Air.Beyond(r.Pattern.Direction)
	var meets End
	meets, a.Way = r.ahead()
	if a.Throws.T025 > a.Way {
		a.End, a.EndSpeed = meets, outlet.VelocityAt(a.Way)
	}
	if !a.Idle {
		a.Short = a.ThrowRatio < r.Pattern.WindowLow
		a.Long = a.ThrowRatio > r.Pattern.WindowHigh
		a.Dumping = r.dumping(a)
	}
	a.Entry = r.Air.DraughtAt(outlet, r.entry(outlet, a.Separation))

	if r.Pattern.Direction == Horizontal { // past the range of a vertical jet's correction Beyond says so
		a.Notes = temperatureDifference.Flag(nil, r.Air.Difference())
	}
	if r.WantedFlow != 0 {
		a.Notes = turndown.Flag(a.Notes, math.Abs(r.Flow/r.WantedFlow))
	}
	if r.WallArea > 0 {
		span := validity.Range{Quantity: "throw to 0.25 m/s", High: freeRoom * math.Sqrt(r.WallArea), Unit: "m",
			Of: "jets free of the room's walls (ASHRAE Fundamentals, ch. 20)"}
		a.Notes = span.Flag(a.Notes, a.Throws.T025)
	}
	return a, nil
}

// ahead returns what the jet meets if it carries so far, and the way there, m.
func (r Register) ahead() (End, float64) {
	switch r.Pattern.Direction {
	case Up:
		return AtCeiling, max(r.Ceiling-r.Height, 0)
	case Down:
		return AtFloor, r.Height
	}
	return AtWall, r.Reach
}

func (r Register) attached() bool { return r.Pattern.Attached && !r.Away }

func (r Register) dumping(a Assessment) (why Dumping) {
	if r.Air.Difference() >= 0 || r.Pattern.Direction != Horizontal {
		return 0
	}
	if r.attached() && a.Separation < 0.5*r.Reach {
		why |= Separates
	}
	if !r.attached() && a.Drop > r.Height-OccupiedHeight {
		why |= Falls
	}
	if a.Throws.T025 < 0.5*r.Reach {
		why |= Dies
	}
	return why
}

// entry is the length of the jet from the outlet to where people are, m.
func (r Register) entry(outlet Outlet, separation float64) float64 {
	fall := max(r.Height-OccupiedHeight, 0)
	switch {
	case r.Pattern.Direction == Up:
		return max(r.Ceiling-r.Height, 0) + r.Reach + max(r.Ceiling-OccupiedHeight, 0)
	case r.Pattern.Direction == Down:
		return fall
	case r.attached():
		return min(separation, r.Reach) + fall
	}
	return min(r.Air.fallDistance(outlet, fall), r.Reach+fall)
}

func (r Register) check(outlet Outlet) error {
	if err := outlet.Check(); err != nil {
		return err
	}
	for _, c := range []struct {
		name      string
		value     float64
		low, high float64
	}{
		{"pressure drop", math.Abs(r.Drop), 0, 1e6},
		{"supply temperature", r.Air.Supply, -100, 200},
		{"room temperature", r.Air.Room, -100, 100},
		{"reach", r.Reach, 1e-3, 1e5},
		{"height", r.Height, 0, 1e4},
		{"ceiling", r.Ceiling, 0, 1e4},
		{"design flow", math.Abs(r.WantedFlow), 0, 1e5},
		{"wall area", r.WallArea, 0, 1e8},
	} {
		if !(c.value >= c.low && c.value <= c.high) {
			return fmt.Errorf("jet: %s must lie between %g and %g, not %g", c.name, c.low, c.high, c.value)
		}
	}
	return nil
}
