// Package network says what is installed: it reads a job file into plain types, checks it and builds the graph of nodes and
// elements that a solver works on.
//
// All quantities are SI inside (units converts at the edge). The package does no physics and no drawing, opens no files
// (callers hand it bytes and a name) and imports nothing of Spillway but its own sub-packages.
package network

import (
	"cmp"
	"fmt"
	"iter"
	"slices"

	"spillway/network/quantity"
	"spillway/network/section"
)

// Job is one installation as its job file describes it. The toml tags are the words of the file; a named table
// ([supply] with one line per run) becomes a slice in file order whose elements carry their Name.
//
// A zero value means "not given" unless a field's comment says otherwise; pointers are used where zero is a meaning of its own.
//
// A Job from Read without an Error keeps these promises, so that its users need not ask again:
//
//   - Names are unique among lines (of all four tables) and boxes, and none is a name of the program's own. Every name that is
//     referred to exists.
//   - Every supply and dump line has a From that leads to the supply plenum without a circle, and ends in a register, in a box or in
//     further lines. Every return line has a To that leads to the return plenum, and begins with a grille, in a box (From) or with
//     lines that lead into it; a From that names another return line has been turned into that line's To. A bypass has both. At
//     lies within the parent's length.
//   - Every line has a Size that passes Check, a Material (the catalogue's own name) and a Place; flexible lines are round and have
//     their Compression.
//   - There is a blower, in the catalogue or as a table with rising statics. Every Machine has at least one Stage, lowest first;
//     every stage has its capacity or output, and a Tap that the blower has. There is Weather for every Machine, with Outdoor,
//     Indoor and SupplyAir.
//   - Every zone has a damper that sits in a line, a register and Wants. Every register of a supply line has a Zone and Wants; a dump
//     line's register has no Wants. Lines behind a zone's damper have its Zone.
//   - Every damper has its Drive, and one that sits in a line a Size; set dampers have a Blade and a Leakage, weighted ones OpensAt and
//     FullyOpenAt or Arm, pressure-holding ones Holds and Band.
//   - All numbers are finite and within the bounds of limits.go.
type Job struct {
	// Title is what reports and pages are headed with.
	Title string `toml:"title"`
	// Note is for people; nothing reads it.
	Note  string          `toml:"note"`
	Units quantity.System `toml:"units"` // "ip" (default) or "si": the system of bare numbers and of the printed results
	// Site is where the job stands.
	Site    Site      `toml:"site"`
	Weather []Weather `toml:"weather"` // outdoor and indoor conditions; each gives a set of call states
	// Equipment is the machine and what is rated with it.
	Equipment Equipment    `toml:"equipment"`
	Blower    *BlowerTable `toml:"blower"` // a table of one's own instead of a catalogue row
	// Panel is what the zone panel does; it may be left out.
	Panel Panel `toml:"panel"`
	// Thermostat is how every thermostat measures and switches, in "spillway day" and "year".
	Thermostat Thermostat `toml:"thermostat"`
	Between    []Between  `toml:"between"` // air that zones exchange by themselves
	// Year is the weather of a year in a few numbers.
	Year Year `toml:"year"`
	// Zones are the thermostats and what each governs.
	Zones []Zone `toml:"zone"`
	// Dampers are all dampers with a name, zone dampers and others.
	Dampers []Damper `toml:"damper"`
	// Boxes are still-air chambers between lines.
	Boxes []Box `toml:"box"`
	// Supply are the runs from the supply plenum to the registers.
	Supply []Line `toml:"supply"`
	// Return are the runs from the grilles to the return plenum.
	Return []Line `toml:"return"`
	// Bypass are runs from the supply side to the return side.
	Bypass []Line `toml:"bypass"`
	// Dump are runs that let surplus air into a room.
	Dump []Line `toml:"dump"`
	// Rooms are rooms with a door, a noise target or loads of their own.
	Rooms []Room `toml:"room"`
	// Leakage is that of the ducts and of the house.
	Leakage Leakage `toml:"leakage"`
	// Ports are where static pressure is read.
	Ports []Port `toml:"port"`
	// Limits are the job's own, instead of the defaults of the checks.
	Limits Limits      `toml:"limits"`
	Spread []Tolerance `toml:"spread"` // how sure the inputs are

	Choose []Choice `toml:"choose"` // what one may set

	// Doubts are the values that the file does not know exactly, by path, in file order.
	Doubts []Doubt `toml:"-"`

	// Alternatives are the names of the override sets of the file, in file order, with their notes.
	Alternatives []Alternative `toml:"-"`
	// Alternative is the one that is applied to this Job, "" for the file as it stands.
	Alternative string `toml:"-"`
	// Removed are the parts that it takes out, in the order that it names them.
	Removed []Removal `toml:"-"`
	// Assumptions lists every default that was used where the file is silent.
	Assumptions []Assumption `toml:"-"`

	tree    *node        // where everything stands: see Place
	source  *source      // what it was read from; nil for a job that was not read
	assumed []Assumption // as Assumptions, not grouped
}

