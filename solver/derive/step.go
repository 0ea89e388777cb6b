package derive

import (
	"fmt"
	"math"
	"strings"

	"spillway/network/diag"
	"spillway/network/quantity"
	"spillway/solver/internal/formula"
)

// Quantity is the kind of a value, so that a printer can choose units. Values are SI.
type Quantity = quantity.Kind

// Short names for the kinds that derivations are written with.
const (
	Airflow      = quantity.KindAirflow
	MassFlow     = quantity.KindMassFlow
	Pressure     = quantity.KindPressure
	Velocity     = quantity.KindVelocity
	Temperature  = quantity.KindTemperature
	Span         = quantity.KindTemperatureSpan
	Power        = quantity.KindElectricity
	Heat         = quantity.KindLoad
	Share        = quantity.KindFraction
	Length       = quantity.KindLength
	Area         = quantity.KindSection
	Density      = quantity.KindDensity
	Viscosity    = quantity.KindViscosity
	Time         = quantity.KindTime
	Angle        = quantity.KindAngle
	Friction     = quantity.KindFriction
	FlowPerHeat  = quantity.KindFlowPerHeat
	PowerPerFlow = quantity.KindPowerPerFlow
	Drift        = quantity.KindDrift
	Conductance  = quantity.KindConductance
	SpecificHeat = quantity.KindSpecificHeat
	Noise        = quantity.KindNoise
	Level        = quantity.KindSoundLevel
	Frequency    = quantity.KindFrequency
	HeatCapacity = quantity.KindHeatCapacity
	Enthalpy     = quantity.KindEnthalpy
	Rate         = quantity.KindRate
	Plain        = quantity.KindNumber
)

// Kind says where a value comes from.
type Kind string

// The kinds of origin.
const (
	Derived   Kind = "derived"   // by Equation from Inputs
	File      Kind = "file"      // the job file, at Place
	Catalogue Kind = "catalogue" // a row of the catalogue
	Assumed   Kind = "assumed"   // a default where the file is silent
	Constant  Kind = "constant"  // a constant of physics or of a formula
	Solved    Kind = "solved"    // the solution of the whole network
	Model     Kind = "model"     // a model with a time course or many bands, whose steps are not spelt out here
)

// Origin is where a value comes from.
type Origin struct {
	Kind Kind
	// Text names the source: the publication, the reason of an assumption, the model, or what was solved.
	Text string
	// Place is the line of the job file (or the flag) that gives the value.
	Place diag.Diagnostic
	// Low and High bound a solved value by its certificate; both are zero where no bound is known.
	Low, High float64
}

// Input is a step under the symbol that it has in an equation.
type Input struct {
	Symbol string
	*Step
}

// Step is one number and where it comes from.
//
// Equation relates Symbol and the symbols of Inputs, all in SI, mostly as "symbol = expression"; where a number is only defined as the
// solution of an equation, that equation stands there. It uses + − * / ^, parentheses, sqrt, ln, log10, exp, abs, sin, cos, tan (of radians),
// min, max and π, and holds for the values to their last printed digit.
type Step struct {
	Name     string // as printed and as asked for: "bed-2 register airflow"
	Symbol   string
	Value    float64
	Quantity Quantity
	Words    string // the equation in words; of a leaf, "" or a remark
	Equation string // "" for a leaf
	Inputs   []Input
	Origin   Origin
	// Defect says that the equation gives another value than the solver, which Words says too; "" otherwise.
	Defect string
	// Lines are lines of a table or other text that belongs to a leaf.
	Lines []string
}

// symbol is the value of a symbol of the step's equation.
func (s *Step) symbol(name string) (float64, bool) {
	if name == s.Symbol {
		return s.Value, true
	}
	for i := range s.Inputs {
		if s.Inputs[i].Symbol == name {
			return s.Inputs[i].Value, true
		}
	}
	return 0, false
}

// miss is by how much of its value a step may miss its equation.
const miss = 1e-6

// defect says what an equation gives where that is not the step's value; "" otherwise.
func (s *Step) defect() string {
	if s.Leaf() {
		return ""
	}
	left, right, size, err := formula.Sides(s.Equation, s.symbol)
	switch {
	case err != nil:
		return "this derivation cannot be worked out, " + err.Error() + ": a defect of Spillway"
	case math.Abs(left-right) <= miss*size:
		return ""
	case strings.HasPrefix(s.Equation, s.Symbol+" = "):
		return fmt.Sprintf("this derivation gives %.9g, the solver %.9g: a defect of Spillway", right, s.Value)
	}
	// The value stands on both sides: the equation has to change sign within a millionth of it.
	side := func(v float64) bool {
		other := *s
		other.Value = v
		left, right, _, _ := formula.Sides(s.Equation, other.symbol)
		return left < right
	}
	if side(s.Value*(1-miss)) != side(s.Value*(1+miss)) {
		return ""
	}
	return fmt.Sprintf("this equation does not give the solver's %.9g: a defect of Spillway", s.Value)
}

// Leaf tells whether a step has no inputs.
func (s *Step) Leaf() bool { return s.Equation == "" }

// All lists a step and everything below it, each once: a step before its inputs, in the order in which a reader meets them.
func (s *Step) All() []*Step {
	var list []*Step
	seen := map[*Step]bool{}
	var visit func(*Step)
	visit = func(s *Step) {
		if seen[s] {
			return
		}
		seen[s] = true
		list = append(list, s)
		for _, in := range s.Inputs {
			visit(in.Step)
		}
	}
	visit(s)
	return list
}
