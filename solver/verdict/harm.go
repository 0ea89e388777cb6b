package verdict

import (
	"math"

	"spillway/network/quantity"
)

// steps are the differences that make one unit of harm, by check, so that what is past a limit
// compares across quantities: 10 °F under a furnace's limit, a tenth of the rated static, 25 cfm
// per ton, 5 NC, a fifth of a velocity (some 5 dB by 60 log), a tenth of an airflow or of a
// machine's size, 1 °F of a room. All are our choice. A check that is not here takes a tenth of its
// limit.
var steps = map[Check]float64{
	LimitMargin: degreesF(10), DuctAir: degreesF(10), CoilFrost: degreesF(4), LeavingAir: degreesF(4),
	GreatestRise: degreesF(5), LeastRise: degreesF(5), EnteringAir: degreesF(5), ColdEnteringAir: degreesF(5),
	AirflowPerTonMost: 25 * quantity.CFM / quantity.TonOfCooling,
	AirflowPerTon:     25 * quantity.CFM / quantity.TonOfCooling, CaliforniaAirflow: 25 * quantity.CFM / quantity.TonOfCooling,
	BypassShare: 0.10, BypassAll: 0.10, CoolingSize: 0.10, HeatingSize: 0.10, CoolingLeast: 0.10, HeatingLeast: 0.10,
	SmallestZone: 0.10, LargestZone: quantity.TonOfCooling / 2, DumpRoom: 0.50, Shortfall: 0.10,
	ZoningKept: 0.10, CallersShare: 0.10,
	OverConditioning: degreesF(1), ZoneDrift: degreesF(1), Sweating: degreesF(5), RoomPressure: 3, Excess: 0.3,
	BedroomNoise: 5, LivingNoise: 5, ServiceNoise: 5,
}

// velocityStep is the share of a limit of velocity that makes one unit of harm.
const velocityStep = 0.20

// harm is how far a value is past the first step of its limit, in units of harm; 0 where it is not
// past it or there is no limit.
func (l *Limit) harm(value float64) float64 {
	limit := l.Caution
	if math.IsNaN(limit) {
		limit = l.Fault
	}
	past := value - limit
	if l.Bounds == AtLeast {
		past = -past
	}
	step, known := steps[l.row]
	switch {
	case l.Quantity == Velocity:
		step = velocityStep * math.Abs(limit)
	case !known || l.Quantity == Airflow:
		step = 0.1 * math.Abs(limit)
	}
	if !(past > 0) || !(step > 0) {
		return 0
	}
	return past / step
}
