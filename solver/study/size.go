package study

import (
	"math"
	"slices"

	"spillway/network"
	"spillway/network/catalog"
	"spillway/network/quantity"
	"spillway/network/section"
	"spillway/solver/air"
	"spillway/solver/air/bracket"
	"spillway/solver/resist"
)

// SizeGoal is what ducts are sized by: a friction rate, or the greatest external static of any call state.
type SizeGoal struct {
	Friction float64 // Pa/m of standard air; 0: by Static
	Static   float64 // Pa
	// SupplyFace and ReturnFace are the greatest face velocities of registers and grilles at their design airflow, m/s; 0 takes the
	// recommended ones.
	SupplyFace, ReturnFace float64
}

// Sizing is what came of sizing.
type Sizing struct {
	Rate          float64 // Pa/m that the ducts were sized by
	Lines         []SizedLine
	Variant       Variant
	Before, After *Report
	Meets         bool // by Static: no call state goes above it
	// Was and Now are the causes and faults of all call states, before and as sized.
	Was, Now *Effect
	// Kept says that no run was made smaller than it was: with the sizes that the rate alone
	// gives, more findings would be at fault than before.
	Kept bool
	// Static is the greatest external static as sized, Filter and Coil what of it no duct changes,
	// Pa.
	Static, Filter, Coil float64
}

// Worse reports whether more findings are at fault with the new sizes than before.
func (z *Sizing) Worse() bool { return z.Now.Faults > z.Was.Faults }

// SizedLine is one run with its new size, and what it ends or begins in.
type SizedLine struct {
	Table, Name string
	Airflow     float64 // m³/s of standard air that it is sized for
	Was, Size   section.Section
	Text        string  // as the job file writes it
	Velocity    float64 // m/s of standard air
	Friction    float64 // Pa/m, with the multiplier of flexible duct
	Opening     string  // register or grille; "" when it has none
}

// DiameterFor is the diameter of round duct, m, that has a friction rate (Pa/m) at an airflow (m³/s of the air given), by
// Darcy–Weisbach with Colebrook's friction factor. Multiplier is that of flexible duct, 1 for others.
func DiameterFor(airflow, rate, roughness float64, multiplier func(diameter float64) float64, a air.State) (float64, error) {
	if !(airflow > 0) || !(rate > 0) {
		return 0, question("a duct is sized for an airflow and a friction rate above zero")
	}
	const least, most = 0.02, 5.0
	if frictionOf(section.NewRound(most), airflow, roughness, multiplier(most), a) > rate {
		return 0, question("no duct is large enough for %g m³/s at %g Pa/m", airflow, rate)
	}
	if frictionOf(section.NewRound(least), airflow, roughness, multiplier(least), a) < rate {
		return least, nil
	}
	return bracket.Root(func(d float64) float64 {
		return math.Log(frictionOf(section.NewRound(d), airflow, roughness, multiplier(d), a) / rate)
	}, least, most, 1e-9)
}

// frictionOf is the friction of a metre of duct, Pa.
func frictionOf(s section.Section, airflow, roughness, multiplier float64, a air.State) float64 {
	d, err := resist.NewDuct(resist.DuctData{Area: s.Area(), Diameter: s.HydraulicDiameter(), Length: 1, Roughness: roughness, Multiplier: multiplier, Air: a})
	if err != nil {
		return math.NaN()
	}
	return d.FrictionDrop(airflow * a.Density)
}

