package diagnose

import (
	"math"
	"reflect"

	"spillway/network"
)

// doubted lists the values that the job does not know exactly, each as a multiplier of its middle.
// Its standard deviation is a quarter of the span of a bell and 1/√12 of an even one, as a share of
// the middle. Words (an unknown tap) are left to the causes, which try every tap.
func doubted(g *network.Graph) []asBuilt {
	var list []asBuilt
	for _, d := range g.Job.Doubts {
		if d.Choices != nil || !(d.Middle > 0) {
			continue
		}
		deviation := (d.High - d.Low) / math.Sqrt(12)
		if d.Shape == network.BellShape {
			deviation = (d.High - d.Low) / 4
		}
		list = append(list, asBuilt{d.Path, math.Log1p(deviation / d.Middle),
			func(to *network.Graph, m float64) {
				path, value := d.Override(min(max(d.Middle*m, d.Low), d.High))
				changed, _ := g.With(path + "=" + value)
				if changed == nil || len(changed.Elements) != len(to.Elements) {
					return
				}
				for i := range to.Elements {
					if !reflect.DeepEqual(changed.Elements[i].Spec, g.Elements[i].Spec) {
						to.Elements[i].Spec = changed.Elements[i].Spec
					}
				}
				to.Junctions = changed.Junctions
			}})
	}
	return list
}
