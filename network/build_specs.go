package network

import (
	"fmt"
	"math"
	"strings"

	"spillway/network/catalog"
	"spillway/network/quantity"
)

// StraightOn is the word in a line's fittings for the leg that goes straight on through its parent's last junction.
const StraightOn = "straight on"

// defaultJunction is the takeoff that is taken where a line does not name one.
const defaultJunction = "tee"

// isStraight tells whether a line goes straight on from its parent.
func isStraight(l *Line) bool {
	for _, f := range l.Fittings {
		if f.Name == StraightOn || strings.HasSuffix(f.Name, " straight") {
			return true
		}
	}
	return false
}

// connection is the kind of junction that a line's fittings name, "" when they name none. At both ends of a bypass the first is
// where it leaves and the last where it joins.
func connection(l *Line) string {
	kinds := connections(l)
	if len(kinds) == 0 {
		return ""
	}
	return kinds[0]
}

func connections(l *Line) []string {
	var kinds []string
	for _, f := range l.Fittings {
		if row, ok := catalog.LookupJunction(strings.TrimSuffix(f.Name, " branch")); ok && f.Name != "" {
			kinds = append(kinds, row.Name)
		}
	}
	return kinds
}

// entries are the fittings that say how a duct begins in still air.
var entries = []string{"plenum takeoff", "flush entry", "projecting entry", "bellmouth", "projecting bellmouth"}

// entryLosses are the losses of a line's fittings, and of its entry when it begins in a chamber.
func (b *builder) entryLosses(l *Line, fromChamber bool) []Loss {
	var losses []Loss
	entered := false
	for _, f := range l.Fittings {
		if f.Name == "" {
			if f.Coefficient > 0 {
				losses = append(losses, Loss{Name: fmt.Sprintf("C = %g", f.Coefficient), Count: f.Count, Coefficient: f.Coefficient, Source: "job file"})
			}
			continue
		}
		row, ok := catalog.LookupFitting(f.Name)
		if !ok {
			continue // the connection, or "straight on": the junction's business
		}
		for _, e := range entries {
			entered = entered || strings.HasPrefix(row.Name, e)
		}
		c, note := row.Coefficient(l.Size.Section, nominalReynolds(l))
		source := row.Source.String()
		if note != "" {
			source += "; " + note
			b.assume(b.path(l)+".fittings", row.Name, note)
		}
		if open := row.LeftOpen(f.Name); open != "" {
			b.assume(b.path(l)+".fittings", row.Name, "taken as of "+open+", which its name leaves open (our choice)")
		}
		losses = append(losses, Loss{Name: row.Name, Count: max(1, f.Count), Coefficient: c, Source: source})
	}
	if fromChamber && !entered {
		row, _ := catalog.LookupFitting("flush entry")
		c, _ := row.Coefficient(l.Size.Section, 0)
		losses = append(losses, Loss{Name: row.Name, Count: 1, Coefficient: c, Source: row.Source.String()})
		b.assume(b.path(l)+".fittings", row.Name, "no entry is named where it leaves still air")
	}
	return losses
}

// exitLosses are the losses where a line ends in still air; a register's own loss has the exit in it.
func (b *builder) exitLosses(l *Line) []Loss {
	if _, ok := b.chamber(l.To); !ok {
		return nil
	}
	row, _ := catalog.LookupFitting("exit to plenum")
	c, _ := row.Coefficient(l.Size.Section, 0)
	return []Loss{{Name: "exit to " + l.To, Count: 1, Coefficient: c, Source: row.Source.String()}}
}

// nominalReynolds is the Reynolds number at 5 m/s, where fittings whose coefficient falls a little with Reynolds number are read: it
// stands for the branches of a house (our choice).
func nominalReynolds(l *Line) float64 {
	const velocity, kinematic = 5, 1.506e-5
	return velocity * l.Size.Section.HydraulicDiameter() / kinematic
}

// ductSpec is one piece of a line.
func (b *builder) ductSpec(l *Line, length float64, losses []Loss) *DuctSpec {
	material, _ := catalog.LookupMaterial(l.Material)
	if l.Material == "" {
		material, _ = catalog.LookupMaterial(catalog.DefaultMaterial)
	}
	spec := &DuctSpec{
		Section: l.Size.Section, Material: material.Name, Roughness: material.Roughness, Length: length, Multiplier: flexMultiplier(l), Losses: losses,
	}
	for _, loss := range losses {
		spec.Local += float64(loss.Count) * loss.Coefficient
	}
	if len(losses) > 0 { // equivalent lengths go with the fittings
		for _, f := range l.Fittings {
			spec.Length += float64(max(1, f.Count)) * float64(f.Equivalent)
		}
	}
	return spec
}