// Site is where the job stands.
type Site struct {
	Elevation quantity.Length `toml:"elevation" limit:"signed" range:"elevation"` // above sea level
}

// Mode is what the equipment does in a call state.
type Mode string

// The modes.
const (
	Cooling Mode = "cooling"
	Heating Mode = "heating"
	Fan     Mode = "fan"
)

// Weather is one outdoor and indoor condition.
type Weather struct {
	Name string
	// Mode is what the equipment does in this weather.
	Mode Mode `toml:"mode"`
	// Outdoor is the design temperature outdoors.
	Outdoor *quantity.Temperature `toml:"outdoor" range:"outdoor"`
	// Indoor is the temperature of the house and of the return air.
	Indoor     *quantity.Temperature `toml:"indoor" range:"indoor"`
	Humidity   quantity.Fraction     `toml:"humidity" limit:"positive"`     // indoor relative humidity
	SupplyAir  *quantity.Temperature `toml:"supply-air" range:"supply-air"` // supply temperature; where the file is silent, a default by mode
	Attic      *quantity.Temperature `toml:"attic" range:"around"`          // air round ducts in the attic; default outdoors, in cooling 25 °F above
	Garage     *quantity.Temperature `toml:"garage" range:"around"`         // air round ducts in the garage; default by outdoor temperature
	Crawlspace *quantity.Temperature `toml:"crawlspace" range:"around"`     // air round ducts in the crawlspace; default by outdoor temperature
	Basement   *quantity.Temperature `toml:"basement" range:"around"`       // air round ducts in the basement; default by outdoor temperature
	// SupplyAirGiven is true when the file gives SupplyAir and false when it is our default.
	SupplyAirGiven bool `toml:"-"`
}

// Around is the temperature that the file gives to a place where ducts run; nil where it gives none.
func (w *Weather) Around(place string) *quantity.Temperature {
	switch place {
	case "attic":
		return w.Attic
	case "garage":
		return w.Garage
	case "crawlspace":
		return w.Crawlspace
	case "basement":
		return w.Basement
	}
	return nil
}

// Equipment is the machine and what is rated with it.
type Equipment struct {
	// Cooling is the cooling side of the machine.
	Cooling *Machine `toml:"cooling"`
	// Heating is the heating side of the machine.
	Heating *Machine     `toml:"heating"`
	Fan     *Machine     `toml:"fan"`    // circulation without heating or cooling; solved only when given
	Blower  BlowerChoice `toml:"blower"` // a row of the catalog
	// MaxStatic is the greatest external static on the rating plate.
	MaxStatic quantity.Pressure `toml:"max-static" limit:"positive" range:"static"`
	// Filter is the filter, by its drop at an airflow.
	Filter *Resistance `toml:"filter"`
	// Coil is the cooling coil, by its drop at an airflow.
	Coil *Resistance `toml:"coil"`
	// Included are the parts whose drops the blower's table already contains ("filter", "coil");
	// they add none of their own.
	Included []string `toml:"included" empty:"ok"`
}

// Machines are the sides that the equipment has, by their modes.
func (e *Equipment) Machines() iter.Seq2[Mode, *Machine] {
	return func(yield func(Mode, *Machine) bool) {
		for _, side := range []struct {
			mode Mode
			m    *Machine
		}{{Cooling, e.Cooling}, {Heating, e.Heating}, {Fan, e.Fan}} {
			if side.m != nil && !yield(side.mode, side.m) {
				return
			}
		}
	}
}

// BlowerChoice names a blower of the catalogue.
type BlowerChoice struct {
	// Table is the row of the catalog.
	Table string `toml:"table,short"`
}

