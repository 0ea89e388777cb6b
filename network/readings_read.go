package network

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"

	"spillway/network/diag"
	"spillway/network/quantity"
)

// readingKeys are the keys of one reading; quantities are read by kind, not by these types.
type readingKeys struct {
	State   string  `toml:"state"`
	At      string  `toml:"at"`
	Across  string  `toml:"across"`
	Between []Names `toml:"between"`
	With    string  `toml:"with"`
	Note    string  `toml:"note"`

	Sigma       quantity.Pressure `toml:"sigma"`
	Static      quantity.Pressure `toml:"static"`
	Total       quantity.Pressure `toml:"total"`
	Drop        quantity.Pressure `toml:"drop"`
	Airflow     quantity.Pressure `toml:"airflow"`
	Face        quantity.Pressure `toml:"face-velocity"`
	Temperature quantity.Pressure `toml:"temperature"`
	Rise        quantity.Pressure `toml:"rise"`
	Sound       quantity.Pressure `toml:"sound"`
	Watts       quantity.Pressure `toml:"watts"`
}

// readingKind is the quantity of a kind of reading, and of its uncertainty.
func (k ReadingKind) quantities() (value, sigma quantity.Kind) {
	switch k {
	case StaticReading, TotalReading, DropReading:
		return quantity.KindPressure, quantity.KindPressure
	case AirflowReading:
		return quantity.KindAirflow, quantity.KindAirflow
	case FaceReading:
		return quantity.KindVelocity, quantity.KindVelocity
	case TemperatureReading:
		return quantity.KindTemperature, quantity.KindTemperatureSpan
	case RiseReading:
		return quantity.KindTemperatureSpan, quantity.KindTemperatureSpan
	case WattsReading:
		return quantity.KindElectricity, quantity.KindElectricity
	}
	return quantity.Unknown, quantity.Unknown // dB(A): a plain number
}

// Quantity is the kind of quantity of a reading; Unknown for a sound level, which is a plain number of dB(A).
func (k ReadingKind) Quantity() quantity.Kind { v, _ := k.quantities(); return v }

// span is what a reading of a kind can be at all, SI; ours, wide of anything real.
func (k ReadingKind) span() (least, most float64) {
	switch k {
	case StaticReading, TotalReading, DropReading:
		return -3000, 3000
	case AirflowReading:
		return -5, 20
	case FaceReading:
		return 0, 50
	case TemperatureReading:
		return -60, 150
	case RiseReading:
		return -50, 100
	case SoundReading:
		return 0, 130
	}
	return 0, 20000
}

func readingKinds() []ReadingKind {
	return []ReadingKind{StaticReading, TotalReading, DropReading, AirflowReading, FaceReading, TemperatureReading, RiseReading, SoundReading, WattsReading}
}

// ReadReadings reads a readings file for an installation, whose call states the caller names. The Readings are nil exactly when the
// list holds an Error; all problems are in the list, in the order of the file.
func ReadReadings(name string, data []byte, g *Graph, states []string) (*Readings, diag.List) {
	root, found := parseText(name, data)
	if root == nil {
		return nil, found
	}
	r := &readingsReader{reader: reader{name: name, root: root, system: g.Job.Units}, g: g, states: states, out: &Readings{}}
	r.read()
	found = r.found.Sorted()
	if found.HasErrors() {
		return nil, found
	}
	return r.out, found
}

type readingsReader struct {
	reader
	g      *Graph
	states []string
	common *node // state of all readings that give none
	out    *Readings
}

