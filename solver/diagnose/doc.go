// Package diagnose explains readings taken on an installation: how far the model is off, which fault explains it best, what to read
// next, and what the readings cannot tell.
//
//	Predict   what an instrument would show in an outcome
//	Causes    the faults that are thought of, each with one severity, its prior and what it does to the graph
//	Bench     an installation with a plan of readings: what every cause does to them, solved once
//	Fit       ranks causes, alone and in pairs, by evidence; flags a bad reading; names the next reading
//	Identify  which combinations of resistances a set of readings determines (singular values)
//
// It changes copies of a graph and has call states solved (solver/state). It must not know physics, limits, units of the trade, paper or
// files. Same readings, same answer: nothing here is random.
package diagnose
