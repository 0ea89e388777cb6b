// Package study answers questions that take many solutions of one installation: what happens when a setting moves (Sweep), how
// alternatives differ (Compare), which settings meet every limit (Tune), how large ducts must be (Size), and how sure a result is
// (Spread) or a verdict (SureOf).
//
// It changes settings, has call states solved and judged, and reads outcomes and findings. It must not know physics (solver/state),
// what a limit is or why (solver/verdict; a finding is used by its level, check, place, value and limit only), units of the trade
// beyond what stands in a setting's text, paper, files or clocks.
//
// Every solution starts cold and results are gathered in the order of the questions, so that the same input gives the same answer on
// any number of cores.
package study
