package state

import (
	"math"

	"spillway/network"
	"spillway/network/catalog"
	"spillway/solver/heat"
	"spillway/solver/sound/validity"
)

// Stretch is a formula that was used outside the range for which its source gives it, in one element.
type Stretch struct {
	Element int
	Where   string // the element's name; for a leg of a junction its line's
	validity.Note
	// Airflow is by how much the airflow of the element may be off for it, m³/s of standard air: half the doubtful pressure as a share of
	// all the pressure that drives the air on that way, times its airflow. A rough figure of ours; NaN where no airflow hangs on it.
	Airflow float64
}

// What a coefficient is taken to be off by well outside its range (our choice): a blade's loss by a factor of 1.5, where published ones scatter
// by 30 % within it; a junction's by 0.3 velocity pressures of its main, where published sets differ by 0.2; friction by 30 %; the
// exponent of a rated part by 0.2. Just beyond the range it is less: see far.
const (
	doubtfulBlade    = 1.5
	doubtfulJunction = 0.3
	doubtfulFriction = 0.3
	doubtfulExponent = 0.2
)

// Ranges of the laws. Colebrook's equation is used to a relative roughness of 0.05, the end of the published explicit forms; between laminar
// and turbulent flow no formula is published.
var (
	turbulence = validity.Range{Quantity: "Reynolds number", Low: 4000, High: 1e8, Of: "friction (Colebrook and White; below 2300 laminar, a smooth passage between them is our choice)"}
	roughness  = validity.Range{Quantity: "roughness over diameter", Low: 0, High: 0.05, Of: "friction (Colebrook and White, as the published explicit forms are)"}
	squeezed   = validity.Range{Quantity: "compression of flexible duct", Low: 0, High: catalog.MaxFlexCompression, Unit: "%", Of: "friction of flexible duct (Handbook of Fundamentals 2021 (SI), chapter 21, eq. 22)"}
	ratedShare = validity.Range{Quantity: "airflow over that of its rating", Low: 0.5, High: 2, Of: "power law through one rated point (range is our choice)"}
	reliefOpen = validity.Range{Quantity: "opening of the weighted blade", Low: 10, High: 80, Unit: "°", Of: "closed form of a hinged blade (ours; held to the round damper's table there)"}
)

const laminarEnd = 2300

// far is how far a value lies beyond a range, 0 at its end to 1 at a distance and more: a form does not turn false at the last point that it was
// held to.
func far(value, low, high, distance float64) float64 {
	return math.Min(math.Max(math.Max(low-value, value-high), 0)/distance, 1)
}

// stretches gathers every formula of the ducts and of the coil that is outside its range in this state.
func (c *calculation) stretches(o *Outcome) {
	g := c.solver.graph
	for i := range g.Elements {
		c.stretchedElement(o, i)
	}
	for i := range o.Dampers {
		c.stretchedDamper(o, &o.Dampers[i])
	}
	for i := range g.Junctions {
		c.stretchedJunction(o, &g.Junctions[i])
	}
	if e := &o.Equipment; e.Coil != nil {
		c.stretchedCoil(o, e.Coil)
	}
}

// stretched adds notes on an element with what the pressure in doubt, Pa, may move; NaN where no airflow hangs on it.
func (c *calculation) stretched(o *Outcome, element int, notes []validity.Note, pressure float64) {
	for _, n := range notes {
		o.Stretches = append(o.Stretches, Stretch{Element: element, Where: o.Graph.Elements[element].Name, Note: n, Airflow: c.doubt(o, element, pressure)})
	}
}

func (o *Outcome) noisy(element int, notes []validity.Note) {
	for _, n := range notes {
		o.NoiseStretches = append(o.NoiseStretches, Stretch{Element: element, Where: o.Graph.Elements[element].Name, Note: n, Airflow: math.NaN()})
	}
}

// doubt is the airflow that a pressure of doubtful size moves in an element: see Stretch.
func (c *calculation) doubt(o *Outcome, element int, pressure float64) float64 {
	g, p := c.solver.graph, c.solver.plan
	supply, back, house := o.Nodes[p.supply].Total, o.Nodes[p.back].Total, o.Nodes[p.house].Total
	head := supply - back
	switch g.Elements[element].Side {
	case network.SupplySide, network.DumpSide:
		head = supply - house
	case network.ReturnSide:
		head = house - back
	case network.EquipmentSide:
		head = o.Blower.ExternalStatic
	}
	share := math.Min(math.Abs(pressure/head), 1)
	return share / 2 * math.Abs(o.Elements[element].Airflow)
}

func (c *calculation) stretchedElement(o *Outcome, i int) {
	x := &o.Elements[i]
	if x.Flow == 0 {
		return
	}
	switch spec := c.solver.graph.Elements[i].Spec.(type) {
	case *network.DuctSpec:
		diameter := spec.Section.HydraulicDiameter()
		friction := x.Friction * spec.Length
		if re := x.Velocity * x.Density * diameter / c.set.air[i].Viscosity; re > laminarEnd {
			c.stretched(o, i, turbulence.Flag(nil, re), doubtfulFriction*friction)
		}
		c.stretched(o, i, roughness.Flag(nil, spec.Roughness/diameter), doubtfulFriction*friction)
		if spec.Flexible() && spec.First {
			if l := lineOf(c.solver.graph, i); l != nil {
				const tested = 45 // %, where the tests of flexible duct end
				compression := 100 * float64(l.Compression)
				c.stretched(o, i, squeezed.Flag(nil, compression), doubtfulFriction*friction*far(compression, 0, squeezed.High, tested-squeezed.High))
			}
		}
	case *network.RatedSpec:
		if share := math.Abs(x.Airflow) / spec.At; spec.At > 0 {
			beyond := far(math.Log(share), math.Log(ratedShare.Low), math.Log(ratedShare.High), math.Ln2)
			c.stretched(o, i, ratedShare.Flag(nil, share), beyond*x.Drop*math.Abs(1-math.Pow(share, doubtfulExponent)))
		}
	case *network.OpeningSpec:
		if spec.Balance != nil {
			c.stretchedBlade(o, i, &network.Blade{Section: spec.Section, Shape: "opposed", Leakage: -1}, float64(*spec.Balance))
		}
	}
}