// Machine is the cooling or heating side of the equipment. A single-stage machine gives its figures here; a staged one
// lists stages, lowest first, and each stage may leave out what it shares with the machine.
type Machine struct {
	Kind     MachineKind       `toml:"kind"`                                       // heating: "furnace" (default), "electric" or "heat pump"
	Capacity quantity.Heat     `toml:"capacity" limit:"positive" range:"capacity"` // what it takes in cooling, total
	Output   quantity.Heat     `toml:"output" limit:"positive" range:"output"`     // what it gives in heating
	Sensible quantity.Fraction `toml:"sensible" limit:"positive" range:"sensible"` // sensible heat ratio at rating
	Tap      string            `toml:"tap"`                                        // speed tap of the blower that runs
	Airflow  quantity.Airflow  `toml:"airflow" range:"machine-airflow"`            // set flow of a constant-airflow blower
	// Rise is the temperature rise that the rating plate allows, from the least to the greatest.
	Rise []quantity.TemperatureSpan `toml:"rise" range:"plate-rise"`
	// LeavingLimit is the leaving air at which the furnace's high limit opens.
	LeavingLimit *quantity.Temperature `toml:"leaving-limit" range:"leaving-limit"`
	// Efficiency is output over input, of heating by fuel.
	Efficiency quantity.Fraction `toml:"efficiency" limit:"positive" range:"efficiency"`
	// Input is what compressor and outdoor fan take at the rated capacity.
	Input quantity.Electricity `toml:"input" limit:"positive" range:"input"`
	// Start is the time from the call to burner or compressor: dampers, prover, ignition.
	Start *quantity.Time `toml:"start" range:"timer"`
	// Purge is how long the blower runs on after burner or compressor.
	Purge *quantity.Time `toml:"purge" range:"timer"`
	// MinimumOn is the shortest run.
	MinimumOn *quantity.Time `toml:"minimum-on" range:"timer"`
	// MinimumOff is the shortest rest, from the end of the purge to the next start.
	MinimumOff *quantity.Time        `toml:"minimum-off" range:"timer"`
	CutOut     *quantity.Temperature `toml:"cut-out" range:"cut-out"` // leaving air at which the panel stops burner or compressor

	// BlowerDelay is for how long burner or compressor run before the blower.
	BlowerDelay *quantity.Time `toml:"blower-delay" range:"timer"`
	// Ramp is how long the blower takes from the airflow of one stage to that of another.
	Ramp *quantity.Time `toml:"ramp" range:"timer"`
	// Stages are its capacity steps, lowest first.
	Stages []Stage `toml:"stage"`
}

// Stage is one capacity step of a machine. Named tables in file order: the first is stage 1.
type Stage struct {
	Name string
	// Capacity is what it takes in cooling, total.
	Capacity quantity.Heat `toml:"capacity" limit:"positive" range:"capacity"`
	// Output is what it gives in heating.
	Output quantity.Heat `toml:"output" limit:"positive" range:"output"`
	// Sensible is its sensible heat ratio at rating.
	Sensible quantity.Fraction `toml:"sensible" limit:"positive" range:"sensible"`
	// Tap is the blower tap that runs.
	Tap string `toml:"tap"`
	// Airflow is the set flow of a constant-airflow blower.
	Airflow quantity.Airflow `toml:"airflow" range:"machine-airflow"`
}

// At returns a stage, from 1, with the machine's own figures where the stage gives none. Of a machine
// without stages it is those figures; of no machine (nil) it is the zero Stage.
func (m *Machine) At(stage int) Stage {
	if m == nil {
		return Stage{}
	}
	s := Stage{Capacity: m.Capacity, Output: m.Output, Sensible: m.Sensible, Tap: m.Tap, Airflow: m.Airflow}
	if stage < 1 || stage > len(m.Stages) {
		return s
	}
	own := m.Stages[stage-1]
	return Stage{Name: own.Name, Capacity: cmp.Or(own.Capacity, s.Capacity), Output: cmp.Or(own.Output, s.Output),
		Sensible: cmp.Or(own.Sensible, s.Sensible), Tap: cmp.Or(own.Tap, s.Tap), Airflow: cmp.Or(own.Airflow, s.Airflow)}
}

// BlowerTable is a blower described in the job file: one row of airflows per tap against the same external statics.
type BlowerTable struct {
	Kind   string              `toml:"kind"`                         // "multi-tap", "constant torque", "constant airflow"
	Static []quantity.Pressure `toml:"static" range:"blower-static"` // external statics, rising
	Taps   []BlowerTap         `toml:"tap"`                          // airflow and watts at each static
	// Includes are the parts whose drops the table's airflows already contain.
	Includes []string `toml:"includes" empty:"ok"`
}

// BlowerTap is one speed of a blower table.
type BlowerTap struct {
	Name string
	// Airflow is one value for each static of the table.
	Airflow []quantity.Airflow `toml:"airflow" range:"blower-airflow"`
	// Watts are one value for each static of the table.
	Watts []quantity.Electricity `toml:"watts" range:"blower-watts"`
}

// Resistance is a part rated by one drop at one airflow: a filter or a coil.
type Resistance struct {
	// Drop is its pressure drop when clean.
	Drop quantity.Pressure `toml:"drop" limit:"positive" range:"rated-drop" vary:"part"`
	// At is the airflow of that drop.
	At       quantity.Airflow `toml:"at" limit:"positive" range:"machine-airflow" vary:"part"`
	Exponent float64          `toml:"exponent" vary:"part"`                // 0 = the catalogue's for this kind of part
	Loading  float64          `toml:"loading" range:"loading" vary:"part"` // times the clean drop; 0 = 1
	Wet      *bool            `toml:"wet" vary:"part"`                     // coil: rated dry and running wet (default true when cooling)
	// Size is the face that the air passes, for its velocity; without it that is not judged.
	Size section.Section `toml:"size"`
}

