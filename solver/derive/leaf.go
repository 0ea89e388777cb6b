package derive

import (
	"strings"

	"spillway/network"
	"spillway/network/catalog"
	"spillway/solver/air"
	"spillway/solver/internal/formula"
)

// file is a value that the job gives, or that was assumed for it: the assumption of that path when there is one.
func (x *Explainer) file(name, symbol string, q Quantity, value float64, path ...string) *Step {
	s := &Step{Name: name, Symbol: symbol, Value: value, Quantity: q}
	if why, ok := x.assumption(path...); ok {
		s.Origin = Origin{Kind: Assumed, Text: why}
		return s
	}
	s.Origin = Origin{Kind: File, Text: strings.Join(path, "."), Place: x.job.Place(path...)}
	return s
}

// assumption is the reason of the default at a path.
func (x *Explainer) assumption(path ...string) (why string, ok bool) {
	dotted := strings.Join(path, ".")
	for _, list := range [][]network.Assumption{x.job.Assumptions, x.g.Assumptions} {
		for i := range list {
			if strings.ReplaceAll(list[i].Path, `"`, "") == dotted {
				return list[i].Why, true
			}
		}
	}
	return "", false
}

func constant(name, symbol string, q Quantity, value float64, source string) *Step {
	return &Step{Name: name, Symbol: symbol, Value: value, Quantity: q, Origin: Origin{Kind: Constant, Text: source}}
}

func row(name, symbol string, q Quantity, value float64, source string) *Step {
	return &Step{Name: name, Symbol: symbol, Value: value, Quantity: q, Origin: Origin{Kind: Catalogue, Text: source}}
}

func assumed(name, symbol string, q Quantity, value float64, why string) *Step {
	return &Step{Name: name, Symbol: symbol, Value: value, Quantity: q, Origin: Origin{Kind: Assumed, Text: why}}
}

func solvedLeaf(name, symbol string, q Quantity, value float64, text string) *Step {
	return &Step{Name: name, Symbol: symbol, Value: value, Quantity: q, Origin: Origin{Kind: Solved, Text: text}}
}

func model(name, symbol string, q Quantity, value float64, text string) *Step {
	return &Step{Name: name, Symbol: symbol, Value: value, Quantity: q, Origin: Origin{Kind: Model, Text: text}}
}

// derived is a number by an equation.
func derived(name, symbol string, q Quantity, value float64, words, equation string, inputs ...Input) *Step {
	return &Step{Name: name, Symbol: symbol, Value: value, Quantity: q, Words: words, Equation: equation, Inputs: inputs, Origin: Origin{Kind: Derived}}
}

// by is a number by a formula, of steps in the order of the formula's symbols.
func by(f *formula.Formula, name string, value float64, in ...*Step) *Step {
	inputs := make([]Input, len(in))
	for i, s := range in {
		inputs[i] = Input{f.In[i].Name, s}
	}
	return derived(name, f.Result.Name, f.Result.Kind, value, f.Words(), f.Equation(), inputs...)
}

// worked is by with the value that the formula gives.
func worked(f *formula.Formula, name string, in ...*Step) *Step {
	values := make([]float64, len(in))
	for i, s := range in {
		values[i] = s.Value
	}
	return by(f, name, f.At(values...), in...)
}

// calculated is derived with the value that the right side of the equation gives.
func calculated(name, symbol string, q Quantity, words, equation string, inputs ...Input) *Step {
	s := derived(name, symbol, q, 0, words, equation, inputs...)
	_, s.Value, _, _ = formula.Sides(equation, s.symbol) // a text that cannot be read shows as a defect
	return s
}

// named is a step under another name: the same number printed in another place.
func named(name string, s *Step) *Step {
	other := *s
	other.Name = name
	return &other
}

// catalogueConstant is a default of the catalogue with its source.
func catalogueConstant(row, name, symbol string, q Quantity) *Step {
	c, _ := catalog.LookupConstant(row)
	return &Step{Name: name, Symbol: symbol, Value: c.Value, Quantity: q, Origin: Origin{Kind: Catalogue, Text: "default: " + c.Source.String()}}
}

