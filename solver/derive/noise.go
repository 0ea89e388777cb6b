package derive

import (
	"fmt"
	"strings"

	"spillway/solver/sound"
	"spillway/solver/state"
)

// Noise is explained in the octave band that governs its number: what the outlet makes itself, what comes down the duct from dampers and
// take-offs, what parts and room take from it, and the curve that the rest touches.

// Sound is not followed below inaudible, nor where it is drowned by so much that it adds nothing printed; a
// level below quiet is not explained. All dB.
const (
	inaudible = sound.Floor + 1
	drowned   = 70.0
	quiet     = -45.0
)

const long = "Long, Architectural Acoustics, 2nd ed., "

// openings are a register's or grille's place on the way of sound; nil when it has none.
func (x *Explainer) soundTrace() *state.SoundTrace {
	if !x.traced {
		x.traced = true
		x.trace, _ = state.TraceSound(x.g) // the solver has been through it without an error
	}
	return x.trace
}

// bandOf is the octave band of a centre frequency.
func bandOf(frequency float64) int {
	for band := range sound.Bands {
		if sound.Centre(band) == frequency {
			return band
		}
	}
	return -1
}

func at(name string, band int) string { return fmt.Sprintf("%s at %g Hz", name, sound.Centre(band)) }

func (x *Explainer) frequency(band int) *Step {
	return x.remembered(at("frequency", band), func() *Step {
		return constant(at("octave band", band), "f", Frequency, sound.Centre(band), "centre of the band (IEC 61260)")
	})
}

// levels is the energy sum of levels, each an expression in a symbol.
func levels(terms ...string) string {
	return "10 * log10(10^(" + strings.Join(terms, " / 10) + 10^(") + " / 10))"
}

// actual airflow through an element.
func (x *Explainer) actual(i int) *Step {
	return x.remembered("actual airflow\x00"+x.g.Elements[i].Name, func() *Step {
		e := &x.o.Elements[i]
		return derived(x.g.Elements[i].Name+" actual airflow", "Q", Airflow, abs(e.Flow)/e.Density, "mass flow over density", "Q = abs(m) / ρ", Input{"m", x.flow(i)}, Input{"ρ", x.density(i)})
	})
}

// noiseNumber explains the noise criterion of a level in the band that governs.
func noiseNumber(name string, value float64, level *Step, band int) *Step {
	f, curves := sound.NCNumber(level.Value, band)
	in := []*Step{level}
	for _, number := range curves {
		in = append(in, row(fmt.Sprintf("curve NC %g at %g Hz", number, sound.Centre(band)), "c", Level, sound.Curve(number)[band], "noise criterion curves (Beranek 1957)"))
	}
	return by(f, name, value, in...)
}

// heard is the level of one opening at the listener, in a band; nil where it makes nothing.
func (x *Explainer) heard(o *state.SoundOpening, n *state.Noise, band int) *Step {
	name := x.g.Elements[o.Element].Name
	return x.remembered(at("heard\x00"+name, band), func() *Step {
		power := x.soundPower(o, n, band)
		if power == nil {
			return nil
		}
		return derived(at(name+" level at the listener", band), "L", Level, n.Levels[band], "sound power less what the room takes", "L = Lw - R", Input{"Lw", power}, Input{"R", x.roomEffect(o, band)})
	})
}

// roomEffect is what lies between the power of an outlet and the level at the listener.
func (x *Explainer) roomEffect(o *state.SoundOpening, band int) *Step {
	room := &o.Room
	return x.remembered(at(fmt.Sprintf("room effect\x00%s\x00%g %g", room.Name, room.Volume(), room.Listener), band), func() *Step {
		given := func(what, symbol string, q Quantity, value float64, key string) *Step {
			if x.job.Place("room", room.Name, key).Line > 0 {
				return x.file(room.Name+" "+what, symbol, q, value, "room", room.Name, key)
			}
			return assumed(room.Name+" "+what, symbol, q, value, "a usual room, where the job file says nothing of this one (our choice)")
		}
		return worked(sound.RoomEffect(), at(room.Name+" room effect", band), given("distance of the listener", "r", Length, room.Listener, "listener"),
			given("floor", "A", Area, room.Floor, "floor"), given("ceiling", "h", Length, room.Ceiling, "ceiling"), x.frequency(band))
	})
}

