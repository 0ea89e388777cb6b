package state

import (
	"math"
	"strings"

	"spillway/network"
	"spillway/network/quantity"
	"spillway/solver/sound"
	"spillway/solver/sound/jet"
)

// Subject is what a number of an Outcome belongs to.
type Subject uint8

// The subjects. All but the first four and the certificate come several times in an outcome.
const (
	OfBlower Subject = iota
	OfEquipment
	OfLedger
	OfCertificate
	OfPoint  // an operating point of the blower
	OfMoment // of the time course
	OfPath   // a line of the ledger
	OfElement
	OfNode
	OfRegister
	OfGrille
	OfRoom
	OfZone
	OfDamper
	OfPort
	Subjects // how many there are
)

// FieldID identifies a field. It has no meaning but within one build of the program.
type FieldID int

// Form is what the values of a field are.
type Form uint8

// The forms.
const (
	Number Form = iota // Value.Num, SI; NaN where it does not apply
	Truth              // Value.Num is 1 or 0, NaN where the question does not arise
	Text               // Value.Text
	Word               // Value.Text; "" where the question does not arise
)

// Where says in which outputs a field stands besides JSON, which has them all.
type Where uint8

// The outputs.
const (
	CSV   Where = 1 << iota // a row with the rest of its subject
	Sound                   // a row of CSV after those of all subjects that move air
)

// A Field describes one number, truth or word of an Outcome.
type Field struct {
	ID     FieldID
	Of     Subject
	Key    string // of JSON, without the ending that names the unit: "face_velocity"
	Name   string // as explain names it, after the name of its subject: "face velocity"
	Row    string // as a row of CSV names it
	Kind   quantity.Kind
	Form   Form
	Better int8 // -1: less is better; +1: more is; 0: that depends
	In     Where
	Early  int8 // rows of CSV are ordered by it, greatest first, and then as JSON is
	Get    func(o *Outcome, at int) Value
}

// Value is what a Field has in an outcome; see Form.
type Value struct {
	Num  float64
	Text string
}

// Ref is the address of one value of an Outcome: a field of one of its subjects.
type Ref struct {
	Field FieldID
	At    int // which zone, register, …; 0 of what comes once
}

// Of returns the subject that the value belongs to.
func (r Ref) Of() Subject { return byID[r.Field].Of }

// Describe returns the field that the value is of.
func (r Ref) Describe() *Field { return byID[r.Field] }

// FieldOf returns the description of a field.
func FieldOf(id FieldID) *Field { return byID[id] }

// Fields returns the fields of a subject in the order of JSON. The caller must not alter them.
func Fields(of Subject) []Field { return fields[of] }

// fields are all by subject, byID by their ids; that of NoField is empty. Nothing alters them.
var fields, byID = describe()

// At returns the value at an address.
func (o *Outcome) At(r Ref) Value { return byID[r.Field].Get(o, r.At) }

// Count returns how many of a subject there are in the outcome.
func (o *Outcome) Count(of Subject) int {
	switch of {
	case OfPoint:
		return len(o.Blower.Points)
	case OfMoment:
		return len(o.Equipment.Course)
	case OfPath:
		return len(o.Ledger.Paths)
	case OfElement:
		return len(o.Elements)
	case OfNode:
		return len(o.Nodes)
	case OfRegister:
		return len(o.Registers)
	case OfGrille:
		return len(o.Grilles)
	case OfRoom:
		return len(o.Rooms)
	case OfZone:
		return len(o.Zones)
	case OfDamper:
		return len(o.Dampers)
	case OfPort:
		return len(o.Ports)
	}
	return 1
}

// Subject returns the display name of one subject: "bed-2 register"; "" of what comes once.
func (o *Outcome) Subject(of Subject, at int) string {
	switch of {
	case OfPath:
		return o.Ledger.Paths[at].To
	case OfElement:
		return o.Graph.Elements[at].Name
	case OfNode:
		return o.Graph.Nodes[at].Name
	case OfRegister:
		return o.Graph.Elements[o.Graph.Registers[at].Element].Name
	case OfGrille:
		return o.Graph.Elements[o.Grilles[at].Element].Name
	case OfRoom:
		return o.Rooms[at].Name
	case OfZone:
		return o.Graph.Job.Zones[at].Name
	case OfDamper:
		return o.Graph.Elements[o.Dampers[at].Element].Name
	case OfPort:
		return o.Ports[at].Name
	}
	return ""
}

// Name returns the name under which explain knows a value: "bed-2 register airflow".
func (o *Outcome) Name(r Ref) string {
	if r.Field == PathAirflow {
		return o.Ledger.Paths[r.At].Name()
	}
	return strings.TrimSpace(o.Subject(r.Of(), r.At) + " " + r.Describe().Name)
}

// Name returns the name under which explain knows the airflow of a path.
func (p *Path) Name() string {
	switch p.Kind {
	case PathWanted:
		return p.To + " wanted and got"
	case PathCalling:
		return p.To + " more than wanted"
	case PathBleed:
		return "bleed into " + p.To
	case PathBypass:
		return "bypass through " + p.To
	case PathDump:
		return "dump through " + p.To
	}
	return p.To + " leaked"
}

// RegisterName returns what a register is called: the line that ends in it, else its element.
func (o *Outcome) RegisterName(at int) string {
	if r := &o.Graph.Registers[at]; r.Line != "" {
		return r.Line
	}
	return o.Subject(OfRegister, at)
}

