package network

import (
	"math"
	"slices"

	"spillway/network/catalog"
	"spillway/network/quantity"
)

// Instrument is how well one kind of instrument reads: a standard uncertainty of a share of the reading and a floor, which add as
// squares. Where a source gives a band ("±10 %") half of it is taken for the standard uncertainty (our choice).
type Instrument struct {
	Name   string
	Kinds  []ReadingKind // the first is what it is the default for
	Share  float64       // of the reading
	Floor  float64       // SI
	Source catalog.Source
}

// Sigma is the standard uncertainty of a reading, SI.
//
//	σ = √((share · value)² + floor²)
func (i *Instrument) Sigma(value float64) float64 { return math.Hypot(i.Share*value, i.Floor) }

// Instruments lists the kinds of instrument. The first that reads a kind is that kind's default.
func Instruments() []Instrument {
	published := func(text string) catalog.Source { return catalog.Source{Text: text, Mark: catalog.Published} }
	memory := func(text string) catalog.Source { return catalog.Source{Text: text, Mark: catalog.Memory} }
	choice := func(text string) catalog.Source { return catalog.Source{Text: text, Mark: catalog.OurChoice} }
	const (
		hoods    = "Building field-test notes of the National Renewable Energy Laboratory: flow hoods 5 to 10 %"
		grilles  = "Measuring residential ventilation (Lawrence Berkeley National Laboratory): powered hoods about 6 %, others 11 to 25 % in the field"
		fractile = 0.005 * quantity.InchWater
	)
	return []Instrument{
		{"static probe", []ReadingKind{StaticReading, TotalReading, DropReading}, 0.01, 0.01 * quantity.InchWater,
			memory("a probe in a turbulent plenum is good to ±0.02 in. of water at best; half of that")},
		{"manometer", []ReadingKind{DropReading, StaticReading, TotalReading}, 0.01, 1,
			published("NREL Standard Work Specification 662014: ±1 Pa; Title 24 Reference Appendices RA3.7: 1 % of the reading")},
		{"pressure gauge", []ReadingKind{StaticReading, TotalReading, DropReading}, 0.03, 2 * fractile, memory("dial gauge, 2 to 4 % of its range of 0.5 in. of water")},
		{"flow hood", []ReadingKind{AirflowReading}, 0.05, 3 * quantity.CFM, published(hoods + "; the lower half for a hood that fits the register, with a floor of 3 cfm for its reading (our choice)")},
		{"powered hood", []ReadingKind{AirflowReading}, 0.03, 2 * quantity.CFM, published(grilles)},
		{"field hood", []ReadingKind{AirflowReading}, 0.09, 5 * quantity.CFM, published(grilles)},
		{"traverse", []ReadingKind{AirflowReading}, 0.05, 5 * quantity.CFM, choice("pitot traverse in a duct, ±10 % where the duct is not straight for long")},
		{"flow plate", []ReadingKind{AirflowReading}, 0.035, 10 * quantity.CFM, choice("calibrated plate in the filter's place, ±7 %")},
		{"vane anemometer", []ReadingKind{FaceReading, AirflowReading}, 0.10, 15 * quantity.FPM, memory("face of a register by a moving vane, ±20 %: blades and free area make it worse than the instrument")},
		{"hot wire", []ReadingKind{FaceReading}, 0.08, 10 * quantity.FPM, memory("single points on a face, ±15 %")},
		{"thermometer", []ReadingKind{TemperatureReading}, 0, 1 * quantity.FahrenheitDeg, memory("±2 °F of the mean of an airstream; stratified plenums are far worse")},
		{"two thermometers", []ReadingKind{RiseReading}, 0, math.Sqrt2 * 1 * quantity.FahrenheitDeg, memory("two thermometers of ±2 °F")},
		{"sound meter", []ReadingKind{SoundReading}, 0, 1.5, memory("class 2 meter, ±1.5 dB; the model of noise is far less sure, see the fit")},
		{"wattmeter", []ReadingKind{WattsReading}, 0.02, 3, memory("plug-in or clamp meter, 2 to 3 %")},
	}
}

// InstrumentNamed finds an instrument by its name.
func InstrumentNamed(name string) (Instrument, bool) {
	for _, i := range Instruments() {
		if i.Name == name {
			return i, true
		}
	}
	return Instrument{}, false
}

// InstrumentFor is the instrument that a kind of reading is taken to be made with.
func InstrumentFor(kind ReadingKind) Instrument {
	all := Instruments()
	for _, i := range all {
		if i.Kinds[0] == kind && (kind != DropReading || i.Name == "manometer") {
			return i
		}
	}
	for _, i := range all {
		if slices.Contains(i.Kinds, kind) {
			return i
		}
	}
	return Instrument{Name: "instrument"}
}
