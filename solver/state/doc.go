// Package state solves call states: it takes a network.Graph, sets dampers and blower as the zone panel would, turns every
// element into a pressure law, lets solver/flow find pressures and flows, and returns an Outcome with the surplus ledger.
//
// It is the only package that knows both what is installed and how air behaves. It must not know limits (solver/verdict),
// units of the trade (network/quantity) or paper (render).
package state
