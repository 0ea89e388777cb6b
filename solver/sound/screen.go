package sound

import (
	"math"

	"spillway/solver/sound/validity"
)

// AirWay is which way the air goes through an opening.
type AirWay uint8

const (
	// SupplyOpening blows into the room.
	SupplyOpening AirWay = iota
	// ReturnOpening draws from it.
	ReturnOpening
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

// TableLine is the straight piece of a table on which a value was read: between two printed rows, or an end piece that goes on.
type TableLine struct {
	Source           string
	FromAt, ToAt     float64 // velocity, m/s
	FromRead, ToRead float64 // criterion number
}

// ScreenLines are the pieces of the two tables on which Screen reads a velocity (m/s): Egan's and that of HVAC Applications.
func ScreenLines(way AirWay, velocity float64) (egan, applications TableLine) {
	way = min(way, ReturnOpening)
	return eganEdges[way].line(math.Abs(velocity), eganMethod), applicationsRows[way].line(math.Abs(velocity), applicationsMethod)
}

func (t *velocityTable) line(velocity float64, source string) TableLine {
	i := 1
	for i < t.rows-1 && velocity > t.velocity[i] {
		i++
	}
	return TableLine{source, t.velocity[i-1], t.velocity[i], t.number[i-1], t.number[i]}
}

func (t *velocityTable) span(of string) validity.Range {
	return validity.Range{Quantity: "velocity in the free area", Low: t.velocity[0], High: t.velocity[t.rows-1], Unit: "m/s", Of: of}
}

// eganEdges are the upper edges of the classes of Egan's table, the first its lower edge.
var eganEdges = [...]velocityTable{
	SupplyOpening: {[7]float64{250 * fpm, 300 * fpm, 350 * fpm, 425 * fpm, 500 * fpm, 575 * fpm, 650 * fpm}, [7]float64{15, 20, 25, 30, 35, 40, 45}, 7},
	ReturnOpening: {[7]float64{300 * fpm, 360 * fpm, 420 * fpm, 510 * fpm, 600 * fpm, 690 * fpm, 780 * fpm}, [7]float64{15, 20, 25, 30, 35, 40, 45}, 7},
}

// applicationsRows are the greatest velocities for a criterion.
var applicationsRows = [...]velocityTable{
	SupplyOpening: {[7]float64{1.8, 2.2, 2.5, 2.8, 3.2}, [7]float64{25, 30, 35, 40, 45}, 5},
	ReturnOpening: {[7]float64{2.2, 2.5, 3.0, 3.4, 3.8}, [7]float64{25, 30, 35, 40, 45}, 5},
}

const (
	eganMethod         = "Egan, Architectural Acoustics, velocities at registers and grilles"
	applicationsMethod = "ASHRAE HVAC Applications 2019, ch. 49, Table 9"
)

// ScreenUncertainty of a velocity table, NC: half the width of its classes. How far the two tables are apart comes on
// top and is in the Screening.
const ScreenUncertainty = 2.5

// Screening is what handbooks expect of an opening from its velocity alone.
type Screening struct {
	Egan         float64 // NC
	Applications float64 // RC, which for such noise reads as NC
}

// Low and High are the lower and the higher of the two tables.
func (s Screening) Low() float64  { return min(s.Egan, s.Applications) }
func (s Screening) High() float64 { return max(s.Egan, s.Applications) }

// Screen reads the criterion number that goes with a velocity (m/s) in the FREE area of a register or grille from two
// published tables of velocities for outlets without noise data. In fpm:
//
//	NC                15–20    20–25    25–30    30–35    35–40    40–45     Egan (free openings, lined duct)
//	supply          250–300  300–350  350–425  425–500  500–575  575–650
//	return          300–360  360–420  420–510  510–600  600–690  690–780
//
// and in m/s:
//
//	RC                   25   30   35   40   45     ASHRAE HVAC Applications 2019, ch. 49, Table 9
//	supply              1.8  2.2  2.5  2.8  3.2
//	return              2.2  2.5  3.0  3.4  3.8
//
// M. D. Egan, Architectural Acoustics, "Recommended Air Velocities at Registers and Grilles". Straight lines between the
// edges of the classes; beyond a table its last line goes on, with a note, down to a finite (meaningless, inaudible)
// number at rest. The tables know nothing of size or pressure and allow for ordinary bad entries.
func Screen(way AirWay, velocity float64) (Screening, []validity.Note, error) {
	in := inputs{of: "an opening"}
	in.within("velocity", math.Abs(velocity), 0, mostFlow, " m/s")
	in.within("way of the air", float64(way), 0, 1, "")
	if in.err != nil {
		return Screening{}, nil, in.err
	}
	velocity = math.Abs(velocity)
	egan, applications := &eganEdges[way], &applicationsRows[way]
	notes := egan.span(eganMethod).Flag(nil, velocity)
	notes = applications.span(applicationsMethod).Flag(notes, velocity)
	return Screening{Egan: egan.at(velocity), Applications: applications.at(velocity)}, notes, nil
}
