package state

import (
	"spillway/solver/sound"
	"spillway/solver/sound/jet"
	"spillway/solver/sound/validity"
)

// Noise is what is heard of one register or grille at the listener.
type Noise struct {
	NC      float64 // central estimate, by the pressure drop or the maker's rating; under 15 an extrapolation
	NCBelow bool    // under the lowest curve: print "<15"
	Band    float64 // Hz, the octave that governs NC
	DBA     float64 // dB(A) at the listener

	OutletNC  float64 // of the outlet alone
	DuctNC    float64 // of what comes down the duct from dampers and take-offs alone
	Catalogue float64 // NC in the 10 dB room of makers' sheets

	NCLow, NCHigh float64 // the band about NC: sound.EstimateBand, or sound.RatingBand for a rated outlet
	Rated         bool    // NC follows from the maker's rating
	// From is the element that is heard most in the band that governs NC: the register or grille itself, or the damper
	// or takeoff upstream that is louder.
	From int

	Power      sound.Spectrum // dB re 1 pW, all that leaves the opening
	Levels     sound.Spectrum // dB re 20 µPa at the listener
	NoiseNotes []validity.Note
}

// Jet is what the air of one register does in its room. Lengths are m; NaN where no air comes out.
type Jet struct {
	Pattern      string
	PatternGiven bool    // by the job; otherwise nothing should be concluded
	Throw        float64 // to 0.25 m/s (50 fpm), or to what is in the way
	Throw050     float64 // to 0.50 m/s, likewise
	Throw075     float64 // to 0.75 m/s, likewise
	FreeThrow    float64 // to 0.25 m/s as if nothing were in the way: the path along ceiling or wall included
	ThrowEnd     jet.End // what the jet meets before it has slowed to 0.25 m/s
	EndSpeed     float64 // m/s there; NaN where it meets nothing
	Beyond       int     // past the range of the temperature's correction: 1 it reaches farther than printed, -1 less far
	Reach        float64 // how far it should carry
	LeastThrow   float64 // share of Reach under which FreeThrow is short for this pattern
	Short        bool    // FreeThrow is short of that, as at bleed flow
	Long         bool    // the jet strikes the far wall
	Horizontal   bool
	Attached     bool    // along the ceiling, while it is fast enough
	Separation   float64 // where a jet along the ceiling leaves it
	JetDrop      float64 // of the jet as if free, at three quarters of Reach
	Clearance    float64 // height of the outlet above the heads of people (1.8 m)
	Dumping      jet.Dumping
	Draught      jet.Draught // where the jet first comes among people
	JetNotes     []validity.Note
}

// Grille is what is heard of one return grille.
type Grille struct {
	Element int
	Noise
}

// Room is the noise in one room: everything that opens into it, added at one listener at the same distance from each.
type Room struct {
	Name      string // of the room; of the line, where a line names no room
	Zone      string
	Registers []int // indices into Registers
	Grilles   []int // indices into Grilles
	NC        float64
	NCBelow   bool
	Band      float64 // Hz
	DBA       float64
	RC        sound.RC
	// NCLow and NCHigh are the band about NC: that of its openings, each by its share of the sound.
	NCLow, NCHigh float64
	Loudest       string  // line of the opening with the highest NC
	From          int     // the element heard most of that opening, as Noise.From
	FaceVelocity  float64 // m/s, of that opening
	Levels        sound.Spectrum
}