// Panel is the zone panel's policy. Without it: a call opens the dampers of its zones, the others go to their stops, and
// every stage is solved for every set of calling zones.
type Panel struct {
	// SecondStageNeeds is the number of calling zones from which stage 2 (and higher) may run; 0 = any.
	SecondStageNeeds int `toml:"second-stage-needs"`
	// Calls are what the panel does for certain sets of zones.
	Calls []Call `toml:"call"`
	// StageDelay is how long a run lasts before the next stage, in "spillway day" and "spillway year".
	StageDelay *quantity.Time `toml:"stage-delay" range:"timer"`
	// StageDroop is how far a calling sensor is short of its set point when the next stage runs at
	// once; without it, by time alone.
	StageDroop *quantity.TemperatureSpan `toml:"stage-droop" limit:"positive" range:"thermostat-span"`
	// Changeover is how long the machine rests between heating and cooling.
	Changeover *quantity.Time `toml:"changeover" range:"timer"`
}

// Call says what the panel does when exactly these zones call. Its name in the file is free.
type Call struct {
	Name string
	// Zones are those that call, no more and no fewer.
	Zones  []string `toml:"zones"`
	Modes  []Mode   `toml:"modes"`  // those in which this holds; empty = all
	Stages []int    `toml:"stages"` // stages that may run; empty = all
	Tap    string   `toml:"tap"`    // instead of the machine's
	// Airflow is instead of the machine's.
	Airflow quantity.Airflow `toml:"airflow" range:"machine-airflow"`
	Open    []string         `toml:"open" empty:"ok"` // dampers (of dump zones, say) that open besides those of the calling zones
	// Damper is where dampers stand in this call.
	Damper []DamperSetting `toml:"damper"`
}

// DamperSetting is a position of one named damper in one call.
type DamperSetting struct {
	Name string
	// Position is how far it is open; it may stand alone: "50 %".
	Position Position `toml:"position,short"`
}

// Position is how far a damper is open: 0 shut, 1 open. The file takes a percentage, or degrees of blade with the end that they count
// from ("22 deg from shut").
type Position float64

// Zone is one thermostat and what it governs.
type Zone struct {
	Name string
	// Wants is the airflow that carries its design load.
	Wants quantity.Airflow `toml:"wants" range:"zone-airflow"`
	// HeatLoss is its heat loss in the coldest design weather.
	HeatLoss    quantity.Heat            `toml:"heat-loss" range:"load"`
	HeatGain    quantity.Heat            `toml:"heat-gain" range:"load"`           // its sensible heat gain in the hottest design weather
	HeatingRise quantity.TemperatureSpan `toml:"heating-rise" range:"design-span"` // design difference that turns a loss into airflow
	CoolingDrop quantity.TemperatureSpan `toml:"cooling-drop" range:"design-span"` // design difference that turns a gain into airflow
	// Floor is its area, for its drift.
	Floor  quantity.Area `toml:"floor" range:"floor"`
	Damper Names         `toml:"damper" empty:"ok"` // one or several zone dampers; none in a house of one zone
	// NoiseTarget is the NC that its rooms should not exceed; without it, by the use of each room.
	NoiseTarget float64 `toml:"noise-target"`
	// Heat is its set points in heating, with the times from which they hold.
	Heat []Scheduled `toml:"heat"`
	// Cool is its set points in cooling, likewise.
	Cool []Scheduled `toml:"cool"`
	// Mass is how heavy it is built.
	Mass string `toml:"mass"`
	// Faces is which way most of its glass faces.
	Faces string `toml:"faces"`
	// Gains is the mean of what people and appliances give off.
	Gains quantity.Heat `toml:"gains" range:"gains"`

	// WantsUnknown is true when the file calls Wants unknown: no verdict judges by it then.
	WantsUnknown bool `toml:"-"`
}

// Scheduled is a set point that holds from a time of the day on, until the next one. The file writes "6:00 70 F"; a temperature
// alone holds all day.
type Scheduled struct {
	From        quantity.Time // after midnight, whole quarters of an hour, less than a day
	Temperature quantity.Temperature
}

// Thermostat is how every thermostat of the house measures and switches.
type Thermostat struct {
	// Band is how far its sensor moves from the start to the end of a call.
	Band quantity.TemperatureSpan `toml:"band" limit:"positive" range:"thermostat-span"`
	// Anticipation is by how much the sensor is ahead of the room while it calls.
	Anticipation quantity.TemperatureSpan `toml:"anticipation" range:"thermostat-span"`
	// Lag is the time constant of the sensor behind the air.
	Lag quantity.Time `toml:"lag" limit:"positive" range:"timer"`
}

// Between is an opening between two zones. Its name in the file is free.
type Between struct {
	Name string
	// Zones are the two that it joins.
	Zones []string `toml:"zones"`
	Doors float64  `toml:"doors"` // open doorways, 0 and parts of one allowed
}

// Year describes the weather of a year in a few numbers; its design temperatures are those of the weather rows.
type Year struct {
	// Mean is the mean temperature of the whole year.
	Mean  *quantity.Temperature    `toml:"mean" range:"outdoor"`
	Range quantity.TemperatureSpan `toml:"range" limit:"positive" range:"daily-range"` // from the lowest to the highest temperature of a usual day
	Swing quantity.TemperatureSpan `toml:"swing" range:"daily-range"`                  // of a day's mean about the season's, standard deviation: warm and cold spells
}