// HeardFrom names the element that is heard most: the register or grille itself, a damper, or the
// takeoff of a line; "" for None.
func (o *Outcome) HeardFrom(element int) string {
	if element < 0 {
		return ""
	}
	switch e := &o.Graph.Elements[element]; e.Kind {
	case network.KindRegister, network.KindGrille:
		return e.Kind.String()
	case network.KindDuct:
		return "takeoff of " + e.Line
	default:
		return e.Name
	}
}

// BeyondText says how a throw differs from the number past the range of the temperature's
// correction; "" within it.
func (j *Jet) BeyondText() string {
	switch j.Beyond {
	case 1:
		return "warmer, reaches farther"
	case -1:
		return "colder, reaches less far"
	}
	return ""
}

// noiseText is the noise with its band in words.
func (r *Room) noiseText() string { return sound.ShownWith(r.NC, r.NCLow, r.NCHigh) }

// separation and jetDrop are NaN where the formulas hold them at an end far past any room.
func (j *Jet) separation() float64 { return under(j.Separation, jet.MaxSeparation) }
func (j *Jet) jetDrop() float64    { return under(j.JetDrop, jet.MaxDrop) }

func under(length, end float64) float64 {
	if math.Abs(length) >= end {
		return math.NaN()
	}
	return length
}

// within is how far the true airflow may be from Airflow, m³/s.
func (e *Element) within() float64 { return max(e.High-e.Airflow, e.Airflow-e.Low) }

// output is the heat that the machine gives or takes, W; NaN in a fan call.
func (o *Outcome) output() float64 {
	if o.State.Mode == network.Fan {
		return math.NaN()
	}
	return o.Equipment.Output
}

// mixing is a figure of mixing, NaN where nothing recirculates.
func (e *Equipment) mixing(v float64) float64 {
	if !(e.Recirculated > 0) {
		return math.NaN()
	}
	return v
}

// supply is the temperature of the air that a zone is given; no air has no temperature.
func (z *Zone) supply() float64 {
	if z.Airflow <= 0 {
		return math.NaN()
	}
	return z.SupplyTemperature
}

// noDamper is the damper of a path that passes none.
var noDamper = Damper{Position: math.NaN()}

// damperOf is the damper that a path of the ledger passes.
func (o *Outcome) damperOf(path int) *Damper {
	if d := o.Ledger.Paths[path].Damper; d >= 0 && d < len(o.Dampers) {
		return &o.Dampers[d]
	}
	return &noDamper
}

// grille is the element of a return grille.
func (o *Outcome) grille(at int) *network.Element {
	return &o.Graph.Elements[o.Grilles[at].Element]
}

// end names a node.
func (o *Outcome) end(node int) string { return o.Graph.Nodes[node].Name }

func num(key string, k quantity.Kind, get func(*Outcome, int) float64) Field {
	name := strings.ReplaceAll(key, "_", " ")
	return Field{Key: key, Name: name, Row: name, Kind: k,
		Get: func(o *Outcome, at int) Value { return Value{Num: get(o, at)} }}
}

func text(key string, get func(*Outcome, int) string) Field {
	f := num(key, quantity.Unknown, nil)
	f.Form = Text
	f.Get = func(o *Outcome, at int) Value { return Value{Num: math.NaN(), Text: get(o, at)} }
	return f
}

// maybe is a truth, where the question arises.
func maybe(key string, get func(*Outcome, int) (is, arises bool)) Field {
	f := num(key, quantity.Unknown, func(o *Outcome, at int) float64 {
		switch is, arises := get(o, at); {
		case !arises:
			return math.NaN()
		case is:
			return 1
		}
		return 0
	})
	f.Form = Truth
	return f
}

// A place finds one subject in an outcome. Its methods make fields of what they read there.
type place[T any] func(o *Outcome, at int) *T

func from[T any](at func(o *Outcome, at int) *T) place[T] { return at }

func (p place[T]) num(key string, k quantity.Kind, get func(*T) float64) Field {
	return num(key, k, func(o *Outcome, at int) float64 { return get(p(o, at)) })
}

// row is a num that CSV has too.
func (p place[T]) row(key string, k quantity.Kind, get func(*T) float64) Field {
	return p.num(key, k, get).in(CSV)
}

func (p place[T]) text(key string, get func(*T) string) Field {
	return text(key, func(o *Outcome, at int) string { return get(p(o, at)) })
}

func (p place[T]) word(key string, get func(*T) string) Field {
	f := p.text(key, get)
	f.Form = Word
	return f
}

// fate is a word that CSV has too.
func (p place[T]) fate(key string, get func(*T) Fate) Field {
	return p.word(key, func(t *T) string { return string(get(t)) }).in(CSV)
}

func (p place[T]) truth(key string, get func(*T) bool) Field {
	return maybe(key, func(o *Outcome, at int) (is, arises bool) { return get(p(o, at)), true })
}

func (f Field) in(w Where) Field        { f.In |= w; return f }
func (f Field) id(id FieldID) Field     { f.ID = id; return f }
func (f Field) named(name string) Field { f.Name = name; return f }
func (f Field) rowed(row string) Field  { f.Row = row; return f }
func (f Field) early(by int8) Field     { f.Early = by; return f }
func (f Field) less() Field             { f.Better = -1; return f }
func (f Field) more() Field             { f.Better = 1; return f }

// absent is a number that does not exist.
func absent(*Outcome, int) float64 { return math.NaN() }
