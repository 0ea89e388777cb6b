package derive

import (
	"fmt"
	"math"

	"spillway/solver/sound"
	"spillway/solver/state"
)

// Noise is explained in the octave band that governs its number: what the outlet makes itself, what comes down the duct from dampers and
// take-offs, what parts and room take from it, and the curve that the rest touches.

// inaudible is the level under which sound is not followed any more, dB; agrees is how far a level may then be from the solver's.
const (
	inaudible = -70.0
	agrees    = 2e-5
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

// power10 is the sum of levels as an expression, and its value.
func levelSum(terms ...float64) float64 {
	sum := 0.0
	for _, l := range terms {
		sum += math.Pow(10, l/10)
	}
	return 10 * math.Log10(sum)
}

// actual airflow through an element.
func (x *Explainer) actual(i int) *Step {
	return x.remembered("actual airflow\x00"+x.g.Elements[i].Name, func() *Step {
		e := &x.o.Elements[i]
		return derived(x.g.Elements[i].Name+" actual airflow", "Q", Airflow, abs(e.Flow)/e.Density, "mass flow over density", "Q = abs(m) / ρ", Input{"m", x.flow(i)}, Input{"ρ", x.density(i)})
	})
}

// noiseNumber explains the noise criterion of levels in a room by its governing band.
func noiseNumber(name string, value float64, level *Step, band int) *Step {
	curve := func(number float64) *Step {
		return row(fmt.Sprintf("curve NC %g at %g Hz", number, sound.Centre(band)), "c", Level, sound.Curve(number)[band], "noise criterion curves (Beranek 1957)")
	}
	l := level.Value
	if exact := sound.RateNC(alone(l, band)).Number; abs(exact-value) > 1e-7*abs(value) {
		return model(name, "N", Noise, value, noiseMethod)
	}
	low, high := sound.Curve(15)[band], sound.Curve(70)[band]
	switch {
	case l <= low:
		return derived(name, "N", Noise, value, fmt.Sprintf("under the lowest curve it goes on by 1 per decibel; %g Hz governs", sound.Centre(band)), "N = 15 + L - c", Input{"L", level}, Input{"c", curve(15)})
	case l > high:
		return derived(name, "N", Noise, value, fmt.Sprintf("over the highest curve it goes on by 1 per decibel; %g Hz governs", sound.Centre(band)), "N = 70 + L - c", Input{"L", level}, Input{"c", curve(70)})
	}
	number := 15.0
	for sound.Curve(number + 5)[band] < l {
		number += 5
	}
	below, above := curve(number), curve(number+5)
	return derived(name, "N", Noise, value, fmt.Sprintf("between the curves that it lies between; of all bands %g Hz gives the most", sound.Centre(band)), fmt.Sprintf("N = %g + 5 * (L - c1) / (c2 - c1)", number),
		Input{"L", level}, Input{"c1", below}, Input{"c2", above})
}

// alone is a spectrum with one audible band.
func alone(level float64, band int) sound.Spectrum {
	s := sound.Even(-1000)
	s[band] = level
	return s
}

// heard is the level of one opening at the listener, in a band; nil where it cannot be followed.
func (x *Explainer) heard(o *state.SoundOpening, n *state.Noise, band int) *Step {
	name := x.g.Elements[o.Element].Name
	return x.remembered(at("heard\x00"+name, band), func() *Step {
		power := x.soundPower(o, n, band)
		if power == nil {
			return nil
		}
		effect := x.roomEffect(o, band)
		if abs(power.Value-effect.Value-n.Levels[band]) > agrees {
			return nil
		}
		return derived(at(name+" level at the listener", band), "L", Level, power.Value-effect.Value, "sound power less what the room takes", "L = Lw - R", Input{"Lw", power}, Input{"R", effect})
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
		r := min(max(room.Listener, 0.5), 15)
		value := 10*math.Log10(r) + 5*math.Log10(room.Volume()) - 12.1 + 3*math.Log10(sound.Centre(band))
		return derived(at(room.Name+" room effect", band), "R", Level, value, "one outlet in a furnished room (Schultz)", "R = 10 * log10(min(max(r, 0.5), 15)) + 5 * log10(A * h) + 3 * log10(f) - 12.1",
			Input{"r", given("distance of the listener", "r", Length, room.Listener, "listener")}, Input{"A", given("floor", "A", Area, room.Floor, "floor")},
			Input{"h", given("ceiling", "h", Length, room.Ceiling, "ceiling")}, Input{"f", x.frequency(band)})
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
	if arriving == nil || arriving.Value-o.End[band] < inaudible {
		if abs(own.Value-n.Power[band]) > agrees {
			return nil
		}
		return derived(label, "Lw", Level, own.Value, "its own; nothing to speak of comes down the duct", "Lw = Lo", Input{"Lo", own})
	}
	end := x.ductEnd(o, band)
	value := levelSum(own.Value, arriving.Value-end.Value)
	if abs(value-n.Power[band]) > agrees {
		return nil
	}
	return derived(label, "Lw", Level, value, "its own, and what comes down the duct less what the duct's end throws back", "Lw = 10 * log10(10^(Lo / 10) + 10^((Ld - E) / 10))",
		Input{"Lo", own}, Input{"Ld", arriving}, Input{"E", end})
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
	return derived(label, "E", Level, o.End[band], "what the end of the duct throws back, flush with a wall; 343.8 m/s the speed of sound ("+long+"eqs. 14.14 and 14.15)",
		"E = 10 * log10(1 + (0.8 * 343.8 / (π * f * sqrt(4 * S / π)))^1.88)", Input{"f", x.frequency(band)}, Input{"S", x.area(duct)})
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
	peak := math.Min(5+math.Log10(160*flow.Value/o.Area/1000)/math.Log10(2), 8)
	a := peak - float64(band+1)
	face := x.area(i)
	peakStep := derived(name+" peak of its noise, as a band", "b", Plain, peak, "160 times the face velocity in m/s is its frequency; bands count from 31.5 Hz, and it is held at 8000 Hz", "b = min(5 + log10(160 * Q / (S * 1000)) / log10(2), 8)",
		Input{"Q", flow}, Input{"S", face})
	value := overall.Value - 5.82 - 0.15*a - 1.13*a*a
	inputs := []Input{{"Lw", overall}, {"b", peakStep}}
	expression := fmt.Sprintf("Lw - 5.82 - 0.15 * (b - %[1]d) - 1.13 * (b - %[1]d)^2", band+1)
	if o.OpenShare != 1 && open != nil && open.Value > 0 {
		dynamic := 0.0
		if o.Supply {
			dynamic = e.Density * e.Velocity * e.Velocity / 2
		}
		gain, _, err := sound.Throttled(sound.InNeck, (abs(e.Drop-e.Junction)-dynamic)/open.Value)
		if err != nil {
			return nil
		}
		expression += " + G"
		inputs = append(inputs, Input{"G", row(name+" more by its throttled damper", "G", Level, gain, "ASHRAE HVAC Applications 2019, ch. 49, Table 10, damper in the neck, by throttled over open pressure")})
		value += gain
	}
	if value < inaudible {
		return constant(at(name+" own noise", band), "Lo", Level, value, "too quiet to follow")
	}
	return derived(at(name+" own noise", band), "Lo", Level, value, "the shape of its octaves about their peak ("+long+"eqs. 13.27 to 13.33)", "Lo = "+expression, inputs...)
}

// outletLevel is an outlet's overall level, and the static pressure that it takes when open (nil for a rated one).
func (x *Explainer) outletLevel(o *state.SoundOpening) (overall, open *Step) {
	i := o.Element
	e := &x.o.Elements[i]
	name := x.g.Elements[i].Name
	dynamic := 0.0
	if o.Supply {
		dynamic = e.Density * e.Velocity * e.Velocity / 2
	}
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
	pressure := max(abs(e.Drop-e.Junction)*o.OpenShare-dynamic, 0)
	open = derived(name+" static it takes open", "Δp", Pressure, pressure, words, "Δp = max("+expression+", 0)", inputs...)
	if o.Rated != nil {
		own, _, err := sound.Rated{NC: o.Rated.NC, RatedFlow: float64(o.Rated.At), FaceArea: o.Area, Flow: float64(o.Rated.At)}.Power()
		if err != nil {
			return nil, nil
		}
		peak := math.Min(5+math.Log10(160*float64(o.Rated.At)/o.Area/1000)/math.Log10(2), 8)
		level := math.Inf(-1)
		for band, l := range own {
			if a := peak - float64(band+1); l > sound.Floor {
				level = l + 5.82 + 0.15*a + 1.13*a*a
			}
		}
		path := x.linePath(x.g.Elements[i].Line, "register", "noise")
		rated := row(name+" overall level at its rating", "Lr", Level, level, fmt.Sprintf("the level whose octaves just touch NC %g in a room of 10 dB", o.Rated.NC))
		return derived(name+" overall level", "Lw", Level, level+60*math.Log10(x.actual(i).Value/float64(o.Rated.At)), "its maker's rating, 60 log of the flow", "Lw = Lr + 60 * log10(Q / Qr)",
			Input{"Lr", rated}, Input{"Q", x.actual(i)}, Input{"Qr", x.file(name+" rated at", "Qr", Airflow, float64(o.Rated.At), path...)}), open
	}
	if pressure <= 0 {
		return nil, nil
	}
	return derived(name+" overall level", "Lw", Level, 10*math.Log10(o.Area)+30*math.Log10(pressure)+16.6, "the outlet by the static pressure it takes ("+long+"eqs. 13.27 to 13.33, Reynolds)",
		"Lw = 10 * log10(S) + 30 * log10(Δp) + 16.6", Input{"S", x.area(i)}, Input{"Δp", open}), open
}
