package sheet

import (
	"spillway/network"
	"spillway/solver/state"
)

// portReading is the static pressure that a gauge would show at a test port.
type portReading struct {
	name, at string
	static   float64 // Pa
}

// ports lists the equipment's own ports, in air order, and then the job's.
func ports(o *state.Outcome) []portReading {
	var out []portReading
	for _, role := range []network.Role{network.AtReturnPlenum, network.AtBlowerInlet, network.AtBlowerOutlet, network.AtSupplyPlenum} {
		if i := o.Graph.NodeAt(role); i >= 0 && i < len(o.Nodes) {
			out = append(out, portReading{name: o.Graph.Nodes[i].Name, static: o.Nodes[i].Static})
		}
	}
	for i, s := range o.Graph.Ports() {
		if static, ok := spotStatic(o, s); ok {
			p := &o.Graph.Job.Ports[i]
			out = append(out, portReading{name: p.Name, at: p.At, static: static})
		}
	}
	return out
}

// spotStatic reads the static pressure at a place.
//
// At the end of a line that is the node's static. At its start it is the node's total pressure less the velocity pressure in
// the line's own first duct,
//
//	p_s = p_t − ρV²/2
//
// without the loss of what the air passes on entering, which a gauge close behind a fitting would not show steadily either.
func spotStatic(o *state.Outcome, s network.Spot) (static float64, ok bool) {
	switch {
	case s.Node < 0 || s.Node >= len(o.Nodes):
		return 0, false
	case s.Start >= 0:
		in := o.Elements[s.Start]
		return o.Nodes[s.Node].Total - in.Density*in.Velocity*in.Velocity/2, true
	}
	return o.Nodes[s.Node].Static, true
}