// Size gives every run of duct, register and grille a size that is sold, for the most air that it
// carries in any call state, and a supply run for no less than the registers behind it want. A
// bypass is sized for what the smallest call leaves over. A run is as small as the friction rate
// and the greatest velocity of its kind, at its thinnest air, allow; rectangular ducts keep their
// height. By a static, the greatest friction rate is sought with which no call state goes above
// it, by bisection, since smaller ducts never lower the static.
//
// The flows change with the sizes, and are solved anew for the sizes that were found. Where more
// findings are then at fault than before, the runs are sized once more and none is made smaller
// than it was; Sizing.Worse reports where that does not help either.
func (s *Study) Size(v Variant, goal SizeGoal) (*Sizing, error) {
	if (goal.Friction > 0) == (goal.Static > 0) {
		return nil, question("size by a friction rate or by a greatest static, one of the two")
	}
	before, err := s.Solve(v)
	if err != nil {
		return nil, err
	}
	was, err := effectOf(before, nil)
	if err != nil {
		return nil, err
	}
	try := func(rate float64, keep bool) (*Sizing, error) {
		from := before
		var z *Sizing
		var job *network.Job // whose sizes are the least
		if keep {
			job = before.Graph.Job
		}
		sizes := ""
		for range mostRounds { // each with the flows of the sizes before
			if z, err = sizeAt(v, from, goal, rate, job); err != nil {
				return nil, err
			}
			if z.Variant.key() == sizes {
				break
			}
			sizes = z.Variant.key()
			if from, err = s.Solve(z.Variant); err != nil {
				return nil, err
			}
		}
		for i := range z.Lines {
			if l := lineOf(before.Graph.Job, z.Lines[i].Table, z.Lines[i].Name); l != nil {
				z.Lines[i].Was = l.Size.Section
			}
		}
		if z.Before, err = newReport(before); err != nil {
			return nil, err
		}
		if z.After, err = newReport(from); err != nil {
			return nil, err
		}
		z.Meets = goal.Static == 0 || worstStatic(z.After) <= goal.Static
		z.Was, z.Kept = was, keep
		if z.Now, err = effectOf(from, nil); err != nil {
			return nil, err
		}
		z.Static, z.Filter, z.Coil = fixedDrops(from)
		return z, nil
	}
	// harmless sizes once more with the sizes as they were for the least, where z does harm.
	harmless := func(z *Sizing, err error) (*Sizing, error) {
		if err != nil || !z.Worse() {
			return z, err
		}
		kept, err := try(z.Rate, true)
		if err != nil || kept.Now.Faults >= z.Now.Faults || z.Meets && !kept.Meets {
			return z, err
		}
		return kept, nil
	}
	if goal.Friction > 0 {
		return harmless(try(goal.Friction, false))
	}
	const least, most = 0.05, 8.0 // Pa/m; our choice, wide of use
	best, err := try(least, false)
	if err != nil || !best.Meets {
		return best, err
	}
	_, _, err = bracket.Edge(func(rate float64) (bool, error) {
		z, err := try(math.Exp(rate), false)
		if err != nil || !z.Meets {
			return false, err
		}
		best = z
		return true, nil
	}, math.Log(least), math.Log(most), 0.01)
	if err != nil {
		return nil, err
	}
	return harmless(best, nil)
}

// fixedDrops are the greatest external static of any call state, and what filter and coil take of
// it there, Pa. Filters and coils side by side count once, by the greatest.
func fixedDrops(r *Result) (static, filter, coil float64) {
	for _, o := range r.Outcomes {
		if o.Blower.ExternalStatic <= static {
			continue
		}
		static, filter, coil = o.Blower.ExternalStatic, 0, 0
		for i := range r.Graph.Elements {
			switch drop := o.Elements[i].Drop; r.Graph.Elements[i].Kind {
			case network.KindFilter:
				filter = max(filter, drop)
			case network.KindCoil:
				coil = max(coil, drop)
			}
		}
	}
	return static, filter, coil
}

