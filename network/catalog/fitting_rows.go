package catalog

// flushEntry is the loss of a duct that begins flush with a wall: Idelchik, diagram 3-1.
const flushEntry = 0.50

const entryTable = "Principles of HVAC, 9th ed., fitting supplement (Idelchik, diagram 3-1)"

// Sources of the fittings that are named with their sizes.
const (
	smoothSource  = ductManual + ", Table A (round), and " + radiusTable
	goredSource   = ductManual + ", Table B; seven pieces: " + handbook09
	pleatedSource = handbook09
	mitredSource  = ductManual + ", Tables C and D"
	vanedSource   = "square corner with vanes: single-thickness 0.11 to 0.33 by spacing, ranked by a laboratory's design guide"
	flexSource    = "pleated elbow of " + handbook09 + ", the nearest printed thing; flexible elbows have no open table"
	changeSource  = "narrowing: duct design manual of 1990, Table 14-12; widening: Borda-Carnot and Rennels, Pipe Flow (seen second-hand)"
	mouthSource   = "standing free: " + entryTable + "; in a wall: Swamee (seen second-hand)"
	screenSource  = "Idelchik, diagram 8-6, wire screen"
	plateSource   = "Idelchik, thin sharp plate; agrees within 10 % with his published thick-edged form, diagram 4-15"
)

// fixedFittings have one coefficient on the velocity pressure of the duct they are named on.
var fixedFittings = []Fitting{
	{Row: Row{Name: "boot 90", Aliases: []string{"boot", "register boot", "90 boot", "end boot"}, Source: ourChoice("mitred round elbow 1.2 and a widening into the box; no open table is known, diffusers and bad geometry at most double it to fivefold it (LBNL-49700, abstract)")}, Loss: 1.3},
	{Row: Row{Name: "capped wye", Aliases: []string{"capped wye 45", "capped tee"}, Source: published("Handbook of Fundamentals 2021 (SI), chapter 21, Example 9: capped 45-degree wye with elbow, equal areas")}, Loss: 0.61},
	{Row: Row{Name: "end cap", Aliases: []string{"cap"}, Source: ourChoice("no loss of its own: the air does not pass it")}, Loss: 0},
	{Row: Row{Name: "exit", Aliases: []string{"exit to room", "exit to plenum", "plenum entry", "return plenum entry"}, Source: published("all velocity pressure lost, Handbook of Fundamentals 2021 (SI), chapter 21, Example 9; leave it out before a register, whose loss includes it")}, Loss: 1.0},
	{Row: Row{Name: "flush entry", Aliases: []string{"entry"}, Source: published(entryTable + ", wall thickness 0 or more, no projection")}, Loss: flushEntry},
	{Row: Row{Name: "plenum takeoff", Aliases: []string{"start collar", "takeoff", "plenum collar"}, Source: published("textbook of duct examples, abrupt exit from a plenum into a round duct")}, Loss: 0.85},
	{Row: Row{Name: "projecting entry", Source: published(entryTable + ", thin wall, projection of half a diameter and more")}, Loss: 1.0},
	{Row: Row{Name: "straight boot", Aliases: []string{"boot straight", "in-line boot"}, Source: ourChoice("gradual widening of 30 degrees to twice the area, Rennels 0.20; no open table is known")}, Loss: 0.20},
}

// fittingNames are the names to suggest: every kind once or twice, with the numbers that are usual.
var fittingNames = []string{
	"abrupt transition",
	"bellmouth",
	"boot 90",
	"capped wye",
	"elbow 30 smooth",
	"elbow 45 flex",
	"elbow 45 gored",
	"elbow 45 mitred",
	"elbow 45 pleated",
	"elbow 45 smooth",
	"elbow 60 smooth",
	"elbow 90 3-piece",
	"elbow 90 4-piece",
	"elbow 90 5-piece",
	"elbow 90 7-piece",
	"elbow 90 double vanes",
	"elbow 90 flex",
	"elbow 90 gored",
	"elbow 90 mitred",
	"elbow 90 pleated",
	"elbow 90 smooth",
	"elbow 90 smooth easy way",
	"elbow 90 smooth hard way",
	"elbow 90 smooth r0.75",
	"elbow 90 smooth r1.0",
	"elbow 90 stamped",
	"elbow 90 vanes",
	"end cap",
	"exit",
	"flush entry",
	"orifice 50%",
	"plenum takeoff",
	"projecting bellmouth",
	"projecting entry",
	"screen 70%",
	"straight boot",
	"transition",
	"transition 60",
}
