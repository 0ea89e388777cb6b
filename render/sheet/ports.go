package sheet

import (
	"strings"

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
	for _, name := range []string{network.ReturnPlenum, network.BlowerInlet, network.BlowerOutlet, network.SupplyPlenum} {
		if i := o.Graph.NodeNamed(name); i >= 0 && i < len(o.Nodes) {
			out = append(out, portReading{name: name, static: o.Nodes[i].Static})
		}
	}
	for _, p := range o.Graph.Job.Ports {
		if static, ok := portStatic(o, p.At); ok {
			out = append(out, portReading{name: p.Name, at: p.At, static: static})
		}
	}
	return out
}

// portStatic reads the static pressure at a place: a node's name, or a line's name with " start" or " end".
//
// At the end of a line that is the node's static. At its start it is the node's total pressure less the velocity pressure in
// the line's own first duct,
//
//	p_s = p_t − ρV²/2
//
// without the loss of what the air passes on entering, which a gauge close behind a fitting would not show steadily either.
func portStatic(o *state.Outcome, at string) (static float64, ok bool) {
	if i := o.Graph.NodeNamed(at); i >= 0 && i < len(o.Nodes) {
		return o.Nodes[i].Static, true
	}
	if line, isStart := strings.CutSuffix(at, " start"); isStart {
		for i, e := range o.Graph.Elements {
			if e.Line == line && e.Kind == network.KindDuct {
				in := o.Elements[i]
				return o.Nodes[e.From].Total - in.Density*in.Velocity*in.Velocity/2, true
			}
		}
		return 0, false
	}
	line := strings.TrimSuffix(at, " end")
	for i := len(o.Graph.Elements) - 1; i >= 0; i-- {
		if e := o.Graph.Elements[i]; e.Line == line && e.Kind == network.KindDuct {
			return o.Nodes[e.To].Static, true
		}
	}
	return 0, false
}
