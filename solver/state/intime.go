package state

import (
	"spillway/network"
	"spillway/solver/heat"
)

// What a simulation in time shares with the states.

// LimitReset is how far a furnace cools before its limit closes, K.
const LimitReset = limitReset

// StartUp is the time constant with which a compressor's capacity builds up, s.
const StartUp = startUp

// Exchanger is the metal of a furnace: it is sized for the greatest stage, whichever one burns.
func Exchanger(m *network.Machine) heat.Metal { return heat.TypicalExchanger(output(m)) }

// FullOutput is the greatest output of a machine or its stages, W.
func FullOutput(m *network.Machine) float64 { return output(m) }

// Conductance is a zone's loss to outdoors, W/K, and the sensible gain of sun, people and appliances at the hottest weather of
// the job, W; ok is false when the job says too little of the zone. It is what a state's Load and drift are made of.
func Conductance(job *network.Job, z *network.Zone) (conductance, gains float64, ok bool) {
	rest := setting{state: CallState{Mode: network.Cooling}}
	load, conductance, ok := zoneLoad(job, z, &rest) // indoors as outdoors: the gains alone are left
	return conductance, -load, ok
}