// Names is one name or a list of names.
type Names []string

// Damper is a zone damper or any other named damper that lines refer to.
type Damper struct {
	Name string
	// Size is its section; default: that of the line it sits in.
	Size  section.Section `toml:"size"`
	Blade string          `toml:"blade"`            // of the catalog: "round", "rectangular", "parallel", "opposed"
	Drive string          `toml:"drive"`            // "two-position" (default), "modulating", "hand", "barometric", "constant pressure", "backdraft"
	Stop  Position        `toml:"stop" vary:"part"` // position when its zone does not call (0 = shut)
	Open  *Position       `toml:"open" vary:"part"` // position when its zone calls (default 1), or the setting of a hand damper
	// Leakage is what passes when it is shut: a percentage of its nominal airflow, or a class.
	Leakage DamperLeakage `toml:"leakage"`
	// Weighted (barometric) dampers.
	OpensAt     quantity.Pressure `toml:"opens-at" range:"damper-pressure" vary:"part"`      // drop at which the blade starts to open
	FullyOpenAt quantity.Pressure `toml:"fully-open-at" range:"damper-pressure" vary:"part"` // drop at which it is fully open
	Arm         quantity.Angle    `toml:"arm" range:"arm" vary:"part"`                       // weight arm below horizontal when shut, instead of fully-open-at
	// Constant-pressure dampers.
	Holds  quantity.Pressure `toml:"holds" range:"damper-pressure" vary:"part"` // static at its sensor that it holds
	Band   quantity.Pressure `toml:"band" range:"damper-band" vary:"part"`      // by how much the static rises from shut to open
	Sensor string            `toml:"sensor"`                                    // where that is read; default "supply plenum"
}

// DamperLeakage is how tight a damper shuts: a share of the nominal flow, or a class of the catalogue.
type DamperLeakage struct {
	Share quantity.Fraction
	Class string
	Given bool
}

// Box is a still-air chamber (a return box, a junction box): the air that enters gives up its velocity.
type Box struct {
	Name string
	// Note is for people; nothing reads it.
	Note string `toml:"note"`
}

// Line is one run of duct of constant section, with everything on it: the fittings on the way, a damper, and what it ends in.
// Supply and dump lines run from their parent (a plenum, a box or another line) to a register or to further lines; return
// lines run from a grille (or from the lines and boxes that lead into them) to their parent; a bypass runs from the supply
// side to the return side. Air order is file order.
type Line struct {
	Name  string
	Table Table `toml:"-"`
	// From is the plenum, box or line that it leaves.
	From string `toml:"from"`
	// To is the plenum, box or line that it joins.
	To string           `toml:"to"`
	At *quantity.Length `toml:"at" range:"along"` // distance along the parent at which it leaves or joins; default: the parent's end (return: start)
	// Size is its inside, with the material if need be.
	Size     Size   `toml:"size"`
	Material string `toml:"material"` // row of the catalog; default galvanised, or as the size says ("6 in flex")
	// Length is along its middle, without what fittings add.
	Length quantity.Length `toml:"length" range:"run"`
	Rise   quantity.Length `toml:"rise" limit:"signed" range:"run-rise"` // height gained along the run, for buoyancy
	// Fittings are what the air passes, in its order; "spillway fittings" lists them.
	Fittings    []FittingUse      `toml:"fittings" empty:"ok"`
	Compression quantity.Fraction `toml:"compression" vary:"part"`     // flexible duct: how much shorter than stretched
	Sag         float64           `toml:"sag" range:"sag" vary:"part"` // flexible duct: further multiplier, 0 = 1
	// Damper is the name of a damper of the [damper] table that sits in it.
	Damper   string    `toml:"damper"`
	Balance  *Position `toml:"balance" vary:"part"` // hand balancing damper in the run, and how far it is open
	Register *Opening  `toml:"register"`            // what it ends in: "10x4 in" or a table
	Grille   *Opening  `toml:"grille"`              // what it begins with (return)
	// Room is where its register or grille is.
	Room string `toml:"room"`
	// Zone is whose it is; default: by the room, or by the zone damper upstream.
	Zone string `toml:"zone"`
	// Wants is the airflow that its register should give.
	Wants quantity.Airflow `toml:"wants" range:"run-airflow"`
	// Leakage is its own, instead of a part of the system's.
	Leakage *Leak `toml:"leakage"`
	// OpensAt is the drop at which a weighted bypass starts to open; the line then needs no damper
	// with a name.
	OpensAt quantity.Pressure `toml:"opens-at" range:"damper-pressure" vary:"part"`
	// FullyOpenAt is the drop at which that blade is fully open.
	FullyOpenAt quantity.Pressure `toml:"fully-open-at" range:"damper-pressure" vary:"part"`
	// Holds is the static in the supply plenum that a pressure-holding bypass keeps; the line then
	// needs no damper with a name.
	Holds quantity.Pressure `toml:"holds" range:"damper-pressure" vary:"part"`
	// Unmixed is the share of a bypass's air that reaches the equipment as a strip that has not mixed (0: well mixed).
	Unmixed *quantity.Fraction `toml:"unmixed" vary:"part"`
	// Lined is the thickness of a sound-absorbing lining inside sheet-metal duct; 0: none.
	Lined quantity.Length `toml:"lined" bare:"size" range:"lining"`
	// Insulation is its R-value, for heat gain and loss.
	Insulation quantity.Insulation `toml:"insulation" range:"duct-insulation"`
	Place      string              `toml:"place"` // "inside" (default), "attic", "crawlspace", "outside"
	// Position is where the picture puts its end, [x, y]: x outwards from the face of the plenum, y
	// down from the upper edge of the first zone, at 20 px to the foot. Where there is no room so
	// near, the end stands at the first free place beyond. 0 leaves either to the layout.
	Position []quantity.Length `toml:"position" range:"drawing"`
}

