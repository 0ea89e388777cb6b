package sound

import (
	"math"

	"spillway/network/quantity"
	"spillway/solver/internal/formula"
	"spillway/solver/sound/validity"
)

// RoomCorrection is the flat difference between the sound power of an outlet and the level that its catalogue NC rates,
// dB in every band: "standard room correction of minus 10 dB" (definition text quoting ASHRAE 2009).
const RoomCorrection = 10.0

// How the level of a known part grows with flow at fixed geometry, dB per tenfold flow: a published rule of thumb,
// 60 log for outlets, 50 to 55 log for dampers, bends and ducts.
const (
	OutletGrowth = 60.0
	DuctGrowth   = 50.0
)

// FlowGain is what a level or an NC gains from one flow to another at fixed geometry, dB:
//
//	n log10(Q/Q0)
//
// with n OutletGrowth or DuctGrowth. Twice the flow is 18 dB with 60, 15 dB with 50. At rest it stops where a level of
// 100 dB would reach Floor. Flows of either sign, m³/s; from must not be zero (a gain from rest is 0).
func FlowGain(growth, from, to float64) float64 {
	if from == 0 || to == from {
		return 0
	}
	return max(growth*log10(math.Abs(to/from)), 2*Floor)
}

// Rated is an outlet whose maker rated it: an NC at one flow. Where there is such a rating it is better than Outlet.
type Rated struct {
	NC         float64 // catalogue rating (10 dB room), number on the classic curves
	RatedFlow  float64 // m³/s at which it holds
	FaceArea   float64 // m², sets the peak frequency
	Flow       float64 // m³/s now
	Shape      OutletShape
	PeakInBand bool
}

const ratedMethod = "scaling of a catalogue rating by 60 log Q (trade rule)"

var (
	ratedRatio  = validity.Range{Quantity: "flow over rated flow", Low: 0.5, High: 2, Of: ratedMethod}
	ratedNumber = validity.Range{Quantity: "catalogue NC", Low: 15, High: 65, Of: ratedMethod}
)

// Power is the sound power level, dB re 1 pW, that the rating implies: the octave shape of Outlet about the peak at the
// rated flow, set to the level at which it touches the rated NC curve in the 10 dB room; then 60 log(Q/Q0) on the level
// and the peak moved with the flow. Its NC therefore grows a little faster than the level when the flow rises, since the
// peak moves to bands where the curves are stricter.
//
// Notes: rated below NC 15 or above 65, flow outside half to twice the rated one (our choice).
func (r Rated) Power() (Spectrum, []validity.Note, error) {
	in := inputs{of: "a rated outlet"}
	in.within("catalogue NC", r.NC, -50, 150, "")
	in.flow(r.Flow)
	in.within("rated flow", math.Abs(r.RatedFlow), 1e-6, mostFlow, " m³/s")
	in.area(r.FaceArea)
	if in.err != nil {
		return Spectrum{}, nil, in.err
	}
	if r.Flow == 0 {
		return Silence(), nil, nil
	}
	var notes []validity.Note
	notes = ratedNumber.Flag(notes, r.NC)
	notes = ratedRatio.Flag(notes, math.Abs(r.Flow/r.RatedFlow))

	now := Outlet{Flow: r.Flow, FaceArea: r.FaceArea, PeakInBand: r.PeakInBand}
	overall := r.RatedLevel() + FlowGain(OutletGrowth, r.RatedFlow, r.Flow)
	return outletOctaves(overall, now.peak(), r.Shape), notes, nil
}

// RatedLevel is the overall sound power level at the rating, dB re 1 pW.
func (r Rated) RatedLevel() float64 {
	rated := Outlet{Flow: r.RatedFlow, FaceArea: r.FaceArea, PeakInBand: r.PeakInBand}
	return touching(r.NC, rated.peak(), r.Shape)
}

// RatedGrowth is the level of a rated outlet at another flow.
func RatedGrowth() *formula.Formula {
	flow := func(name string) formula.Symbol {
		return formula.Symbol{Name: name, Kind: quantity.KindAirflow, Low: 0.001, High: 1}
	}
	return &formula.Formula{Name: formula.Write("its maker's rating, # log of the flow", OutletGrowth),
		Text:   formula.Write("Lr + # * log10(Q / Qr)", OutletGrowth),
		Result: formula.Symbol{Name: "Lw", Kind: quantity.KindSoundLevel},
		In:     []formula.Symbol{{Name: "Lr", Kind: quantity.KindSoundLevel, Low: 0, High: 90}, flow("Q"), flow("Qr")},
		Eval:   func(in []float64) float64 { return in[0] + FlowGain(OutletGrowth, in[2], in[1]) }}
}

// touching is the overall power whose octaves, less the room correction, touch an NC curve from below.
func touching(number, peak float64, shape OutletShape) float64 {
	const reference = 1000.0 // any level at which no band is at Floor
	octaves := outletOctaves(reference, peak, shape)
	room := math.Inf(1)
	for band, level := range octaves {
		room = min(room, levelNC(number, band)+RoomCorrection-level)
	}
	return reference + room
}