// sizeAt sizes all runs by a friction rate and the flows of a solved variant. No size is smaller
// than that of least, where it is not nil.
func sizeAt(v Variant, r *Result, goal SizeGoal, rate float64, least *network.Job) (*Sizing,
	error) {
	job := r.Graph.Job
	z := &Sizing{Rate: rate, Variant: v}
	face := func(given float64, row string) float64 {
		if given > 0 {
			return given
		}
		advice, _ := catalog.LookupVelocity(row)
		return advice.Recommended
	}
	supplyFace, returnFace := face(goal.SupplyFace, "supply face default"), face(goal.ReturnFace, "return grille default")
	design, thin := designAirflows(r), thinness(r)
	for _, table := range []struct {
		name  string
		lines []network.Line
	}{{"supply", job.Supply}, {"return", job.Return}, {"bypass", job.Bypass}, {"dump", job.Dump}} {
		for i := range table.lines {
			l := &table.lines[i]
			q := design[l.Name]
			if !(q > 0) {
				continue
			}
			sized, err := sizeLine(table.name, l, q, rate, max(thin[l.Name], 1), job.Units)
			if err != nil {
				return nil, err
			}
			path := network.PathText(table.name, l.Name)
			was := lineOf(least, table.name, l.Name)
			if was != nil && was.Size.Section.Area() >= sized.Size.Area() {
				sized.keep(was, material(was), job.Units)
			} else {
				z.Variant = z.Variant.With(path+".size", sized.Text)
				if d := damperOf(job, l.Damper); d != nil && d.Size.Area() > 0 {
					z.Variant = z.Variant.With(network.PathText("damper", d.Name, "size"),
						bare(sized.Text))
				}
			}
			opens := func(key string, list [][2]float64, area float64, had *network.Opening) {
				var made section.Section
				made, sized.Opening = opening(list, area)
				if had != nil && had.Size.Area() >= made.Area() {
					sized.Opening = sizeText(had.Size, job.Units)
					return
				}
				z.Variant = z.Variant.With(path+"."+key+".size", sized.Opening)
			}
			var register, grille *network.Opening
			if was != nil {
				register, grille = was.Register, was.Grille
			}
			switch {
			case l.Register != nil:
				opens("register", registerSizes(), q/supplyFace, register)
			case l.Grille != nil:
				opens("grille", grilleSizes(), q/returnFace, grille)
			}
			z.Lines = append(z.Lines, sized)
		}
	}
	return z, nil
}

// sizeLine sizes one run. Thin is how many times the volume of standard air its air takes at most, which is what velocities are judged by.
func sizeLine(table string, l *network.Line, q, rate, thin float64, system quantity.System) (SizedLine, error) {
	sized := SizedLine{Table: table, Name: l.Name, Airflow: q, Was: l.Size.Section}
	material := material(l)
	multiplier := func(diameter float64) float64 {
		if !material.Flexible {
			return 1
		}
		m, _ := catalog.FlexCorrection(100*float64(l.Compression), diameter)
		return m * max(l.Sag, 1)
	}
	fastest := greatestVelocity(table, l, material.Flexible) / thin
	a := air.Standard()
	if l.Size.Section.Shape == section.Round {
		d, err := DiameterFor(q, rate, material.Roughness, multiplier, a)
		if err != nil {
			return sized, err
		}
		sized.Size, sized.Text = roundUp(max(d, math.Sqrt(4*q/(math.Pi*fastest))), system)
	} else {
		sized.Size, sized.Text = widen(l.Size.Section.Height, system, func(made section.Section) bool {
			return q/made.Area() <= fastest && frictionOf(made, q, material.Roughness, 1, a) <= rate
		})
	}
	sized.Velocity = q / sized.Size.Area()
	sized.Friction = frictionOf(sized.Size, q, material.Roughness, multiplier(sized.Size.HydraulicDiameter()), a)
	if material.Name != catalog.DefaultMaterial {
		sized.Text += " " + material.Name
	}
	return sized, nil
}

// material is what a run is made of.
func material(l *network.Line) catalog.Material {
	m, ok := catalog.LookupMaterial(l.Material)
	if !ok {
		m, _ = catalog.LookupMaterial(catalog.DefaultMaterial)
	}
	return m
}

// keep gives l the size that a run has.
func (l *SizedLine) keep(was *network.Line, m catalog.Material, system quantity.System) {
	multiplier := 1.0
	if m.Flexible {
		multiplier, _ = catalog.FlexCorrection(100*float64(was.Compression), was.Size.Section.Width)
		multiplier *= max(was.Sag, 1)
	}
	l.Size, l.Text = was.Size.Section, sizeText(was.Size.Section, system)
	if m.Name != catalog.DefaultMaterial {
		l.Text += " " + m.Name
	}
	l.Velocity = l.Airflow / l.Size.Area()
	l.Friction = frictionOf(l.Size, l.Airflow, m.Roughness, multiplier, air.Standard())
}