// Size is a section, with the material when the file says it in one breath ("6 in flex").
type Size struct {
	section.Section
	Material string
}

// FittingUse is one entry of a line's fittings: a catalogue name with a count, a bare loss coefficient, or an equivalent length.
type FittingUse struct {
	Name        string
	Count       int     // at least 1
	Coefficient float64 // on the line's own velocity pressure, when Name is ""
	Equivalent  quantity.Length
}

// Opening is a register or grille. Either its free area describes it, or one point of its maker:
// the drop at an airflow.
type Opening struct {
	// Size is its face.
	Size section.Section `toml:"size"`
	Kind string          `toml:"kind"` // row of the catalog; default "register" or "grille"
	// FreeArea is the part of its face that air can pass.
	FreeArea quantity.Fraction `toml:"free-area" limit:"positive"`
	// Drop is its drop of total pressure at one airflow.
	Drop quantity.Pressure `toml:"drop" limit:"positive" range:"outlet-drop"`
	// At is the airflow at which it has that drop.
	At      quantity.Airflow `toml:"at" limit:"positive" range:"outlet-airflow"`
	Balance *Position        `toml:"balance"` // the register's own damper
	// Pattern is how it throws its air; it matters to throw, drop and draft only.
	Pattern string `toml:"pattern"`
	// Height is how far it is above the floor.
	Height *quantity.Length `toml:"height" range:"outlet-height"`
	// Reach is how far it should carry.
	Reach quantity.Length `toml:"reach" limit:"positive" range:"reach"`
	Noise *NoiseRating    `toml:"noise"` // the maker's rating; it wins over what is computed
}

// NoiseRating is the noise of a register or grille as its maker rates it.
type NoiseRating struct {
	NC float64 `toml:"nc"` // in the catalogue's room, 10 dB under the sound power
	// At is the airflow of the rating.
	At quantity.Airflow `toml:"at" limit:"positive" range:"outlet-airflow"`
}

// Room is a room with its own pressure when it has a door that shuts, else part of the open house.
type Room struct {
	Name string
	// Zone is whose room it is.
	Zone string `toml:"zone"`
	// Floor is its area, for noise and throw.
	Floor quantity.Area `toml:"floor" range:"floor"`
	// HeatLoss is its part of the zone's loss.
	HeatLoss quantity.Heat `toml:"heat-loss" range:"load"`
	// HeatGain is its part of the zone's gain.
	HeatGain quantity.Heat `toml:"heat-gain" range:"load"`
	// Wants is the airflow that its registers should give together.
	Wants quantity.Airflow `toml:"wants" range:"run-airflow"`
	// Door is a door that shuts.
	Door *Door `toml:"door"`
	// Transfer is a transfer grille or jump duct beside the door.
	Transfer *Opening `toml:"transfer"`
	To       string   `toml:"to"`       // room that door and transfer lead to; default the open house
	Envelope *Leak    `toml:"envelope"` // leakage of the room to outdoors
	// Use is what it is for, which gives its noise target.
	Use string `toml:"use"`
	// Ceiling is its height.
	Ceiling quantity.Length `toml:"ceiling" limit:"positive" range:"ceiling"`
	// Listener is how far an ear is from the nearest register.
	Listener quantity.Length `toml:"listener" limit:"positive" range:"listener"`
	// NoiseTarget is the NC that it should not exceed.
	NoiseTarget float64 `toml:"noise-target"`
}

// Door is a door that is shut or open.
type Door struct {
	Shut *bool `toml:"shut"` // whether it is shut; default true
	// Width is that of the door.
	Width quantity.Length `toml:"width" bare:"size" range:"door-width"`
	// Undercut is the gap under it.
	Undercut quantity.Length `toml:"undercut" bare:"size" range:"undercut"`
}

// Leakage is the leakage of the duct system.
type Leakage struct {
	Supply   *Leak `toml:"supply" vary:"part"` // out of the supply side: plenum, ducts and boots
	Return   *Leak `toml:"return" vary:"part"` // into the return side: cabinet, ducts and the boxes of grilles
	Envelope *Leak `toml:"envelope"`           // of the house, between the open house and outdoors; without it the house stands at zero pressure
}