// soundPower is all that leaves an opening in a band: its own and what comes down the duct.
func (x *Explainer) soundPower(o *state.SoundOpening, n *state.Noise, band int) *Step {
	name := x.g.Elements[o.Element].Name
	own := x.outletPower(o, band)
	if own == nil {
		return nil
	}
	var arriving *Step
	if o.Supply {
		arriving = x.arriving(x.g.Elements[o.Element].From, band)
	}
	label := at(name+" sound power", band)
	if arriving == nil || arriving.Value-o.End[band] < own.Value-drowned {
		return derived(label, "Lw", Level, n.Power[band], "its own; nothing to speak of comes down the duct", "Lw = Lo", Input{"Lo", own})
	}
	return derived(label, "Lw", Level, n.Power[band], "its own, and what comes down the duct less what the duct's end throws back", "Lw = 10 * log10(10^(Lo / 10) + 10^((Ld - E) / 10))",
		Input{"Lo", own}, Input{"Ld", arriving}, Input{"E", x.ductEnd(o, band)})
}

// ductEnd is the end reflection.
func (x *Explainer) ductEnd(o *state.SoundOpening, band int) *Step {
	name := x.g.Elements[o.Element].Name
	duct := -1
	for k := range x.g.Registers {
		if x.g.Registers[k].Element == o.Element {
			duct = x.g.Registers[k].Duct
		}
	}
	label := at(name+" end reflection", band)
	if duct < 0 || o.End[band] == 0 {
		return row(label, "E", Level, o.End[band], long+"eq. 14.14")
	}
	return by(sound.EndReflection(), label, o.End[band], x.frequency(band), x.area(duct))
}

// outletPower is what an outlet makes itself, in a band.
func (x *Explainer) outletPower(o *state.SoundOpening, band int) *Step {
	i := o.Element
	e := &x.o.Elements[i]
	name := x.g.Elements[i].Name
	flow := x.actual(i)
	if flow.Value == 0 || o.Area <= 0 {
		return nil
	}
	overall, open := x.outletLevel(o)
	if overall == nil {
		return nil
	}
	octave := sound.OutletOctave(band)
	own := worked(octave, at(name+" own noise", band), overall, worked(sound.OutletPeak(), name+" peak of its noise, as a band", flow, x.area(i)))
	if o.OpenShare != 1 && open != nil && open.Value > 0 {
		dynamic := 0.0
		if o.Supply {
			dynamic = e.Density * e.Velocity * e.Velocity / 2
		}
		gain, _, err := sound.Throttled(sound.InNeck, (abs(e.Drop-e.Junction)-dynamic)/open.Value)
		if err != nil {
			return nil
		}
		own = calculated(own.Name, own.Symbol, Level, own.Words, own.Equation+" + G", append(own.Inputs,
			Input{"G", row(name+" more by its throttled damper", "G", Level, gain, "ASHRAE HVAC Applications 2019, ch. 49, Table 10, damper in the neck, by throttled over open pressure")})...)
	}
	if own.Value < inaudible {
		return constant(own.Name, own.Symbol, Level, own.Value, "too quiet to follow")
	}
	return own
}

// outletLevel is an outlet's overall level, and the static pressure that it takes when open (nil for a rated one).
func (x *Explainer) outletLevel(o *state.SoundOpening) (overall, open *Step) {
	i := o.Element
	e := &x.o.Elements[i]
	name := x.g.Elements[i].Name
	drop := x.drop(i)
	inputs := []Input{{"Δpt", drop}}
	expression := "abs(Δpt)"
	if e.Junction != 0 {
		expression = "abs(Δpt - Δpj)"
		inputs = append(inputs, Input{"Δpj", x.junctionLoss(i)})
	}
	if o.OpenShare != 1 {
		expression += " * o"
		inputs = append(inputs, Input{"o", row(name+" open over as set", "o", Share, o.OpenShare, "loss of the face over that of face and damper, by the catalogue")})
	}
	words := "what it takes when open"
	if o.Supply {
		words += ", less the velocity that is lost in the room"
		expression += " - ρ * V^2 / 2"
		inputs = append(inputs, Input{"ρ", x.density(i)}, Input{"V", x.velocity(i)})
	}
	open = calculated(name+" static it takes open", "Δp", Pressure, words, "Δp = max("+expression+", 0)", inputs...)
	if o.Rated != nil {
		rating := sound.Rated{NC: o.Rated.NC, RatedFlow: float64(o.Rated.At), FaceArea: o.Area}
		path := x.linePath(x.g.Elements[i].Line, "register", "noise")
		return worked(sound.RatedGrowth(), name+" overall level",
			row(name+" overall level at its rating", "Lr", Level, rating.RatedLevel(), fmt.Sprintf("the level whose octaves just touch NC %g in a room of 10 dB", o.Rated.NC)),
			x.actual(i), x.file(name+" rated at", "Qr", Airflow, float64(o.Rated.At), path...)), open
	}
	if open.Value <= 0 {
		return nil, nil
	}
	return worked(sound.OutletLevel(), name+" overall level", x.area(i), open), open
}
