package network

import (
	"spillway/network/catalog"
	"spillway/network/section"
)

// DuctSpec is a straight duct with the fittings on it.
type DuctSpec struct {
	plain
	Section    section.Section
	Material   string
	Roughness  float64 // m
	Length     float64 // m, with equivalent lengths
	Rise       float64 // m gained from From to To
	Multiplier float64 // on friction, for compressed flexible duct; 1 otherwise
	Local      float64 // sum of loss coefficients on its own velocity pressure
	Losses     []Loss  // what Local is made of
	// First is true for the piece of a line that begins at the line's parent; a line with taps along it has several pieces.
	First bool
}

func (d *DuctSpec) area() (section.Section, bool) { return d.Section, true }

// Flexible reports whether the catalogue knows the duct's material as flexible.
func (d *DuctSpec) Flexible() bool {
	row, ok := catalog.LookupMaterial(d.Material)
	return ok && row.Flexible
}

// Loss is one contribution to a duct's local loss.
type Loss struct {
	Name        string
	Count       int
	Coefficient float64 // each
	Source      string
}
