package network

import (
	"spillway/network/diag"
	"spillway/network/quantity"
)

// Readings are what somebody measured on an installation: a small file beside the job file.
//
//	state = "cooling: bedrooms"          # of every reading that does not name its own
//
//	[reading]
//	before-blower = { at = "blower inlet",  static = "-0.33 inwc" }
//	after-blower  = { at = "blower outlet", static = "0.44 inwc" }
//	roaring       = { at = "bed-2", airflow = "96 cfm", with = "flow hood" }
//	filter-drop   = { across = "filter", drop = "0.21 inwc", sigma = "0.01 inwc" }
//
// ReadReadings checks them against the installation, so that every reading here has a place and a call state that exist.
type Readings struct {
	Note string
	// Units is the system of bare numbers: the file's own or the job's.
	Units quantity.System
	List  []Reading
	// Outdoor is the temperature outdoors when the readings were taken, °C; nil: as the job has it.
	Outdoor *float64
}

// ReadingKind is what a reading measures.
type ReadingKind string

// The kinds of reading; the word is the key of the readings file.
const (
	StaticReading      ReadingKind = "static"        // Pa against the house, at a node, port or end of a line
	TotalReading       ReadingKind = "total"         // Pa, facing the air
	DropReading        ReadingKind = "drop"          // Pa: static before less static behind, across a part or between two places; of the blower its rise
	AirflowReading     ReadingKind = "airflow"       // m³/s of standard air, out of a register, into a grille or through a part
	FaceReading        ReadingKind = "face-velocity" // m/s, actual, mean over the gross face
	TemperatureReading ReadingKind = "temperature"   // °C of the air at a register or place
	RiseReading        ReadingKind = "rise"          // K from before the blower to the supply plenum; in cooling a drop is negative
	SoundReading       ReadingKind = "sound"         // dB(A) in a room
	WattsReading       ReadingKind = "watts"         // W, electric, of the blower
)

// Reading is one measured value.
type Reading struct {
	Name  string
	State string // name of the call state, as the installation has it
	Kind  ReadingKind
	Place Spot
	Value float64 // SI
	// Sigma is the standard uncertainty, SI: the file's own, else by the instrument.
	Sigma      float64
	SigmaGiven bool
	Instrument Instrument
	// Where the reading stands in its file.
	Where diag.Diagnostic
}

// Spot is a place in a graph where something can be read. Indices that do not apply are −1.
type Spot struct {
	Name     string // as people say it: "bed-2 register", "blower inlet", "across the filter"
	Node     int    // static, total, temperature; of a drop the place before
	Start    int    // element at whose beginning the static is meant rather than at Node: its velocity pressure is taken off
	Element  int    // airflow, face velocity; of a drop the part
	Register int    // index into Graph.Registers
	Room     string
	Port     bool // a port of the job, which may bear the name of another place
	// Behind is the second place of a drop between two places; nil across a part.
	Behind *Spot
}
