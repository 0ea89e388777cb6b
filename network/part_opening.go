package network

import (
	"spillway/network/catalog"
	"spillway/network/section"
)

// OpeningSpec is a register, grille or transfer grille.
type OpeningSpec struct {
	plain
	Section  section.Section
	Kind     string
	FreeArea float64
	Drop, At float64 // Pa at m³/s: one catalogue point, or zero
	Balance  *Position
	Supply   bool // discharges (exit loss) rather than takes in
	Transfer bool // joins two rooms
}

func (s *OpeningSpec) area() (section.Section, bool) { return s.Section, true }

// GapSpec is a sharp-edged opening: a door's undercut and cracks, an open door.
type GapSpec struct {
	plain
	Area float64 // m²
}

// Terminal returns the catalogue's row for the opening: its kind, or where the file names none the
// usual one of its place, a register, a grille or a transfer grille. It reports whether there is one.
func (s *OpeningSpec) Terminal() (catalog.Terminal, bool) {
	kind := s.Kind
	switch {
	case kind != "":
	case s.Supply:
		kind = "register"
	case s.Transfer:
		kind = "transfer grille"
	default:
		kind = "grille"
	}
	return catalog.LookupTerminal(kind)
}

// FreeShare returns the free share of the face: the file's, else that of the opening's kind. It is
// the only one: pressure drop and noise follow from the same share.
func (s *OpeningSpec) FreeShare() float64 {
	if s.FreeArea > 0 {
		return s.FreeArea
	}
	if row, ok := s.Terminal(); ok {
		return row.FreeArea
	}
	return catalog.DefaultFreeArea
}
