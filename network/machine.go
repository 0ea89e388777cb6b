package network

// MachineKind is what warms or cools the air. The list is closed.
type MachineKind string

// The kinds of machine. All but Cooler are words of the job file for heating.
const (
	NoMachine    MachineKind = "" // the blower runs alone; in a Machine of heating a Furnace
	Cooler       MachineKind = "cooler"
	Furnace      MachineKind = "furnace"
	ElectricHeat MachineKind = "electric"
	HeatPump     MachineKind = "heat pump"
)

// machines are the kinds of machine.
var machines = map[MachineKind]struct {
	name        string
	limit, fuel bool
	compressor  bool
}{
	NoMachine:    {name: "Blower without heating or cooling"},
	Cooler:       {name: "Cooling coil", compressor: true},
	Furnace:      {name: "Furnace", limit: true, fuel: true},
	ElectricHeat: {name: "Electric heater", limit: true},
	HeatPump:     {name: "Heat pump", compressor: true},
}

// Name is the kind at the head of a paragraph.
func (k MachineKind) Name() string { return machines[k].name }

// HasLimit reports whether a switch in the leaving air stops the heat. What stops a heat pump is pressures that are
// not modeled.
func (k MachineKind) HasLimit() bool { return machines[k].limit }

// BurnsFuel reports whether the heat comes from fuel, so that the input is fuel and not
// electricity.
func (k MachineKind) BurnsFuel() bool { return machines[k].fuel }

// HasCompressor reports whether a compressor moves the heat: it takes in less than it gives, and
// what it gives depends on the outdoor temperature.
func (k MachineKind) HasCompressor() bool { return machines[k].compressor }

// machineKinds are the kinds of heating equipment.
func machineKinds() []string {
	return []string{string(Furnace), string(ElectricHeat), string(HeatPump)}
}

// KindIn is the kind of machine that runs in a mode; heating is a Furnace unless the job says otherwise.
func (e *Equipment) KindIn(mode Mode) MachineKind {
	switch {
	case mode == Cooling:
		return Cooler
	case mode == Heating && e.Heating != nil && e.Heating.Kind != "":
		return e.Heating.Kind
	case mode == Heating:
		return Furnace
	}
	return NoMachine
}
