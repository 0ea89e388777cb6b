package sound

import (
	"math"

	"spillway/solver/sound/validity"
)

// fpm is a foot per minute in m/s; the older table was printed in it.
const fpm = 0.00508

// velocityTable is a criterion number against the velocity at which it is reached.
type velocityTable struct {
	velocity, number [7]float64
	rows             int
}

// at interpolates by straight lines and goes on with the end lines.
func (t *velocityTable) at(velocity float64) float64 {
	i := 1
	for i < t.rows-1 && velocity > t.velocity[i] {
		i++
	}
	share := (velocity - t.velocity[i-1]) / (t.velocity[i] - t.velocity[i-1])
	return t.number[i-1] + share*(t.number[i]-t.number[i-1])
}

func (t *velocityTable) span(of string) validity.Range {
	return validity.Range{Quantity: "velocity", Low: t.velocity[0], High: t.velocity[t.rows-1], Unit: "m/s", Of: of}
}

// DuctPlace is where a main duct runs.
type DuctPlace uint8

const (
	// InShaft is in a shaft or above a drywall ceiling.
	InShaft DuctPlace = iota
	// AboveTiles is above a lay-in ceiling.
	AboveTiles
	// Exposed is inside the room.
	Exposed
)

// DuctRun is how far along a duct is: noise rules allow less velocity the nearer the room.
type DuctRun uint8

const (
	// MainRun is a main duct.
	MainRun DuctRun = iota
	// BranchRun is a branch, 80 % of a main's velocity.
	BranchRun
	// FinalRun is the last run to an outlet, 50 %.
	FinalRun
)

var runShare = [...]float64{MainRun: 1, BranchRun: 0.8, FinalRun: 0.5}

// ductRows are the greatest velocities of main ducts for RC 25, 35 and 45, by place, rectangular then round.
var ductRows = [...][2]velocityTable{
	InShaft:    {mainDuct(1700, 2500, 3500), mainDuct(2500, 3500, 5000)},
	AboveTiles: {mainDuct(1200, 1750, 2500), mainDuct(2000, 3000, 4500)},
	Exposed:    {mainDuct(950, 1450, 2000), mainDuct(1700, 2600, 3900)},
}

func mainDuct(rc25, rc35, rc45 float64) velocityTable {
	return velocityTable{[7]float64{rc25 * fpm, rc35 * fpm, rc45 * fpm}, [7]float64{25, 35, 45}, 3}
}

// ScreenDuct reads the RC number that goes with the velocity (m/s) in a duct. Main ducts, fpm:
//
//	                     rectangular          round
//	RC                   25    35    45       25    35    45
//	shaft, drywall     1700  2500  3500     2500  3500  5000
//	lay-in ceiling     1200  1750  2500     2000  3000  4500
//	exposed             950  1450  2000     1700  2600  3900
//
// and a branch 80 %, a final run 50 % of them. ASHRAE's table of duct velocity against noise (reprint, edition unknown).
// Straight lines between; beyond the table its end lines go on, with a note. House ducts are far below it.
func ScreenDuct(place DuctPlace, run DuctRun, round bool, velocity float64) (float64, []validity.Note, error) {
	in := inputs{of: "a duct"}
	in.within("velocity", math.Abs(velocity), 0, mostFlow, " m/s")
	in.within("place", float64(place), 0, float64(len(ductRows)-1), "")
	in.within("run", float64(run), 0, float64(len(runShare)-1), "")
	if in.err != nil {
		return 0, nil, in.err
	}
	shape := 0
	if round {
		shape = 1
	}
	table := &ductRows[place][shape]
	asMain := math.Abs(velocity) / runShare[run]
	span := table.span("duct velocity against noise (ASHRAE, reprint)")
	span.Quantity = "velocity, as of a main duct"
	return table.at(asMain), span.Flag(nil, asMain), nil
}
