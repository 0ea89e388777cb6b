package verdict

import (
	"math"

	"spillway/network"
	"spillway/solver/state"
	"spillway/solver/zoning"
)

// temperatures judges the air in the machine and where satisfied zones go, where they were computed.
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
		c, remedy := GreatestRise, "more air over the heat exchanger: less static, a higher tap, or a lower stage in this call"
		if e.Rise < e.LeastRise {
			c, remedy = LeastRise, "less air: too low a rise condenses in a heat exchanger that is not made for it"
		}
		j.read(c, state.EquipmentRise, remedy)
	}
	j.read(EnteringAir, state.EquipmentEntering, "less recirculation: send the surplus to a zone instead, or run a lower stage")
	j.read(ColdEnteringAir, state.EquipmentEntering, "find where cold air enters the return; below this flue gas condenses in the heat exchanger")
	if !math.IsNaN(e.Sensor) {
		l := *j.limit(LimitMargin) // a margin under the limit, stated as the temperature of its sensor
		l.Quantity, l.Bounds = Temperature, AtMost
		l.Caution, l.Fault = e.Limit-l.Caution, e.Limit-l.Fault
		j.mixed(&l, state.EquipmentSensor, state.EquipmentSensorHigh, Mixed{e.SensorLow, e.SensorHigh, e.UnmixedLow, e.UnmixedHigh, e.UnmixedAtSensor(l.Fault)},
			"less recirculation or more airflow in this call, or a bypass that joins farther upstream, before two elbows; never alter or bypass the limit")
	}
	j.read(DuctAir, state.EquipmentLeaving, "the layout overheats the air: do not run it")
}

// sameWarmth is the difference, K, that is no difference between registers: the first of them is named.
const sameWarmth = 1e-6

func (j *judge) cooling(e *state.Equipment) {
	if !math.IsNaN(e.EvaporatingStrip) {
		l := j.limit(CoilFrost)
		j.mixed(l, state.EquipmentStrip, state.EquipmentStripHigh, Mixed{e.StripLow, e.StripHigh, e.UnmixedLow, e.UnmixedHigh, e.UnmixedAtStrip(l.Fault)},
			"more air over the coil, less recirculation, or a lower stage in this call, on mild days most of all; "+
				"ice takes air away after half an hour to two hours of unbroken running and melts in any off-period")
	}
	j.read(LeavingAir, state.EquipmentLeaving, "more air over the coil or less recirculation")
	coldest := -1 // against the dew point of the room
	for k, r := range j.o.Registers {
		if !math.IsNaN(r.Temperature-r.DewPoint) &&
			(coldest < 0 || r.Temperature-r.DewPoint < j.o.Registers[coldest].Temperature-j.o.Registers[coldest].DewPoint-sameWarmth) {
			coldest = k
		}
	}
	if coldest < 0 {
		return
	}
	r := &j.o.Registers[coldest]
	l := *j.limit(Sweating) // so far under the dew point, stated as the temperature of the air
	l.Quantity, l.Bounds = Temperature, AtLeast
	l.Caution, l.Fault = r.DewPoint-l.Caution, r.DewPoint-l.Fault
	j.found = append(j.found, l.judge(j.g.Registers[coldest].Line, r.Temperature,
		"insulate boots and registers, or keep the supply air warmer: metal this cold sweats in the room's air").
		of(state.RegisterTemperature, coldest, state.NoField))
}

// drift judges where satisfied zones end.
func (j *judge) drift() {
	list := j.list()
	for i, z := range j.o.Zones {
		if z.Calling || math.IsNaN(z.DriftEnd) {
			continue
		}
		list = append(list, j.limit(ZoneDrift).judge(j.g.Job.Zones[i].Name, zoning.Past(j.o.State.Mode, z.DriftEnd),
			"less bleed into it: a smaller stop, or share the surplus among more zones").
			of(state.ZoneDriftEnd, i, state.NoField))
	}
	j.several(list)
}
