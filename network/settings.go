package network

import (
	"fmt"
	"math"
	"reflect"
	"strconv"
	"strings"

	"spillway/network/quantity"
)

// Setting is a number or a word of the job file that can be moved.
type Setting struct {
	Path  string        // "damper.main.stop"
	Kind  quantity.Kind // Unknown: a plain number, or a word where there are Choices
	Blade bool          // the position of a damper's blade, which may be given in degrees too
	Value float64       // SI
	// Least and Most are what the reader and the neighbors allow: a stop lies at or below open. Low and High
	// are what is usual between them, the range of a slider. All four are 0 for what has no bounds.
	Least, Most, Low, High float64
	Local                  bool // see Local

	// What Settings("") tells besides. Element is the one whose Spec depends on the setting, None for a tap.
	Name, Help string // "main, stop" and one sentence
	Step       float64
	Choices    []string
	Word       string // the choice in place
	Element    int

	system quantity.System
}

// Key is the last word of the setting's path.
func (s *Setting) Key() string { return s.Path[strings.LastIndexByte(s.Path, '.')+1:] }

// Unit is the unit that Number and Text write values in: the job's own, "" for a plain number.
func (s *Setting) Unit() string { return s.Kind.Symbol(s.written()) }

// Number is a value in the setting's unit: a decimal finer than its step, or to ten digits where it has none.
func (s *Setting) Number(si float64) float64 {
	text := strconv.FormatFloat(s.Kind.In(si, s.written()), 'g', 10, 64)
	if s.Step > 0 {
		step := s.Kind.In(s.Step, s.written()) - s.Kind.In(0, s.written())
		text = strconv.FormatFloat(s.Kind.In(si, s.written()), 'f', 1+max(0, int(math.Ceil(-math.Log10(step)-1e-9))), 64)
	}
	x, _ := strconv.ParseFloat(text, 64)
	return x
}

// written is the system that values are written in: an R-value is not written like other numbers.
func (s *Setting) written() quantity.System {
	if s.Kind == quantity.KindInsulation {
		return quantity.SI
	}
	return s.system
}

// Text is a value as the job file writes it, as exact as Number.
func (s *Setting) Text(si float64) string {
	return strings.TrimSpace(strconv.FormatFloat(s.Number(si), 'f', -1, 64) + " " + s.Unit())
}

// Parse reads a value as the job file gives it. Errors are of type *quantity.Error but for a plain number.
func (s *Setting) Parse(text string) (float64, error) {
	switch {
	case s.Blade:
		position, err := ParsePosition(text, s.system)
		return float64(position), err
	case s.Kind == quantity.Unknown:
		x, ok := leadNumber(text)
		switch rest := strings.TrimLeft(strings.TrimSpace(text), "+-.0123456789"); {
		case !ok || math.IsInf(x, 0):
			return 0, fmt.Errorf("%q does not begin with a number", text)
		case rest != "":
			return 0, fmt.Errorf("%q has a unit, but a plain number is meant", text)
		}
		return x, nil
	}
	return s.Kind.Parse(text, s.system)
}

// ParseDifference reads how far two values of the setting lie apart.
func (s *Setting) ParseDifference(text string) (float64, error) {
	switch {
	case s.Blade && strings.Contains(text, "deg"):
		degrees, err := quantity.KindAngle.Parse(text, s.system)
		return degrees / fullBlade, err
	case s.Kind == quantity.KindTemperature:
		return quantity.KindTemperatureSpan.Parse(text, s.system)
	}
	return s.Parse(text)
}

// Settings lists the quantities of the job that a path stands for, in file order. A * stands for every
// name, and then for those parts only whose value is not zero. The empty pattern lists what pages offer to
// move: how dampers are set, the filter's loading and the blower's taps.
func (g *Graph) Settings(pattern string) []Setting {
	if pattern == "" {
		return g.offered()
	}
	path, ok := SplitPath(pattern)
	if !ok {
		return nil
	}
	var list []Setting
	g.settings(reflect.ValueOf(g.Job), path, nil, field{}, func(s Setting) {
		if s.Value != 0 || !strings.Contains(pattern, "*") {
			list = append(list, s)
		}
	})
	return list
}

// settings follows a path through structs by the words of the job file, and through named parts by names.
func (g *Graph) settings(v reflect.Value, path, at []string, f field, yield func(Setting)) {
	for v.Kind() == reflect.Pointer {
		if v.IsNil() {
			return
		}
		v = v.Elem()
	}
	if len(path) == 0 {
		if _, ok := kinds[v.Type()]; ok {
			s := newSetting(v.Type(), at, f, g.Job.Units)
			s.Value = v.Float()
			yield(s)
		}
		return
	}
	at = append(at[:len(at):len(at)], path[0])
	switch v.Kind() {
	case reflect.Struct:
		if f, ok := fieldNamed(fieldsOf(v.Type()), path[0]); ok {
			g.settings(v.Field(f.index), path[1:], at, f, yield)
		}
	case reflect.Slice:
		for i := range v.Len() {
			if e := v.Index(i); named(e.Type()) && (path[0] == "*" || path[0] == e.FieldByName("Name").String()) {
				at[len(at)-1] = e.FieldByName("Name").String()
				g.settings(e, path[1:], at, f, yield)
			}
		}
	}
}

