package network

import (
	"slices"

	"spillway/network/catalog"
)

// What the catalogue knows, as the checks ask for it.

// knownFitting tells whether a line may have this fitting: a fitting with a coefficient, "straight on", or the kind of the
// junction through which the line leaves or joins its parent ("wye 45", "tee branch", "tee straight").
func knownFitting(name string) bool {
	if _, ok := catalog.LookupFitting(name); ok || name == StraightOn {
		return true
	}
	for _, leg := range []string{" branch", " straight"} {
		name, _ = cutEnding(name, leg)
	}
	_, ok := catalog.LookupJunction(name)
	return ok
}

func fittingNames() []string {
	return slices.Concat(catalog.FittingNames(), catalog.Names(catalog.Junctions), []string{StraightOn})
}

// The words for how a damper is moved.
const (
	TwoPosition      = "two-position"
	Modulating       = "modulating"
	Hand             = "hand"
	Barometric       = "barometric"
	ConstantPressure = "constant pressure"
	Backdraft        = "backdraft"
)

// The kinds of blower that a table of one's own may be.
const (
	MultiTap        = "multi-tap"
	ConstantTorque  = "constant torque"
	ConstantAirflow = "constant airflow"
)

func blowerKinds() []string { return []string{MultiTap, ConstantTorque, ConstantAirflow} }

// places are where a duct can lie.
func places() []string {
	return []string{"inside", "attic", "crawlspace", "basement", "garage", "outside"}
}

// reserved are the names that the program itself gives to parts.
func reserved() []string {
	return []string{SupplyPlenum, ReturnPlenum, BlowerInlet, BlowerOutlet, House, Outside, "blower", "filter", "coil"}
}