func (r *readingsReader) read() {
	top := []field{{key: "note"}, {key: "units"}, {key: "state"}, {key: "reading"},
		{key: "outdoor"}}
	for _, c := range r.root.children {
		if _, ok := fieldNamed(top, c.name); !ok {
			if c.name == "zone" || c.name == "supply" || c.name == "equipment" {
				r.fail(c.key, "the job file comes first: spillway fit JOB READINGS", "%q belongs to a job file, and this is read as a readings file", c.name)
				continue
			}
			r.fail(c.key, diag.DidYouMean(c.name, []string{"note", "units", "state", "reading",
				"outdoor"}), "a readings file has no key %q", c.name)
		}
	}
	if n := r.root.child("units"); n != nil {
		r.decodeSpecial(n, &r.system, field{})
	}
	r.out.Units = r.system
	if n := r.root.child("note"); n != nil {
		r.out.Note, _ = r.text(n)
	}
	if n := r.root.child("outdoor"); n != nil {
		if outdoor, ok := r.measure(n, quantity.KindTemperature, field{}); ok {
			if b := plausibleBounds["outdoor"]; outdoor < b.least || outdoor > b.most {
				r.fail(n.value, "is the unit right?", "the outdoor temperature cannot be %s",
					quantity.KindTemperature.Short(outdoor, r.system))
			}
			r.out.Outdoor = &outdoor
		}
	}
	r.common = r.root.child("state")
	list := r.root.child("reading")
	if r.common != nil && r.common.table {
		short := r.byState(r.common)
		r.common = nil
		for _, n := range short {
			r.reading(n)
		}
		if list == nil {
			if len(short) == 0 && !r.found.HasErrors() {
				r.fail(r.root.child("state").key, `write "blower inlet" = "-0.30 inwc"`,
					"there are no readings")
			}
			return
		}
	}
	switch {
	case list == nil:
		r.found = append(r.found, diag.Diagnostic{File: r.name, Summary: "there is no [reading] table", Fix: `write [reading] and one NAME = { at = "...", static = "..." } per line`})
	case !list.table:
		r.fail(list.value, "write [reading] and one NAME = { ... } per line", "%q is %s, but a table of named readings is meant", list.name, list.what())
	case len(list.children) == 0:
		r.fail(list.key, `write NAME = { at = "blower inlet", static = "-0.30 inwc" }`, "there are no readings")
	default:
		for _, c := range list.children {
			r.reading(c)
		}
	}
}

// reading reads one line.
func (r *readingsReader) reading(n *node) {
	if !r.nameIsGood(n) {
		return
	}
	if !n.table {
		r.fail(n.value, `write { at = "blower inlet", static = "-0.30 inwc" }`, "reading %q is %s, but a table is meant", n.name, n.what())
		return
	}
	fields := fieldsOf(reflect.TypeFor[readingKeys]())
	var measured []*node
	for _, c := range n.children {
		f, ok := fieldNamed(fields, c.name)
		if !ok {
			if f, ok = r.unknownKey(n, c, fields); !ok {
				continue
			}
		}
		if slices.Contains(readingKinds(), ReadingKind(f.key)) {
			measured = append(measured, c)
		}
	}
	if len(measured) != 1 {
		words := make([]string, 0, len(readingKinds()))
		for _, k := range readingKinds() {
			words = append(words, string(k))
		}
		if len(measured) == 0 {
			r.fail(n.key, "give one of "+strings.Join(words, ", "), "reading %q says nothing that was measured", n.name)
		} else {
			r.fail(measured[1].key, "write a reading of its own for each value", "reading %q has two values, %s and %s", n.name, measured[0].name, measured[1].name)
		}
		return
	}
	reading := Reading{Name: n.name, Kind: ReadingKind(measured[0].name)}
	n.key.place(&reading.Where)
	before := len(r.found.Errors())
	r.value(&reading, measured[0])
	r.instrument(&reading, n)
	r.sigma(&reading, n)
	r.state(&reading, n)
	r.spot(&reading, n)
	if len(r.found.Errors()) == before {
		r.out.List = append(r.out.List, reading)
	}
}

// value reads the number that was measured.
func (r *readingsReader) value(reading *Reading, n *node) {
	kind, _ := reading.Kind.quantities()
	var value float64
	if kind == quantity.Unknown {
		number, ok := plainNumber(n)
		if !ok {
			r.fail(n.value, "write the dB(A) that the meter shows, such as 38", "%q is %s, but a number is meant", n.name, n.what())
			return
		}
		value = number
	} else {
		var ok bool
		if value, ok = r.measure(n, kind, field{}); !ok {
			return
		}
	}
	if least, most := reading.Kind.span(); !(value >= least && value <= most) {
		r.fail(n.value, "is the unit right?", "%s cannot be %s", reading.Kind, shortQuantity(kind, value, r.system))
		return
	}
	reading.Value = value
}

