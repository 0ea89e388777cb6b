package verdict

import (
	"math"

	"spillway/network"
	"spillway/solver/state"
)

// Limits of the heat side. Temperatures in °C, differences in K.
const (
	fahrenheit = 1 / 1.8

	// hotReturn is the greatest entering air of a furnace: 80 to 85 °F is common in installation manuals (from memory).
	hotReturn, hottestReturn = (80.0 - 32) / 1.8, (85.0 - 32) / 1.8
	// coldReturn is the least entering air of a furnace for continuous running: 55 to 60 °F (from memory).
	coldReturn, coldestReturn = (60.0 - 32) / 1.8, (55.0 - 32) / 1.8
	// nearLimit is how near the limit the sensor may settle before it is worth a caution: 10 °F (our choice).
	nearLimit = 10 * fahrenheit
	// frostCaution is the evaporating temperature below which a loaded filter or a cooler return ices the coil: 36 °F (our choice).
	frostCaution = (36.0 - 32) / 1.8
	// coldSupply is leaving air that a practitioner would question: 45 °F (our choice).
	coldSupply, coldestSupply = (45.0 - 32) / 1.8, (40.0 - 32) / 1.8
	// driftCaution and driftFault, K: 2 and 3 °F from the setpoint (usual swing limits are 2 °F in heating, 3 °F in cooling, from memory).
	driftCaution, driftFault = 2 * fahrenheit, 3 * fahrenheit
	ductLimit                = (250.0 - 32) / 1.8
)

const (
	plateSource   = "rating plate, as the job file gives it"
	manualSource  = "usual in furnace installation manuals (from memory); the manual of the appliance governs"
	limitSource   = "limit of the appliance, as the job file gives it"
	limitDefault  = "usual range of limits is 165 to 200 °F; 170 °F is a default of ours, the appliance's own governs"
	frostSource   = "a comfort-cooling coil's evaporating temperature must stay above 32 °F (trade practice); 36 °F is a margin of ours"
	supplySource  = "an alarm of ours; supply air of a comfort-cooling coil is commonly 50 to 58 °F"
	driftSource   = "usual limits from room to setpoint are 2 °F in heating and 3 °F in cooling (from memory); defaults of ours"
	sweatSource   = "surfaces colder than the room's dew point condense its moisture"
	ductAirSource = "equipment on ducts is limited to discharge air of 250 °F (IRC M1601.1.1, from memory)"
)

func (j *judge) temperatures() {
	e := &j.o.Equipment
	if !e.Computed {
		return
	}
	switch j.o.State.Mode {
	case network.Heating:
		j.heating(e)
	case network.Cooling:
		j.cooling(e)
	}
	j.drift()
}

func (j *judge) heating(e *state.Equipment) {
	if !math.IsNaN(e.GreatestRise) {
		f := Finding{Check: "temperature rise", Quantity: Span, Value: e.Rise, Limit: e.GreatestRise, Source: plateSource, Level: OK}
		switch {
		case e.Rise > e.GreatestRise:
			f.Level, f.Remedy = Fault, "more air over the heat exchanger: less static, a higher tap, or a lower stage in this call"
		case e.Rise < e.LeastRise:
			f.Level, f.Limit, f.Remedy = Fault, e.LeastRise, "less air: too low a rise condenses in a heat exchanger that is not made for it"
		}
		j.found = append(j.found, f)
	}
	j.found = append(j.found,
		most(Finding{Check: "entering air", Quantity: Temperature, Value: e.Entering,
			Remedy: "less recirculation: send the surplus to a zone instead, or run a lower stage"}, band{hotReturn, hottestReturn, manualSource}),
		least(Finding{Check: "entering air, cold", Quantity: Temperature, Value: e.Entering,
			Remedy: "find where cold air enters the return; below this flue gas condenses in the heat exchanger"}, band{coldReturn, coldestReturn, manualSource}),
	)
	if !math.IsNaN(e.Sensor) {
		source := limitDefault
		if e.LimitGiven {
			source = limitSource
		}
		f := most(Finding{Check: "limit", Quantity: Temperature, Value: e.Sensor,
			Remedy: "less recirculation or more airflow in this call; never alter or bypass the limit"}, band{e.Limit - nearLimit, e.Limit, source})
		j.found = append(j.found, f)
	}
	j.found = append(j.found, most(Finding{Check: "duct air", Quantity: Temperature, Value: e.Leaving,
		Remedy: "the layout overheats the air: do not run it"}, band{ductLimit - 50*fahrenheit, ductLimit, ductAirSource}))
}

func (j *judge) cooling(e *state.Equipment) {
	j.found = append(j.found,
		least(Finding{Check: "coil frost", Quantity: Temperature, Value: e.EvaporatingStrip,
			Remedy: "more air over the coil, less recirculation, or a lower stage in this call; on mild days most of all"}, band{frostCaution, 0, frostSource}),
		least(Finding{Check: "leaving air", Quantity: Temperature, Value: e.Leaving,
			Remedy: "more air over the coil or less recirculation"}, band{coldSupply, coldestSupply, supplySource}),
	)
	g := j.o.Graph
	for k, r := range j.o.Registers {
		if !math.IsNaN(r.Temperature) && r.Temperature < r.DewPoint {
			if j.coldest < 0 || r.Temperature < j.o.Registers[j.coldest].Temperature {
				j.coldest = k
			}
		}
	}
	if j.coldest >= 0 {
		r := j.o.Registers[j.coldest]
		level := OK // supply air colder than the room's dew point is ordinary; it wets metal only when the room is humid
		if r.DewPoint-r.Temperature > 5*fahrenheit {
			level = Caution
		}
		f := Finding{Check: "register sweating", Where: g.Registers[j.coldest].Line, Level: level, Quantity: Temperature, Value: r.Temperature,
			Limit: r.DewPoint, Source: sweatSource}
		if level != OK {
			f.Remedy = "insulate boots and registers, or keep the supply air warmer: metal this cold sweats in the room's air"
		}
		j.found = append(j.found, f)
	}
}

// drift judges where satisfied zones end.
func (j *judge) drift() {
	var list []Finding
	for i, z := range j.o.Zones {
		if z.Calling || math.IsNaN(z.DriftEnd) {
			continue
		}
		end := z.DriftEnd
		if j.o.State.Mode == network.Cooling {
			end = -end
		}
		// Only drift on the machine's side counts: a zone that drifts the other way calls for itself.
		list = append(list, most(Finding{
			Check: "zone drift", Where: j.o.Graph.Job.Zones[i].Name, Quantity: Span, Value: math.Max(end, 0),
			Remedy: "less bleed into it: a smaller stop, or share the surplus among more zones",
		}, band{driftCaution, driftFault, driftSource}))
	}
	j.several(list)
}
