package network

import "spillway/network/catalog"

// Choices lists the words that a key of the job file takes, by the type that holds the key ("Damper", "drive"), in the order in which
// messages name them. closed says that no other word will do; otherwise a catalogue knows further spellings of them, or the key takes
// names of the file's own as well. A key that takes any text has none.
func Choices(holder, key string) (words []string, closed bool) {
	switch holder + "." + key {
	case "Damper.drive":
		return drives(), true
	case "BlowerTable.kind":
		return blowerKinds(), true
	case "Line.place":
		return places(), true
	case "Machine.kind":
		return machineKinds(), true
	case "Zone.mass":
		return Masses(), true
	case "Zone.faces":
		return Faces(), true
	case "Tolerance.shape":
		return []string{EvenShape, BellShape}, true
	case "Opening.pattern":
		return Patterns(), false
	case "Room.use":
		return roomUses(), false
	case "Limits.rules":
		return RuleSets(), false
	case "Damper.blade":
		return catalog.Names(catalog.Blades), false
	case "Line.material":
		return catalog.Names(catalog.Materials), false
	case "Line.fittings":
		return fittingNames(), false
	case "Opening.kind":
		return catalog.Names(catalog.Terminals), false
	case "BlowerChoice.table":
		return catalog.Names(catalog.Blowers), false
	case "Equipment.included", "BlowerTable.includes":
		return []string{"filter", "coil"}, false
	case "Leak.to":
		return append(places(), House), false
	case "Damper.sensor":
		return []string{SupplyPlenum, ReturnPlenum}, false
	}
	return nil, false
}

// Masses are the words for how heavy a zone is built, lightest first.
func Masses() []string { return []string{"very light", "light", "medium", "heavy", "very heavy"} }

// Faces are the ways that most of a zone's glass can face; "all" is glass all round.
func Faces() []string { return []string{"all", "north", "east", "south", "west"} }
