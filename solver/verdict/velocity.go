package verdict

import (
	"math"

	"spillway/network"
	"spillway/network/catalog"
	"spillway/solver/state"
)

// faces judges the velocity at registers and grilles, on their gross face.
func (j *judge) faces() {
	list := j.list()
	for k, r := range j.o.Registers {
		list = append(list, j.limit(SupplyFace).judge(j.g.Registers[k].Line, r.FaceVelocity,
			"a larger register, or less surplus into this zone: a larger stop elsewhere, a bypass or a lower tap").
			of(state.RegisterFaceVelocity, k, state.NoField))
	}
	j.several(list)
	list = j.list()
	for i := range j.g.Elements {
		if j.g.Elements[i].Kind != network.KindGrille {
			continue
		}
		c := ReturnFace
		if row, ok := catalog.LookupTerminal(j.g.Elements[i].Spec.(*network.OpeningSpec).Kind); ok && row.Filter {
			c = FilterGrille
		}
		list = append(list, j.limit(c).judge(j.g.Elements[i].Line, j.o.Elements[i].Velocity, "a larger return grille or a second one").
			of(state.ElementVelocity, i, state.NoField))
	}
	j.several(list)
}

// equipmentFaces judges the velocity through filter and coil where their size is given.
func (j *judge) equipmentFaces() {
	eq := &j.g.Job.Equipment
	for i := range j.g.Elements {
		part, c := eq.Filter, FilterFace
		switch j.g.Elements[i].Kind {
		case network.KindFilter:
		case network.KindCoil:
			part, c = eq.Coil, CoilFace
		default:
			continue
		}
		if part == nil || !(part.Size.Area() > 0) {
			continue
		}
		x := &j.o.Elements[i]
		j.add(c, j.g.Elements[i].Name, math.Abs(x.Flow)/(x.Density*part.Size.Area()), "a larger face, or two side by side", state.Ref{Field: state.ElementAirflow, At: i})
	}
}

// ducts judges the velocity in ducts; the fastest piece of a line stands for it.
func (j *judge) ducts() {
	ends := make(map[string]bool, len(j.g.Registers)) // lines that end in a register
	for _, r := range j.g.Registers {
		ends[r.Line] = true
	}
	list := j.list()
	seen := make(map[string]int, len(j.g.Elements)/2)
	for i := range j.g.Elements {
		e := &j.g.Elements[i]
		spec, ok := e.Spec.(*network.DuctSpec)
		if !ok {
			continue
		}
		k, again := seen[e.Line]
		if again && !(j.o.Elements[i].Velocity > list[k].Value) {
			continue // the line has a faster piece
		}
		c := Trunk
		switch {
		case e.Side == network.ReturnSide:
			c = ReturnTrunk
		case ends[e.Line] && spec.Flexible():
			c = FlexBranch
		case ends[e.Line]:
			c = Branch
		}
		f := j.limit(c).judge(e.Line, j.o.Elements[i].Velocity, "a larger duct, or less air through it in this call").
			of(state.ElementVelocity, i, state.NoField)
		if again {
			list[k] = f
			continue
		}
		seen[e.Line] = len(list)
		list = append(list, f)
	}
	j.several(list)
}
