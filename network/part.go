package network

import "spillway/network/section"

// PartKind is what an element is. The list is closed: every kind has its row in parts here, a file of its own
// beside this one, and a row in the tables of the layers above (networktest.EveryKind sees to it).
type PartKind int

// The kinds of part.
const (
	NoPart     PartKind = iota // what Build did not make
	KindDuct                   // a straight duct with the fittings on it
	KindDamper                 // set by the panel or by hand
	KindRelief                 // weighted (barometric)
	KindRegulator
	KindBackdraft
	KindRegister
	KindGrille
	KindFilter
	KindCoil
	KindBlower
	KindLeak
	KindOpening // door, transfer grille
	PartKinds   // how many there are
)

// part is a row of the kinds of part.
type part struct {
	word  string // the trade's, in JSON and CSV
	drive *drive // of a damper
}

// parts are the kinds of part, by kind.
var parts = [PartKinds]part{
	NoPart:        {"part", nil},
	KindDuct:      {"duct", nil},
	KindDamper:    {"damper", &setDamper},
	KindRelief:    {"barometric damper", &weightedDamper},
	KindRegulator: {"constant-pressure damper", &pressureDamper},
	KindBackdraft: {"backdraft damper", &backdraftDamper},
	KindRegister:  {"register", nil},
	KindGrille:    {"grille", nil},
	KindFilter:    {"filter", nil},
	KindCoil:      {"coil", nil},
	KindBlower:    {"blower", nil},
	KindLeak:      {"leakage", nil},
	KindOpening:   {"opening", nil},
}

// String is the trade's word for the kind.
func (k PartKind) String() string { return parts[k].word }

// Spec is what a pressure law needs to know of an element: one of the *Spec types of the part_*.go files.
type Spec interface {
	area() (section.Section, bool)
	blade() *Blade
	offers(step float64) []offer
}

// offer is a setting of a Spec that pages offer to move: where it is, and the neighbors that it stays between,
// SI; NaN where it has none.
type offer struct {
	key, name, help string
	at, least, most float64
}

// SectionOf returns the section on which a part's velocity is computed. It reports whether there is one.
func SectionOf(s Spec) (section.Section, bool) {
	if s == nil {
		return section.Section{}, false
	}
	return s.area()
}

// BladeOf returns what every damper has, nil for a part that is not a damper.
func BladeOf(s Spec) *Blade {
	if s == nil {
		return nil
	}
	return s.blade()
}

// Blade is what every damper has, whatever moves it.
type Blade struct {
	Damper       string // name in [damper], "" for one that a line has without a name
	Section      section.Section
	Shape        string  // of the blade, in the catalogue; "" where the drive has its own law
	Leakage      float64 // share of nominal flow when shut; below zero: the catalogue's default
	LeakageClass string
}

func (b *Blade) area() (section.Section, bool) { return b.Section, true }
func (b *Blade) blade() *Blade                 { return b }

// plain is what a part has that is not a damper and has nothing for pages to move.
type plain struct{}

func (plain) area() (section.Section, bool) { return section.Section{}, false }
func (plain) blade() *Blade                 { return nil }
func (plain) offers(float64) []offer        { return nil }

// drive is a row of what moves a damper.
type drive struct {
	words []string // of drive in [damper]
	// mark reports whether a row without a drive has the setting that this drive follows from; nil for none.
	mark func(d *Damper) bool
	// settings reports whether a row has settings that only this drive has, which are called called.
	settings func(d *Damper) bool
	called   string
	// missing and fix say that the mark is missing.
	missing, fix string
	// complete fills in and checks what the drive needs besides; nil for none.
	complete func(c *checker, d *Damper)
	shaped   bool // its blade is one of the catalogue, and so is what it leaks when nothing is given
	spec     func(b *builder, d *Damper, blade Blade) Spec
	// own is the damper that a line has without a name, nil where the line has none.
	own func(b *builder, l *Line) Spec
}

// driveNamed finds the kind of damper that a word of drive stands for.
func driveNamed(word string) (PartKind, *drive) {
	for k := range parts {
		if d := parts[k].drive; d != nil && contains(d.words, word) {
			return PartKind(k), d
		}
	}
	return NoPart, nil
}

// drives are the words of drive.
func drives() []string {
	var words []string
	for k := range parts {
		if d := parts[k].drive; d != nil {
			words = append(words, d.words...)
		}
	}
	return words
}