func (c *calculation) stretchedDamper(o *Outcome, d *Damper) {
	spec := c.solver.graph.Elements[d.Element].Spec
	c.stretchedBlade(o, d.Element, network.BladeOf(spec), d.Position)
	if _, weighted := spec.(*network.ReliefSpec); weighted {
		if phi := 90 * d.Position; phi > 0 {
			// What is doubtful of the pressure shows as the blade's opening, which the weight sets against.
			c.stretched(o, d.Element, reliefOpen.Flag(nil, phi), d.Drop*(doubtfulBlade-1))
		}
	}
}

// stretchedBlade looks at a blade between the end of its table and shut. Only what passes the blade is in doubt, not what leaks by it.
func (c *calculation) stretchedBlade(o *Outcome, element int, blade *network.Blade, position float64) {
	row, ok := catalog.LookupBlade(blade.Shape)
	angle := catalog.BladeAngle(100 * position)
	if !ok || position <= 0 || angle <= row.LastAngle() {
		return
	}
	zeta, err := damperZeta(blade, position)
	if err != nil {
		return
	}
	shut, err := damperZeta(blade, 0)
	if err != nil {
		return
	}
	passes := math.Max(1-math.Sqrt(zeta/shut), 0) // 1/√ζ of the blade over that of blade and gaps
	table := validity.Range{Quantity: "blade from open", Low: 0, High: row.LastAngle(), Unit: "°", Of: "damper loss, " + row.Source.String()}
	beyond := far(angle, 0, row.LastAngle(), 90-row.LastAngle())
	c.stretched(o, element, table.Flag(nil, angle), passes*o.Elements[element].Drop*(doubtfulBlade-1)*beyond)
}

// stretchedJunction looks at the way that the air divides or joins now. Which of the two legs a note is about follows from its quantity.
func (c *calculation) stretchedJunction(o *Outcome, j *network.Junction) {
	row, ok := catalog.LookupJunction(j.Kind)
	if !ok {
		return
	}
	leaving := func(element int) float64 {
		if c.solver.graph.Elements[element].To == j.Node {
			return -o.Elements[element].Flow
		}
		return o.Elements[element].Flow
	}
	run, branch := leaving(j.Run), leaving(j.Branch)
	main, mainArea, runArea := run+branch, j.CommonArea, j.RunArea // enters by the common leg
	switch {
	case (run < 0) == (branch < 0):
	case math.Abs(run) > math.Abs(branch): // the run carries the whole
		main, mainArea, runArea = run, j.RunArea, j.CommonArea
	default: // the branch does: formulas without a range
		return
	}
	if main == 0 {
		return
	}
	list := row.Stretched(branch > 0, math.Abs(branch/main), j.BranchArea/mainArea, runArea/mainArea)
	for _, s := range list {
		leg := j.Branch
		if s.Quantity[0] == 'r' {
			leg = j.Run
		}
		density := o.Elements[j.Common].Density
		velocity := math.Abs(main) / density / mainArea
		note := validity.Note{Range: validity.Range{Quantity: s.Quantity, Low: s.Low, High: s.High, Of: s.Source}, Value: s.Value, Clamped: s.Held}
		where := c.solver.graph.Elements[leg].Line
		if where == "" {
			where = c.solver.graph.Elements[leg].Name
		}
		lost := doubtfulJunction * density * velocity * velocity / 2 * far(s.Value, s.Low, s.High, max(s.High-s.Low, s.High)/2)
		o.Stretches = append(o.Stretches, Stretch{Element: leg, Where: where, Note: note, Airflow: c.doubt(o, leg, lost)})
	}
}

// stretchedCoil looks at the capacity curve of the estimate that the state rests on.
func (c *calculation) stretchedCoil(o *Outcome, at *CoilAtWork) {
	curve := at.Of.Curve()
	of := "capacity of the coil (" + curve.Source + ")"
	if curve.RangeIsOurs {
		of += ", range assumed"
	}
	degrees := func(quantity string, r heat.Range) validity.Range {
		if curve.Fahrenheit {
			r.Low, r.High = (r.Low-32)/1.8, (r.High-32)/1.8
		}
		return validity.Range{Quantity: quantity, Low: r.Low, High: r.High, Unit: "°C", Of: of}
	}
	notes := degrees("entering wet bulb", curve.WetBulb).Flag(nil, at.WetBulb)
	notes = degrees("outdoor temperature", curve.Outdoor).Flag(notes, c.set.outdoor)
	flow := validity.Range{Quantity: "airflow over that of its rating", Low: curve.FlowFraction.Low, High: curve.FlowFraction.High, Of: of}
	notes = flow.Flag(notes, math.Abs(o.Elements[c.solver.graph.Blower].Flow)/at.Of.Rating().MassFlow)
	c.stretched(o, c.machineElement(), notes, math.NaN())
}