// sizeText is a section as a job file writes it, in whole tenths of its unit.
func sizeText(s section.Section, system quantity.System) string {
	one := func(x float64) float64 { return math.Round(10*x/nominal(system)) / 10 }
	if s.Shape == section.Round {
		return write(one(s.Width), unitWord(system))
	}
	return write(one(s.Width), "") + "x" + write(one(s.Height), unitWord(system))
}

// greatestVelocity is the velocity that a run should not exceed at its design airflow.
func greatestVelocity(table string, l *network.Line, flexible bool) float64 {
	row := "trunk default"
	switch {
	case table == "return":
		row = "return trunk default"
	case l.Register != nil && flexible:
		row = "flex branch default"
	case l.Register != nil:
		row = "branch default"
	}
	advice, _ := catalog.LookupVelocity(row)
	return advice.Maximum
}

// mostRounds is how often sizes are found anew for the flows that the last ones give, unless they
// repeat before. Two left a run with 12 % more air than it was sized for.
const mostRounds = 5

// mostExcess is the part of its wanted airflow that a calling zone may get at most, by which the
// air that a bypass has to carry is counted: the limit of the finding "zone excess".
const mostExcess = 1.5

// designAirflows are what runs are sized for, by name: see Size.
func designAirflows(r *Result) map[string]float64 {
	g := r.Graph
	flows := map[string]float64{}
	parent := map[string]string{}
	for i := range g.Job.Supply {
		parent[g.Job.Supply[i].Name] = g.Job.Supply[i].From
	}
	for _, reg := range g.Registers {
		if reg.Dump {
			continue
		}
		line := reg.Line
		for steps := 0; line != "" && steps <= len(parent); steps++ {
			if _, ok := parent[line]; !ok {
				break
			}
			flows[line] += reg.Wants
			line = parent[line]
		}
	}
	relief := 0.0
	for _, o := range r.Outcomes {
		for i := range g.Elements {
			if e := &g.Elements[i]; e.Kind == network.KindDuct || e.Kind == network.KindGrille {
				flows[e.Line] = max(flows[e.Line], math.Abs(o.Elements[i].Airflow))
			}
		}
		relief = max(relief, o.Blower.Airflow-mostExcess*o.Ledger.Wanted)
	}
	if len(g.Job.Bypass) == 1 {
		name := g.Job.Bypass[0].Name
		flows[name] = max(flows[name], relief)
	}
	return flows
}

// thinness is, by name of the run, how many times the volume of standard air its air takes in the call state in which it is thinnest: warm, or high
// above the sea. Runs without moving air are left out.
func thinness(r *Result) map[string]float64 {
	most := map[string]float64{}
	for _, o := range r.Outcomes {
		for i := range r.Graph.Elements {
			e := &r.Graph.Elements[i]
			duct, ok := e.Spec.(*network.DuctSpec)
			if q := math.Abs(o.Elements[i].Airflow); ok && q > 0 {
				most[e.Line] = max(most[e.Line], math.Abs(o.Elements[i].Velocity)*duct.Section.Area()/q)
			}
		}
	}
	return most
}

// lineOf is a run of a job by its name; nil where there is none, or no job.
func lineOf(job *network.Job, table, name string) *network.Line {
	if job == nil {
		return nil
	}
	lines := map[string][]network.Line{"supply": job.Supply, "return": job.Return, "bypass": job.Bypass, "dump": job.Dump}[table]
	i := slices.IndexFunc(lines, func(l network.Line) bool { return l.Name == name })
	if i < 0 {
		return nil
	}
	return &lines[i]
}

func damperOf(job *network.Job, name string) *network.Damper {
	i := slices.IndexFunc(job.Dampers, func(d network.Damper) bool { return name != "" && d.Name == name })
	if i < 0 {
		return nil
	}
	return &job.Dampers[i]
}

// bare leaves a material behind a size out: dampers have none.
func bare(size string) string {
	for i := range len(size) {
		if size[i] == ' ' {
			for k := i + 1; k < len(size); k++ {
				if size[k] == ' ' {
					return size[:k]
				}
			}
		}
	}
	return size
}
