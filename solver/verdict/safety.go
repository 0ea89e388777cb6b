package verdict

// Hazard is a kind of danger that a fault can point to.
type Hazard uint8

// The hazards.
const (
	NoHazard Hazard = iota
	HotFurnace
	FrozenCoil
	FlueGas
	LiveParts
	HotDucts
	Condensate
	LostAir
)

// Safety is the caution that belongs to a hazard, in one or two sentences; "" for none. Our own short words; the appliance's
// instructions, the adopted code and licensed practice govern.
func Safety(h Hazard) string {
	switch h {
	case HotFurnace:
		return "Never alter, bypass or move a limit, roll-out or pressure switch: repeated trips mean that the layout or the airflow is wrong. " +
			"A heat exchanger that overheats or condenses can fail and give off carbon monoxide."
	case FrozenCoil:
		return "Thaw a frozen coil with cooling off and the fan running, and find the cause; never add refrigerant to make up for airflow. " +
			"Work on refrigerant needs a certificate."
	case FlueGas:
		return "A space from which more air is drawn than it is given can pull flue gas out of a natural-draft appliance: none may stand in it, " +
			"in any call state."
	case LiveParts:
		return "Disconnect the power before a blower tap, a control or a panel is touched, and defeat no interlock."
	case HotDucts:
		return "Flexible duct and plastic registers may be rated for less than the air in them: stop the layout until it is cooler."
	case Condensate:
		return "Air this cold lets water run in ceilings and walls; keep it off wiring and out of insulation."
	case LostAir:
		return "Surplus air belongs into conditioned space or the return, never into an attic, a chase, a garage or another dwelling."
	}
	return ""
}
