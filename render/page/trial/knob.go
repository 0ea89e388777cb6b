package trial

import (
	"fmt"
	"math"
	"strings"

	"spillway/network"
	"spillway/network/quantity"
	"spillway/render/schematic"
	"spillway/solver/state"
)

// Knob is a setting that a page offers to move.
type Knob struct {
	Path  string // in the job file: damper.main.stop
	Name  string // for people
	Help  string // one sentence
	Kind  KnobKind
	Value float64 // where it stands, in Unit
	From  float64
	To    float64
	Step  float64
	Unit  string // "%", "inwc", "Pa", ""

	Choices []string // of a knob that chooses
	Choice  string   // where it stands
	Damper  string   // the damper it moves, as the picture calls it: its name, schematic.DamperName; "" none
}

// KnobKind says what a knob is about.
type KnobKind int

// Kinds of knob.
const (
	KnobStop    KnobKind = iota // where a damper stands while its zone does not call
	KnobOpen                    // where a damper stands while its zone calls, or a hand damper
	KnobWeight                  // pressures or arm of a weighted damper
	KnobHold                    // pressure that a damper holds
	KnobBalance                 // hand balancing damper in a run to a register or from a grille
	KnobTap                     // of the blower
	KnobLoading                 // of the filter
)

// Text is a value of the knob as the job file writes it.
func (k *Knob) Text(v float64) string {
	text := quantity.Fixed(v, k.decimals())
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	if k.Unit == "" {
		return text
	}
	return text + " " + k.Unit
}

func (k *Knob) decimals() int {
	switch {
	case k.Step >= 1:
		return 0
	case k.Step >= 0.1:
		return 1
	}
	return 3
}

// Set is the override that puts the knob to a value.
func (k *Knob) Set(v float64) string { return k.Path + "=" + k.Text(v) }

// Knobs lists the settings of an installation that can be moved: stops and openings of dampers, weights, what dampers hold, hand balances that the
// file gives, taps, filter.
func Knobs(g *network.Graph) []Knob {
	job, sys := g.Job, g.Job.Units
	var out []Knob
	add := func(k Knob, path ...string) {
		var ok bool
		if k.Path, ok = pathText(path...); ok {
			out = append(out, k)
		}
	}
	sits := map[string]*network.Element{}
	for i := range g.Elements {
		e := &g.Elements[i]
		if name := schematic.DamperName(e); name != "" && sits[name] == nil {
			sits[name] = e
		}
	}
	for i := range job.Dampers {
		d := &job.Dampers[i]
		e := sits[d.Name]
		if e == nil {
			continue
		}
		switch spec := e.Spec.(type) {
		case *network.DamperSpec:
			if !spec.Hand && len(spec.Zones) > 0 {
				add(percentKnob(KnobStop, d.Name, "stop", "while its zone does not call", spec.Stop, 0, spec.Open), "damper", d.Name, "stop")
				add(percentKnob(KnobOpen, d.Name, "open", "while its zone calls", spec.Open, spec.Stop, 1), "damper", d.Name, "open")
				continue
			}
			add(percentKnob(KnobOpen, d.Name, "open", "set by hand", spec.Open, 0, 1), "damper", d.Name, "open")
		case *network.ReliefSpec:
			for _, k := range weightKnobs(d.Name, spec, sys) {
				add(k.Knob, "damper", d.Name, k.key)
			}
		case *network.RegulatorSpec:
			add(pressureKnob(KnobHold, d.Name, "holds", "the static that it holds at its sensor", spec.Holds, sys), "damper", d.Name, "holds")
		}
	}
	for _, lines := range []struct {
		table string
		list  []network.Line
	}{{"bypass", job.Bypass}, {"dump", job.Dump}, {"supply", job.Supply}, {"return", job.Return}} {
		for i := range lines.list {
			l := &lines.list[i]
			if l.Damper != "" {
				continue
			}
			for k := range g.Elements {
				if g.Elements[k].Line != l.Name {
					continue
				}
				switch spec := g.Elements[k].Spec.(type) {
				case *network.ReliefSpec:
					for _, w := range weightKnobs(l.Name, spec, sys) {
						w.Damper = schematic.DamperName(&g.Elements[k])
						add(w.Knob, lines.table, l.Name, w.key)
					}
				case *network.RegulatorSpec:
					hold := pressureKnob(KnobHold, l.Name, "holds", "the static that it holds", spec.Holds, sys)
					hold.Damper = schematic.DamperName(&g.Elements[k])
					add(hold, lines.table, l.Name, "holds")
				case *network.DamperSpec:
					if spec.Hand && spec.Damper == "" && l.Balance != nil {
						kind := KnobOpen
						if lines.table == "supply" || lines.table == "return" {
							kind = KnobBalance
						}
						hand := percentKnob(kind, l.Name, "balance", "set by hand", spec.Open, 0, 1)
						hand.Damper = schematic.DamperName(&g.Elements[k])
						add(hand, lines.table, l.Name, "balance")
					}
				}
			}
		}
	}
	return append(out, machineKnobs(g)...)
}