// Leak is an airflow at a test pressure. It may be written "4 % of blower at 25 Pa" or "40 cfm at 25 Pa", or by class
// ("class 12") for a line, where the surface is known.
type Leak struct {
	// Airflow is what leaks at the test pressure.
	Airflow quantity.Airflow `toml:"airflow" range:"leak-airflow"`
	// Share is what leaks as a share of the blower's design airflow.
	Share quantity.Fraction `toml:"share"`
	// At is the test pressure.
	At    quantity.Pressure `toml:"at" range:"test-pressure"`
	Class float64           `toml:"class"` // leakage class, I-P (cfm per 100 ft² at 1 in. w.c.)
	// Exponent is that of the pressure; without it, that of the catalog.
	Exponent float64 `toml:"exponent"`
	To       string  `toml:"to"` // "outside", a place ("attic", "crawlspace"), "house" or a room; default: by where the ducts lie
}

// Port is a named static pressure test port.
type Port struct {
	Name string
	At   string `toml:"at,short"` // a plenum, box, or "LINE start" / "LINE end"
}

// Limits are the job's own limits, instead of the defaults of the checks. Each is one value, beyond which is a fault, or two: from
// the first a caution, from the second a fault. Keys that begin with "least" bound from below, all others from above.
type Limits struct {
	// Rules are sets of rules that hold besides.
	Rules []string `toml:"rules" empty:"ok"`

	MaxStatic   []quantity.Pressure    `toml:"max-static" limit:"positive" range:"static"`
	FanPower    []quantity.Electricity `toml:"fan-power-per-cfm" limit:"positive" range:"fan-power"`
	BypassShare []quantity.Fraction    `toml:"bypass-share"`
	CoolingSize []float64              `toml:"cooling-size"` // sensible capacity over the sum of the zones' gains
	HeatingSize []float64              `toml:"heating-size"` // output over the sum of the zones' losses

	// LeastCooling is what the machine gives in a weather over what all zones need in it.
	LeastCooling []quantity.Fraction `toml:"least-cooling-carried"`
	// LeastHeating is likewise in heating.
	LeastHeating []quantity.Fraction `toml:"least-heating-carried"`
	// BypassAll is the share of a bypass in the blower's air with all zones calling.
	BypassAll []quantity.Fraction `toml:"bypass-all-calling"`
	// LeastZone is the share of the smallest zone in what all zones want.
	LeastZone []quantity.Fraction `toml:"least-smallest-zone"`
	// DumpRoom is the heat given to a room with a dump over its part of the zone's load.
	DumpRoom []float64 `toml:"dump-room"`

	AirflowMost []quantity.Airflow `toml:"greatest-airflow-per-ton" limit:"positive" range:"airflow-per-ton"`

	LeastAirflow []quantity.Airflow `toml:"least-airflow-per-ton" limit:"positive" range:"airflow-per-ton"`
	// EnteringAir is the air that enters the furnace.
	EnteringAir []quantity.Temperature `toml:"entering-air" range:"limit-temperature"`
	// LeastEnteringAir is the air that enters the furnace, from below.
	LeastEnteringAir []quantity.Temperature     `toml:"least-entering-air" range:"limit-temperature"`
	LeastLimitMargin []quantity.TemperatureSpan `toml:"least-limit-margin" range:"limit-span"`
	DuctAir          []quantity.Temperature     `toml:"duct-air" range:"limit-temperature"`
	LeastEvaporating []quantity.Temperature     `toml:"least-evaporating" range:"limit-temperature"`
	// LeastLeavingAir is the air that leaves the coil.
	LeastLeavingAir []quantity.Temperature     `toml:"least-leaving-air" range:"limit-temperature"`
	Sweating        []quantity.TemperatureSpan `toml:"sweating" range:"limit-span"` // air of a register under the room's dew point
	ZoneDrift       []quantity.TemperatureSpan `toml:"zone-drift" range:"limit-span"`
	LeastZoningKept []quantity.Fraction        `toml:"least-zoning-kept"` // part of the possible zoning
	// LeastShare is the share of the callers in the heat or cold of a call.
	LeastShare       []quantity.Fraction        `toml:"least-callers-share"`
	OverConditioning []quantity.TemperatureSpan `toml:"over-conditioning" range:"limit-span"`

	SupplyFace   []quantity.Velocity `toml:"supply-face-velocity" limit:"positive" range:"limit-velocity"`
	ReturnFace   []quantity.Velocity `toml:"return-face-velocity" limit:"positive" range:"limit-velocity"`
	FilterGrille []quantity.Velocity `toml:"filter-grille-velocity" limit:"positive" range:"limit-velocity"`
	FilterFace   []quantity.Velocity `toml:"filter-velocity" limit:"positive" range:"limit-velocity"`
	CoilFace     []quantity.Velocity `toml:"coil-velocity" limit:"positive" range:"limit-velocity"`
	Trunk        []quantity.Velocity `toml:"trunk-velocity" limit:"positive" range:"limit-velocity"`
	Branch       []quantity.Velocity `toml:"branch-velocity" limit:"positive" range:"limit-velocity"`
	// FlexBranch is by default branch-velocity, when that is given.
	FlexBranch    []quantity.Velocity `toml:"flex-branch-velocity" limit:"positive" range:"limit-velocity"`
	ReturnTrunk   []quantity.Velocity `toml:"return-trunk-velocity" limit:"positive" range:"limit-velocity"`
	Shortfall     []quantity.Fraction `toml:"shortfall"`
	Excess        []float64           `toml:"excess"` // airflow of a calling zone over what it wants
	ReturnExcess  []quantity.Fraction `toml:"return-excess"`
	RoomPressure  []quantity.Pressure `toml:"room-pressure" limit:"positive" range:"room-pressure"`
	StopInfluence []quantity.Fraction `toml:"stop-sensitivity"`

	// BedroomNoise is NC.
	BedroomNoise []float64 `toml:"bedroom-noise"`
	// LivingNoise is NC.
	LivingNoise []float64 `toml:"living-noise"`
	// ServiceNoise is NC.
	ServiceNoise []float64 `toml:"service-noise"`
	// LeastThrow is throw over reach.
	LeastThrow []quantity.Fraction `toml:"least-throw"`
	LeastCarry []quantity.Fraction `toml:"least-carry"` // where a cold jet dumps, over reach
	// JetDrop is how far a jet drops over the height of its register above people.
	JetDrop        []float64                  `toml:"jet-drop"`
	DraughtChill   []quantity.TemperatureSpan `toml:"draught-chill" range:"limit-span"`
	DraughtCooling []quantity.Velocity        `toml:"draught-velocity" limit:"positive" range:"draught"`
	DraughtHeating []quantity.Velocity        `toml:"draught-velocity-heating" limit:"positive" range:"draught"`
}

