package catalog

import (
	"slices"
	"strings"
)

// Mark says how a number is known.
type Mark uint8

const (
	// Published numbers were read in the source that is named, at first or second hand as it says.
	Published Mark = iota
	// Memory marks a number that is remembered from the source that is named and was not read again.
	Memory
	// OurChoice marks a judgement of this program; the source says what it rests on.
	OurChoice
)

// String returns the word that reports print beside a number.
func (m Mark) String() string {
	switch m {
	case Published:
		return "published"
	case Memory:
		return "from memory"
	case OurChoice:
		return "our choice"
	}
	return "unknown"
}

// Source is where a row comes from.
type Source struct {
	Text string
	Mark Mark
}

// String gives the text, with the mark when it is not published: "… (from memory)".
func (s Source) String() string {
	if s.Mark == Published {
		return s.Text
	}
	return s.Text + " (" + s.Mark.String() + ")"
}

func published(text string) Source { return Source{Text: text, Mark: Published} }
func memory(text string) Source    { return Source{Text: text, Mark: Memory} }
func ourChoice(text string) Source { return Source{Text: text, Mark: OurChoice} }

// Row is what every row of every family has.
type Row struct {
	Name    string
	Aliases []string // other names in trade use; never to be changed by a caller
	Source  Source
}

func (r Row) row() Row { return r }

type rowed interface{ row() Row }

// Family is one kind of row.
type Family uint8

// The families of the catalogue.
const (
	Materials Family = iota
	Fittings
	Junctions
	Blades
	DamperLeakages
	Terminals
	Blowers
	Velocities
	Constants
)

// Names lists the names of a family in order, aliases left out; for fittings it is FittingNames. The slice is the caller's.
func Names(f Family) []string {
	switch f {
	case Materials:
		return names(materials)
	case Fittings:
		return FittingNames()
	case Junctions:
		return names(junctions)
	case Blades:
		return names(blades)
	case DamperLeakages:
		return names(damperLeakages)
	case Terminals:
		return names(terminals)
	case Blowers:
		return blowerNames()
	case Velocities:
		return names(velocities)
	case Constants:
		return names(constants)
	}
	return nil
}

func names[R rowed](rows []R) []string {
	list := make([]string, len(rows))
	for i, r := range rows {
		list[i] = r.row().Name
	}
	return list
}

// find returns the row of that name or alias.
func find[R rowed](rows []R, name string) (R, bool) {
	for _, r := range rows {
		if r.row().Name == name { // written as the row writes it, as it nearly always is
			return r, true
		}
	}
	wanted := normalise(name)
	for _, r := range rows {
		row := r.row()
		if row.Name == wanted || slices.Contains(row.Aliases, wanted) {
			return r, true
		}
	}
	var none R
	return none, false
}

// normalise brings a name as typed to the form of the rows: lower case, single spaces.
func normalise(name string) string {
	return strings.Join(strings.Fields(strings.ToLower(strings.ReplaceAll(name, "_", " "))), " ")
}