func shortQuantity(kind quantity.Kind, value float64, s quantity.System) string {
	if kind == quantity.Unknown {
		return fmt.Sprintf("%g dB(A)", value)
	}
	return kind.Short(value, s)
}

func (r *readingsReader) instrument(reading *Reading, n *node) {
	reading.Instrument = InstrumentFor(reading.Kind)
	c := n.child("with")
	if c == nil {
		return
	}
	name, ok := r.text(c)
	if !ok {
		return
	}
	found, ok := InstrumentNamed(strings.ToLower(strings.TrimSpace(name)))
	switch {
	case !ok:
		var names []string
		for _, i := range Instruments() {
			names = append(names, i.Name)
		}
		fix := diag.DidYouMean(name, names)
		if fix == "" {
			fix = "known instruments: " + strings.Join(names, ", ") + "; or leave it out and give sigma"
		}
		r.fail(c.value, fix, "there is no instrument %q", name)
	case !slices.Contains(found.Kinds, reading.Kind):
		r.fail(c.value, "the usual one is a "+InstrumentFor(reading.Kind).Name, "a %s does not read %s", found.Name, reading.Kind)
	default:
		reading.Instrument = found
	}
}

func (r *readingsReader) sigma(reading *Reading, n *node) {
	reading.Sigma = reading.Instrument.Sigma(reading.Value)
	c := n.child("sigma")
	if c == nil {
		return
	}
	_, kind := reading.Kind.quantities()
	var value float64
	var ok bool
	text, _ := c.leaf.(string)
	switch share, err := quantity.KindFraction.Parse(text, r.system); {
	case text != "" && strings.Contains(text, "%") && err == nil:
		value, ok = share*math.Abs(reading.Value), true
	case kind == quantity.Unknown:
		if value, ok = plainNumber(c); !ok {
			r.fail(c.value, "write it in dB, such as 1.5", "%q is %s, but a number is meant", c.name, c.what())
		}
	default:
		value, ok = r.measure(c, kind, field{})
	}
	if !ok {
		return
	}
	least, most := reading.Kind.span()
	if !(value > 0) {
		r.fail(c.value, "give the standard uncertainty: about half of the ± that you trust", "sigma must be above zero")
		return
	}
	if value > most-least {
		r.fail(c.value, "is the unit right?", "a sigma of %s says nothing at all", shortQuantity(kind, value, r.system))
		return
	}
	reading.Sigma, reading.SigmaGiven = value, true
}

// state finds the call state that a reading means: its whole name, or a part that only one has.
func (r *readingsReader) state(reading *Reading, n *node) {
	c := n.child("state")
	if c == nil {
		c = r.common
	}
	if c == nil {
		if len(r.states) == 1 {
			reading.State = r.states[0]
			return
		}
		r.fail(n.key, fmt.Sprintf("add state = %q, at the top of the file for all readings or in the line", exampleState(r.states)), "reading %q does not say in which call state it was taken", n.name)
		return
	}
	text, ok := r.text(c)
	if !ok {
		return
	}
	folded := strings.ToLower(strings.TrimSpace(text))
	var fits []string
	for _, s := range r.states {
		low := strings.ToLower(s)
		if low == folded {
			fits = []string{s}
			break
		}
		if folded != "" && strings.Contains(low, folded) {
			fits = append(fits, s)
		}
	}
	switch len(fits) {
	case 1:
		reading.State = fits[0]
	case 0:
		fix := diag.DidYouMean(text, r.states)
		if fix == "" {
			fix = "spillway check lists the call states of the job"
		}
		r.fail(c.value, fix, "the installation has no call state %q", text)
	default:
		r.fail(c.value, "write the whole name: "+strings.Join(fits[:min(len(fits), 6)], ", "), "%q fits %d call states", text, len(fits))
	}
}

func exampleState(states []string) string {
	if len(states) == 0 {
		return "cooling: all zones"
	}
	return states[0]
}