// percentKnob moves a damper between two positions: it cannot stand less open while its zone calls than while it does not.
func percentKnob(kind KnobKind, damper, key, help string, at, from, to network.Position) Knob {
	percent := func(p network.Position) float64 { return math.Round(1000*float64(p)) / 10 }
	return Knob{Kind: kind, Name: damper + ", " + key, Help: help, Value: percent(at), From: percent(from), To: percent(to), Step: 1, Unit: "%", Damper: damper}
}

type keyedKnob struct {
	Knob
	key string
}

// weightKnobs are the two pressures of a weighted damper, or the first and the angle of the arm that its weight hangs on.
func weightKnobs(name string, spec *network.ReliefSpec, sys quantity.System) []keyedKnob {
	opens := pressureKnob(KnobWeight, name, "opens at", "drop at which the blade begins to open", spec.OpensAt, sys)
	out := []keyedKnob{{opens, "opens-at"}}
	if spec.FullyOpenAt > 0 {
		// It begins to open before it is wide open: each of the two stops a step short of the other.
		full := pressureKnob(KnobWeight, name, "fully open at", "drop at which it is wide open", spec.FullyOpenAt, sys)
		out[0].To = max(opens.Value, full.Value-full.Step)
		full.From = min(full.Value, opens.Value+opens.Step)
		out = append(out, keyedKnob{full, "fully-open-at"})
	}
	if spec.Arm > 0 {
		k := Knob{Kind: KnobWeight, Name: name + ", arm", Help: "angle of the weight's arm below horizontal when shut", Value: math.Round(spec.Arm*10) / 10, From: 10, To: 80, Step: 1, Unit: "deg", Damper: name}
		k.To = math.Max(k.To, k.Value)
		out = append(out, keyedKnob{k, "arm"})
	}
	return out
}

func pressureKnob(kind KnobKind, damper, key, help string, pa float64, sys quantity.System) Knob {
	k := Knob{Kind: kind, Name: damper + ", " + key, Help: help, From: 0.01, To: 1, Step: 0.005, Unit: "inwc", Damper: damper}
	k.Value = math.Round(quantity.KindPressure.In(pa, quantity.IP)*1e4) / 1e4
	if sys == quantity.SI {
		k.From, k.To, k.Step, k.Unit = 2, 250, 1, "Pa"
		k.Value = math.Round(pa*10) / 10
	}
	k.To = math.Max(k.To, k.Value)
	return k
}

// machineKnobs are the blower's tap in each mode and the filter.
func machineKnobs(g *network.Graph) []Knob {
	var out []Knob
	e := &g.Job.Equipment
	if spec, ok := g.Elements[g.Blower].Spec.(*network.BlowerSpec); ok && len(spec.Taps) > 1 {
		var taps []string
		for _, t := range spec.Taps {
			taps = append(taps, t.Name)
		}
		for _, m := range []struct {
			mode    string
			machine *network.Machine
		}{{"cooling", e.Cooling}, {"heating", e.Heating}, {"fan", e.Fan}} {
			// A staged machine has a tap for each stage; those are left to the file.
			if m.machine != nil && m.machine.Tap != "" && len(m.machine.Stages) < 2 {
				out = append(out, Knob{Kind: KnobTap, Path: "equipment." + m.mode + ".tap", Name: "blower tap, " + m.mode, Help: "the speed that runs in " + m.mode, Choices: taps, Choice: m.machine.Tap})
			}
		}
	}
	if e.Filter != nil {
		loading := e.Filter.Loading
		if loading == 0 {
			loading = 1
		}
		out = append(out, Knob{Kind: KnobLoading, Path: "equipment.filter.loading", Name: "filter, loading", Help: "times its clean drop", Value: loading, From: 1, To: math.Max(4, loading), Step: 0.1})
	}
	return out
}

// Moves tells whether a stop or an opening is what a damper follows in a call state: the stop while its zone is satisfied, the opening
// while it calls, neither where the panel fixes it.
func (k *Knob) Moves(o *state.Outcome) bool {
	for i := range o.Dampers {
		d := &o.Dampers[i]
		spec, ok := o.Graph.Elements[d.Element].Spec.(*network.DamperSpec)
		if !ok || schematic.DamperName(&o.Graph.Elements[d.Element]) != k.Damper {
			continue
		}
		switch k.Kind {
		case KnobStop:
			return !d.Calling && !d.Moved && math.Abs(d.Position-float64(spec.Stop)) < 1e-9
		case KnobOpen:
			return (d.Calling || spec.Hand || len(spec.Zones) == 0) && math.Abs(d.Position-float64(spec.Open)) < 1e-9
		}
	}
	return false
}

// pathText writes a path for an override, quoting what needs it; false when no override can name it.
func pathText(path ...string) (string, bool) {
	var b strings.Builder
	for i, part := range path {
		if i > 0 {
			b.WriteByte('.')
		}
		switch {
		case strings.ContainsAny(part, "=\n"):
			return "", false
		case bare(part):
			b.WriteString(part)
		case !strings.Contains(part, `"`) && !strings.Contains(part, `\`):
			fmt.Fprintf(&b, `"%s"`, part)
		case !strings.Contains(part, "'"):
			fmt.Fprintf(&b, `'%s'`, part)
		default:
			return "", false
		}
	}
	return b.String(), true
}

func bare(text string) bool {
	for i := 0; i < len(text); i++ {
		c := text[i]
		if !(c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9' || c == '-' || c == '_') {
			return false
		}
	}
	return text != ""
}