// kinds are the kinds of the job's quantities by their types.
var kinds = map[reflect.Type]quantity.Kind{
	reflect.TypeFor[Position](): quantity.KindFraction, reflect.TypeFor[float64](): quantity.Unknown,
	reflect.TypeFor[quantity.Length](): quantity.KindLength, reflect.TypeFor[quantity.Area](): quantity.KindArea,
	reflect.TypeFor[quantity.Airflow](): quantity.KindAirflow, reflect.TypeFor[quantity.Velocity](): quantity.KindVelocity,
	reflect.TypeFor[quantity.Pressure](): quantity.KindPressure, reflect.TypeFor[quantity.Temperature](): quantity.KindTemperature,
	reflect.TypeFor[quantity.TemperatureSpan](): quantity.KindTemperatureSpan, reflect.TypeFor[quantity.Heat](): quantity.KindHeat,
	reflect.TypeFor[quantity.Electricity](): quantity.KindElectricity, reflect.TypeFor[quantity.Fraction](): quantity.KindFraction,
	reflect.TypeFor[quantity.Angle](): quantity.KindAngle, reflect.TypeFor[quantity.Insulation](): quantity.KindInsulation,
}

// newSetting describes a quantity of the job by its type and its field.
func newSetting(t reflect.Type, path []string, f field, system quantity.System) Setting {
	s := Setting{Path: PathText(path...), Kind: kinds[t], Blade: t == reflect.TypeFor[Position](), Local: f.local, Element: None, system: system}
	if b := boundsOf(s.Kind, f); b.most < unbounded.most && (s.Kind != quantity.Unknown || f.bounds != "") {
		s.Least, s.Low, s.High, s.Most = b.least, b.low, b.high, b.most
	}
	return s
}

// offered lists what pages offer to move.
func (g *Graph) offered() []Setting {
	var list []Setting
	add := func(e int, path ...string) {
		for _, o := range g.Elements[e].Spec.offers(sliderStep(quantity.KindPressure, g.Job.Units)) {
			if s, ok := g.slider(o, e, append(path[:len(path):len(path)], o.key)); ok {
				list = append(list, s)
			}
		}
	}
	for i := range g.Job.Dampers {
		if e := g.ElementOf(DamperID(i)); e != None {
			add(e, "damper", g.Job.Dampers[i].Name)
		}
	}
	for _, table := range []Table{BypassTable, DumpTable, SupplyTable, ReturnTable} {
		for e := range g.Elements {
			if l := g.Job.Line(g.Elements[e].LineID); l != nil && l.Table == table && g.Elements[e].DamperID == None {
				add(e, string(table), l.Name)
			}
		}
	}
	list = append(list, g.taps()...)
	for e := range g.Elements {
		if g.Elements[e].Kind == KindFilter {
			add(e, "equipment", "filter")
		}
	}
	return list
}

// slider is the setting of an offer. Its usual range ends at whole steps or at a neighbor, and never short of
// where it is. It is false where no override can name the part.
func (g *Graph) slider(o offer, element int, path []string) (Setting, bool) {
	_, f, of, ok := localPath(PathText(path...))
	if !ok {
		return Setting{}, false
	}
	s := newSetting(of, path, f, g.Job.Units)
	s.Value, s.Element, s.Name, s.Help = o.at, element, path[len(path)-2]+", "+o.name, o.help
	s.Step = sliderStep(s.Kind, g.Job.Units)
	s.Low, s.High = s.Step*math.Ceil(s.Low/s.Step-1e-9), s.Step*math.Ceil(s.High/s.Step-1e-9)
	if !math.IsNaN(o.least) {
		s.Least, s.Low = o.least, o.least
	}
	if !math.IsNaN(o.most) {
		s.Most, s.High = o.most, o.most
	}
	s.Low, s.High = min(s.Low, o.at), max(s.High, o.at)
	return s, true
}

// sliderStep is the step in which a kind of quantity is moved, SI.
func sliderStep(kind quantity.Kind, system quantity.System) float64 {
	switch {
	case kind == quantity.KindFraction:
		return 0.01
	case kind == quantity.KindPressure && system != quantity.SI:
		return 0.005 * quantity.InchWater
	case kind == quantity.Unknown:
		return 0.1
	}
	return 1
}

// taps are the blower's taps in each mode. A staged machine has a tap for each stage; those are left to the
// file.
func (g *Graph) taps() []Setting {
	var list []Setting
	spec, ok := g.Elements[g.Blower].Spec.(*BlowerSpec)
	if !ok || len(spec.Taps) < 2 {
		return nil
	}
	for mode, m := range g.Job.Equipment.Machines() {
		if m.Tap == "" || len(m.Stages) > 1 {
			continue
		}
		s := Setting{Path: PathText("equipment", string(mode), "tap"), Name: "blower tap, " + string(mode), Help: "the speed that runs in " + string(mode), Word: m.Tap, Element: None}
		for _, t := range spec.Taps {
			s.Choices = append(s.Choices, t.Name)
		}
		list = append(list, s)
	}
	return list
}