func (x *Explainer) standardDensity() *Step {
	return x.remembered("standard density", func() *Step {
		return constant("density of standard air", "ρs", Density, air.StandardDensity, "0.075 lb/ft³, the air in which the trade states airflow")
	})
}

func (x *Explainer) standardViscosity() *Step {
	return x.remembered("standard viscosity", func() *Step {
		return constant("viscosity of standard air", "μs", Viscosity, air.Standard().Viscosity, "Sutherland's formula at 20 °C")
	})
}

// elevation is where the job stands.
func (x *Explainer) elevation() *Step {
	z := float64(x.job.Site.Elevation)
	if z == 0 {
		return assumed("elevation", "z", Length, 0, "sea level, where the job file gives no site.elevation")
	}
	return x.file("elevation", "z", Length, z, "site", "elevation")
}

// atmosphere is the pressure of the air outdoors.
func (x *Explainer) atmosphere() *Step {
	return x.remembered("atmosphere", func() *Step {
		return worked(air.PressureFormula(), "pressure of the atmosphere", x.elevation())
	})
}

// temperature is that of the air in an element.
func (x *Explainer) temperature(i int) *Step {
	return x.remembered("temperature\x00"+x.g.Elements[i].Name, func() *Step {
		return solvedLeaf(x.g.Elements[i].Name+" temperature", "t", Temperature, x.o.Elements[i].Temperature, x.heatProof())
	})
}

// densityTemperature is that of which the density and the viscosity of the air in an element are.
func (x *Explainer) densityTemperature(i int) *Step {
	e := &x.o.Elements[i]
	if e.DensityTemperature == e.Temperature {
		return x.temperature(i)
	}
	name := x.g.Elements[i].Name + " temperature of its density"
	return x.remembered("density temperature\x00"+x.g.Elements[i].Name, func() *Step {
		return solvedLeaf(name, "t", Temperature, e.DensityTemperature, "the air's, but nearer its surroundings' the slower it moves, so that density does not jump where a flow reverses")
	})
}

// heatProof says how temperatures were found.
func (x *Explainer) heatProof() string {
	return "heat and moisture carried round the loop by the solved airflows, in agreement with them to 1e-7 K"
}

// density of the air in an element.
func (x *Explainer) density(i int) *Step {
	e := &x.o.Elements[i]
	return x.remembered("density\x00"+x.g.Elements[i].Name, func() *Step {
		p, t, name := x.atmosphere(), x.densityTemperature(i), x.g.Elements[i].Name
		if dry := air.Density(t.Value, p.Value); abs(e.Density/dry-1) < 1e-12 {
			s := by(air.DensityFormula(), name+" density", e.Density, p, t)
			s.Words += ": nothing moves there to bring moisture"
			return s
		}
		w := solvedLeaf(name+" humidity ratio", "W", Plain, air.HumidityOf(e.Density, t.Value, p.Value), x.heatProof())
		return by(air.MoistDensityFormula(), name+" density", e.Density, w, p, t)
	})
}

// viscosity of the air in an element.
func (x *Explainer) viscosity(i int) *Step {
	return x.remembered("viscosity\x00"+x.g.Elements[i].Name, func() *Step {
		return worked(air.ViscosityFormula(), x.g.Elements[i].Name+" viscosity", x.densityTemperature(i))
	})
}

func abs(v float64) float64 {
	if v < 0 {
		return -v
	}
	return v
}

// linePath is the place of a line in the job file.
func (x *Explainer) linePath(line string, more ...string) []string {
	tables := []struct {
		name  string
		lines []network.Line
	}{{"supply", x.job.Supply}, {"return", x.job.Return}, {"bypass", x.job.Bypass}, {"dump", x.job.Dump}}
	for _, t := range tables {
		for i := range t.lines {
			if t.lines[i].Name == line {
				return append([]string{t.name, line}, more...)
			}
		}
	}
	return append([]string{"supply", line}, more...)
}

func (x *Explainer) line(name string) *network.Line {
	for _, lines := range [][]network.Line{x.job.Supply, x.job.Return, x.job.Bypass, x.job.Dump} {
		for i := range lines {
			if lines[i].Name == name {
				return &lines[i]
			}
		}
	}
	return nil
}
