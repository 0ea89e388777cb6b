package diagnose

import (
	"math"

	"spillway/network"
	"spillway/solver/state"
)

// Predict is what an instrument would show at a reading's place in an outcome, SI; NaN where the outcome has no such number.
func Predict(o *state.Outcome, kind network.ReadingKind, at network.Spot) float64 {
	switch kind {
	case network.StaticReading, network.TotalReading:
		return pressure(o, kind, at)
	case network.DropReading:
		return drop(o, at)
	case network.AirflowReading:
		if at.Element >= 0 && at.Element < len(o.Elements) {
			return o.Elements[at.Element].Airflow
		}
	case network.FaceReading:
		if at.Element >= 0 && at.Element < len(o.Elements) {
			return o.Elements[at.Element].Velocity
		}
	case network.TemperatureReading:
		if at.Register >= 0 {
			return o.Registers[at.Register].Temperature
		}
		if at.Node >= 0 {
			return o.Nodes[at.Node].Temperature
		}
	case network.RiseReading:
		return o.Equipment.Rise
	case network.SoundReading:
		for i := range o.Rooms {
			if o.Rooms[i].Name == at.Room {
				return math.Max(o.Rooms[i].DBA, 0)
			}
		}
	case network.WattsReading:
		return o.Blower.Power
	}
	return math.NaN()
}

// pressure at a place: static there; at the start of a line the total pressure less the velocity pressure in the line.
func pressure(o *state.Outcome, kind network.ReadingKind, at network.Spot) float64 {
	if at.Node < 0 || at.Node >= len(o.Nodes) {
		return math.NaN()
	}
	if kind == network.TotalReading {
		return o.Nodes[at.Node].Total
	}
	static, _ := o.Static(at)
	return static
}

// drop of static pressure: across a part, of the blower its rise; between two places the first less the second.
func drop(o *state.Outcome, at network.Spot) float64 {
	if at.Behind != nil {
		return pressure(o, network.StaticReading, at) - pressure(o, network.StaticReading, *at.Behind)
	}
	if at.Element < 0 || at.Element >= len(o.Graph.Elements) {
		return math.NaN()
	}
	e := &o.Graph.Elements[at.Element]
	if e.Kind == network.KindBlower {
		return o.Blower.ExternalStatic
	}
	return o.Nodes[e.From].Static - o.Nodes[e.To].Static
}

// ModelSigma is what the model itself is unsure of at a place beyond flows and pressures, SI: noise of a clean outlet against a real
// one, temperatures of stratified air, the free area of a face. All our choice, from the uncertainties that the models state.
func ModelSigma(kind network.ReadingKind, value float64) float64 {
	switch kind {
	case network.SoundReading:
		return 6 // dB
	case network.TemperatureReading:
		return 1 // K
	case network.RiseReading:
		return 1.5 // K
	case network.FaceReading:
		return 0.08 * math.Abs(value)
	case network.WattsReading:
		return 0.05 * math.Abs(value)
	}
	return 0
}
