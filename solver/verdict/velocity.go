package verdict

import (
	"math"

	"spillway/network"
	"spillway/network/catalog"
)

// faces judges the velocity at registers and grilles, on their gross face.
func (j *judge) faces() {
	list := j.list()
	for k, r := range j.o.Registers {
		list = append(list, j.limit(supplyFace).judge(j.g.Registers[k].Line, r.FaceVelocity,
			"a larger register, or less surplus into this zone: a larger stop elsewhere, a bypass or a lower tap"))
	}
	j.several(list)
	list = j.list()
	for i := range j.g.Elements {
		if j.g.Elements[i].Kind != network.KindGrille {
			continue
		}
		c := returnFace
		if row, ok := catalog.LookupTerminal(j.g.Elements[i].Spec.(*network.OpeningSpec).Kind); ok && row.Filter {
			c = filterGrille
		}
		list = append(list, j.limit(c).judge(j.g.Elements[i].Line, j.o.Elements[i].Velocity, "a larger return grille or a second one"))
	}
	j.several(list)
}

// equipmentFaces judges the velocity through filter and coil where their size is given.
func (j *judge) equipmentFaces() {
	eq := &j.g.Job.Equipment
	for i := range j.g.Elements {
		part, c := eq.Filter, filterFace
		switch j.g.Elements[i].Kind {
		case network.KindFilter:
		case network.KindCoil:
			part, c = eq.Coil, coilFace
		default:
			continue
		}
		if part == nil || !(part.Size.Area() > 0) {
			continue
		}
		x := &j.o.Elements[i]
		j.add(c, j.g.Elements[i].Name, math.Abs(x.Flow)/(x.Density*part.Size.Area()), "a larger face, or two side by side")
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
		c := trunk
		switch {
		case e.Side == network.ReturnSide:
			c = returnTrunk
		case ends[e.Line] && spec.Flexible():
			c = flexBranch
		case ends[e.Line]:
			c = branch
		}
		f := j.limit(c).judge(e.Line, j.o.Elements[i].Velocity, "a larger duct, or less air through it in this call")
		if again {
			list[k] = f
			continue
		}
		seen[e.Line] = len(list)
		list = append(list, f)
	}
	j.several(list)
}