// Tolerance says how sure one input is, or all inputs of a kind. Its values are drawn between from and to, or as far as by or share either
// way from the value in the job. The name is free; results call the input by it.
type Tolerance struct {
	Name string
	// Of is the path of the value, "damper.main.stop", with * for any name, or the coefficients of
	// a kind.
	Of    string            `toml:"of"`
	From  string            `toml:"from"`  // as the job file writes the value: "4 %"
	To    string            `toml:"to"`    // the other end, likewise
	By    string            `toml:"by"`    // either way, in the value's own unit: "5 deg"
	Share quantity.Fraction `toml:"share"` // either way, as a share of the value
	Each  bool              `toml:"each"`  // each input on its own; else all that * stands for move together
	Shape string            `toml:"shape"` // "even" (default: any value as likely) or "bell" (the ends are two standard deviations off)

	// Range is all of that in one text: "10 to 30 ft", "x 0.8 to 1.3", "+- 5 deg", "+- 20 %".
	Range string `toml:"range,short"`
	// Factor is a Range of factors, its least and greatest.
	Factor [2]float64 `toml:"-"`
}

// RunCoefficients stands for the losses of whole lines, duct, fittings and opening together; with
// each, of every line by itself.
const RunCoefficients = "coefficients.runs"

// Coefficients are the words that stand for all coefficients of a kind in the of of a Tolerance, which then has a share; those of
// dampers, of dampers that are shut and of junctions need none, since the catalogue knows how far they scatter.
func Coefficients() []string {
	return []string{"coefficients.fittings", "coefficients.dampers", "coefficients.shut-dampers",
		"coefficients.junctions", "coefficients.parts", "coefficients.leakage",
		"coefficients.blower", RunCoefficients}
}

// ScatterKnown reports whether a Tolerance of these coefficients may leave out its share.
func ScatterKnown(of string) bool {
	return of == "coefficients.dampers" || of == "coefficients.shut-dampers" || of == "coefficients.junctions"
}

// The shapes of a Tolerance.
const (
	EvenShape = "even"
	BellShape = "bell"
)

// Alternative is a named set of overrides in the job file.
type Alternative struct {
	Name string
	Note string
	Like string // the alternative that it starts from, "" the file as it stands
	Line int    // where it begins in the file
}

// FreeAlternative is a name for a further alternative, "tuned" or "tuned-2" or …, that the file does not have yet.
func (j *Job) FreeAlternative(name string) string {
	taken := func(name string) bool {
		return slices.ContainsFunc(j.Alternatives, func(a Alternative) bool { return a.Name == name })
	}
	free := name
	for n := 2; taken(free); n++ {
		free = fmt.Sprintf("%s-%d", name, n)
	}
	return free
}

// Assumption is a default that was used where the file is silent.
type Assumption struct {
	Path  string // of the job file, e.g. "supply.bed-2.material"
	Value string // as text for people
	Why   string // source or reason
}