// flexMultiplier is how many times a line's friction is that of the same duct stretched.
func flexMultiplier(l *Line) float64 {
	material, _ := catalog.LookupMaterial(l.Material)
	if !material.Flexible {
		return 1
	}
	multiplier, _ := catalog.FlexCorrection(100*float64(l.Compression), l.Size.Section.HydraulicDiameter())
	if l.Sag > 0 {
		multiplier *= l.Sag
	}
	return multiplier
}

// transition adds the loss where a line goes straight on into another of a different section, all its air with it.
func (b *builder) transition(from, to *run) {
	if up, down := from.line.Size.Section, to.line.Size.Section; up != down {
		row := b.changeOfSection(from.line, to.line)
		c, _ := row.Between(up, down, nominalReynolds(to.line))
		b.addLoss(to.pieces[0], Loss{Name: row.Name, Count: 1, Coefficient: c, Source: row.Source.String()})
	}
}

// runChanges are the losses of the change of section between a main and the straight leg of its last junction, into the leg and out of it,
// each on the velocity pressure downstream.
func (b *builder) runChanges(main, leg, upstream *Line) (out, in float64) {
	big, small := main.Size.Section, leg.Size.Section
	if big == small {
		return 0, 0
	}
	row := b.changeOfSection(main, leg)
	if upstream == leg {
		row = b.changeOfSection(leg, main)
	}
	out, _ = row.Between(big, small, nominalReynolds(leg))
	in, _ = row.Between(small, big, nominalReynolds(main))
	return out, in
}

// changeOfSection is the fitting between two lines of different sections that go straight on: the one that the second names, or the usual one.
func (b *builder) changeOfSection(from, to *Line) catalog.Fitting {
	row, _ := catalog.LookupFitting("transition")
	name := "transition"
	for _, f := range to.Fittings {
		if own, ok := catalog.LookupFitting(f.Name); ok && own.NeedsBoth() {
			row, name = own, f.Name
			break
		}
	}
	path := b.path(to) + ".fittings"
	if _, note := row.Between(from.Size.Section, to.Size.Section, nominalReynolds(to)); note != "" {
		b.assume(path, row.Name, note)
	}
	if open := row.LeftOpen(name); open != "" {
		b.assume(path, row.Name, "of "+open+" where its size changes from that of "+from.Name+" (our choice)")
	}
	return row
}

func (b *builder) addLoss(piece int, l Loss) {
	spec := b.g.Elements[piece].Spec.(*DuctSpec)
	spec.Losses = append(spec.Losses, l)
	spec.Local += float64(l.Count) * l.Coefficient
}

// junction records the losses where a child line leaves or joins its parent. With no straight leg all the air turns, which is a
// plain loss on the child's duct.
func (b *builder) junction(j Junction, parent, child *Line, childPiece int, joining bool) {
	kind := connection(child)
	if k := connections(child); joining && len(k) > 0 {
		kind = k[len(k)-1]
	}
	if kind == "" {
		kind = defaultJunction
		b.assume(b.path(child)+".fittings", kind, "no junction is named between it and "+parent.Name)
	}
	j.Kind, j.CommonArea, j.BranchArea = kind, area(parent), area(child)
	if j.Run >= 0 {
		b.g.Junctions = append(b.g.Junctions, j)
		return
	}
	row, ok := catalog.LookupJunction(kind)
	if !ok {
		b.problem("%s: %q is not a junction of the catalogue", child.Name, kind)
		return
	}
	ratio := j.BranchArea / j.CommonArea
	k, _ := row.DivergingBranch(1, ratio)
	if joining {
		k, _ = row.ConvergingBranch(1, ratio, 1)
	}
	// From the combined leg's velocity pressure to the child's: K (V_c/V_b)² with all the air in both.
	b.addLoss(childPiece, Loss{Name: kind + ", all air turning", Count: 1, Coefficient: max(0, k*ratio*ratio), Source: row.Source.String()})
}

