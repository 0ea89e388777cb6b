package sound

import (
	"fmt"

	"spillway/solver/sound/validity"
)

// Uncertainty of the physical estimates, dB.
const (
	// OutletUncertainty of a clean outlet with a known pressure drop, either way. Twice the drop is 9 dB, so it is the
	// drop that has to be right.
	OutletUncertainty = 5.0
	// EntryUncertainty is how much louder than estimated an outlet may be behind a crooked entry or a damper, field
	// practice.
	EntryUncertainty = 15.0
	// InaudibleLevel of overall sound power, dB re 1 pW, under which an outlet is as good as silent.
	InaudibleLevel = 15.0
)

// Opening is what Judge needs to know of a register or grille besides its sound power.
type Opening struct {
	Power        Spectrum // all that leaves it, dB re 1 pW
	Way          AirWay
	FreeVelocity float64 // m/s in the free area
	// RoughEntry tells that the neck is not straight for a diameter or two, or that a damper sits in it.
	RoughEntry bool
	// Measured tells that Power follows from a maker's rating (Rated). A rating wins: the expectation is then the
	// estimate alone, and the screening is for comparison.
	Measured bool
}

// Judgement is one opening heard in one room, by physics and by handbook.
type Judgement struct {
	Levels Spectrum // sound pressure at the listener, dB re 20 µPa
	NC     NC       // of Levels
	RC     RC
	DBA    float64
	// Catalogue is the NC in the catalogue's 10 dB room, to compare with makers' sheets.
	Catalogue NC
	// PhysicalLow and PhysicalHigh bound NC by the uncertainty of the physical estimate.
	PhysicalLow, PhysicalHigh float64
	// Screening by velocity; ScreenUncertainty on either side.
	Screening Screening
	// ExpectedLow and ExpectedHigh are the lower and the higher of NC and the screening's high side, or NC alone when
	// Measured. The higher is the one to plan for.
	ExpectedLow, ExpectedHigh float64
	Measured                  bool
	Notes                     []validity.Note
}

// Judge sets the physical estimate of an opening in a room beside the velocity screen. They differ, often by 7 to 15 NC:
// the formulas describe a clean outlet from its pressure drop, the tables any outlet from its velocity, ordinary bad
// entries allowed for. Both are returned, each with its uncertainty, and the range from one to the other.
func Judge(o Opening, room Room) (Judgement, error) {
	in := inputs{of: "an opening"}
	in.finite("sound power", o.Power)
	if in.err != nil {
		return Judgement{}, in.err
	}
	loss, notes, err := room.Loss()
	if err != nil {
		return Judgement{}, err
	}
	screening, more, err := Screen(o.Way, o.FreeVelocity)
	if err != nil {
		return Judgement{}, err
	}
	j := Judgement{Levels: o.Power.Less(loss), Screening: screening, Measured: o.Measured, Notes: append(notes, more...)}
	j.NC, j.RC, j.DBA = RateNC(j.Levels, Classic), RateRC(j.Levels), j.Levels.DBA()
	j.Catalogue = RateNC(o.Power.Raised(-RoomCorrection), Classic)
	j.PhysicalLow, j.PhysicalHigh = j.NC.Number-OutletUncertainty, j.NC.Number+OutletUncertainty
	if o.RoughEntry {
		j.PhysicalHigh = j.NC.Number + EntryUncertainty
	}
	j.ExpectedLow, j.ExpectedHigh = j.NC.Number, j.NC.Number
	if !o.Measured {
		j.ExpectedLow = min(j.NC.Number, screening.High())
		j.ExpectedHigh = max(j.NC.Number, screening.High())
	}
	return j, nil
}

// String says both answers and why they differ.
func (j Judgement) String() string {
	basis := "the pressure drop of a clean outlet"
	if j.Measured {
		basis = "the maker's rating"
	}
	return fmt.Sprintf("%s (%s to %s) from %s; NC %s to %s from velocity tables, which allow for dampers and crooked entries; plan for NC %s",
		j.NC, shown(j.PhysicalLow), shown(j.PhysicalHigh), basis,
		shown(j.Screening.Low()-ScreenUncertainty), shown(j.Screening.High()+ScreenUncertainty), shown(j.ExpectedHigh))
}

// shown is a criterion number as text, "<15" below the lowest curve.
func shown(number float64) string {
	if number < lowestNC {
		return "<15"
	}
	return fmt.Sprintf("%.0f", number)
}