// blowerSpec is the blower's table, from the job file or the catalogue; nil when there is none.
func (b *builder) blowerSpec() *BlowerSpec {
	if t := b.job.Blower; t != nil {
		spec := &BlowerSpec{Name: "blower of the job file", Kind: t.Kind}
		for _, tap := range t.Taps {
			c := TapCurve{Name: tap.Name}
			for i := range tap.Airflow {
				if i < len(t.Static) {
					c.Static = append(c.Static, float64(t.Static[i]))
					c.Airflow = append(c.Airflow, float64(tap.Airflow[i]))
				}
				if i < len(tap.Watts) {
					c.Watts = append(c.Watts, float64(tap.Watts[i]))
				}
			}
			spec.Taps = append(spec.Taps, c)
		}
		return spec
	}
	row, ok := catalog.LookupBlower(b.job.Equipment.Blower.Table)
	if !ok {
		return nil
	}
	spec := &BlowerSpec{Name: row.Name, Kind: row.Kind.String()}
	for _, tap := range row.Taps {
		c := TapCurve{Name: tap.Name}
		for _, p := range tap.Points {
			c.Static = append(c.Static, p.Static)
			c.Airflow = append(c.Airflow, p.Airflow)
			c.Watts = append(c.Watts, p.Power)
		}
		spec.Taps = append(spec.Taps, c)
	}
	return spec
}

// designAirflow is the airflow at the rated static of the highest tap that the equipment uses.
func designAirflow(job *Job, spec *BlowerSpec) float64 {
	static := float64(job.Equipment.MaxStatic)
	used := map[string]bool{}
	for _, m := range []*Machine{job.Equipment.Cooling, job.Equipment.Heating} {
		if m == nil {
			continue
		}
		used[m.Tap] = true
		for _, st := range m.Stages {
			used[st.Tap] = true
		}
	}
	most := 0.0
	for i, t := range spec.Taps {
		if used[t.Name] || len(spec.Taps) == 1 || used[""] && i == 0 {
			most = max(most, airflowAt(t, static))
		}
	}
	return most
}

// airflowAt reads a tap's table at a static, linearly; held at its ends.
func airflowAt(t TapCurve, static float64) float64 {
	n := len(t.Static)
	if n == 0 {
		return 0
	}
	for i := 1; i < n; i++ {
		if static <= t.Static[i] {
			u := (static - t.Static[i-1]) / (t.Static[i] - t.Static[i-1])
			return t.Airflow[i-1] + math.Max(u, 0)*(t.Airflow[i]-t.Airflow[i-1])
		}
	}
	return t.Airflow[n-1]
}

// ratedSpec is a filter or coil by its rating point.
func (b *builder) ratedSpec(r *Resistance, part string) *RatedSpec {
	spec := &RatedSpec{Drop: float64(r.Drop), At: float64(r.At), Exponent: r.Exponent, Factor: 1, WetFactor: 1}
	if r.Loading > 0 {
		spec.Factor = r.Loading
	}
	if spec.Exponent == 0 {
		spec.Exponent = catalog.FilterExponent
		if part == "coil" {
			spec.Exponent = catalog.CoilExponent
		}
	}
	if part == "coil" && (r.Wet == nil || *r.Wet) {
		spec.WetFactor = catalog.WetCoilFactor
	}
	return spec
}

// UsualDoor is the width of an inner door of which the file gives none, m (common practice).
const UsualDoor = 32 * quantity.Inch

// doorSpec is the open area of a shut door: its undercut and the cracks round it.
func (b *builder) doorSpec(r *Room) *GapSpec {
	width := float64(r.Door.Width)
	if width == 0 {
		width = UsualDoor
	}
	return &GapSpec{Area: width*float64(r.Door.Undercut) + catalog.CrackAllowance}
}

// leakSpec turns a leak into Q = C Δp^n.
func (b *builder) leakSpec(of string, l *Leak, surface float64) *LeakSpec {
	if l.Class > 0 && surface <= 0 {
		b.problem("%s: a leakage class needs the surface of a line", of)
		return nil
	}
	return l.Spec(b.g.DesignAirflow, surface)
}

// Spec is the leak's law Q = C Δp^n; design is the blower's design airflow, m³/s, that a share refers to, and surface that of the line, m², which
// only a class needs. nil: a leak of nothing.
func (l *Leak) Spec(design, surface float64) *LeakSpec {
	n := l.Exponent
	if n == 0 {
		n = catalog.TestLeakageExponent
		if l.Class > 0 {
			n = catalog.DuctLeakageExponent
		}
	}
	switch {
	case l.Class > 0:
		return &LeakSpec{Coefficient: catalog.LeakageOfClass(l.Class) * surface, Exponent: n}
	case l.Airflow > 0 || l.Share > 0:
		q := float64(l.Airflow)
		if q == 0 {
			q = float64(l.Share) * design
		}
		return &LeakSpec{Coefficient: q / math.Pow(float64(l.At), n), Exponent: n}
	}
	return nil
}
