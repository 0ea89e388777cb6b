package catalog

import (
	"slices"
	"strings"

	"spillway/network/section"
)

// FittingGroup is where on a run of duct a fitting belongs.
type FittingGroup uint8

// The groups. A run leaves a trunk, or a plenum or box, once; it ends once.
const (
	LeavesTrunk FittingGroup = iota
	LeavesPlenum
	OnTheWay
	EndsRun
)

// FittingWord is one name that a job file may write for a fitting.
type FittingWord struct {
	Group FittingGroup
	Write string   // the name to write
	Name  string   // the full name of the catalog
	Also  []string // what is understood besides
}

// fittingWords is the closed list of names that a row may use. Elbows and transitions take more
// words, angles and radii, which LookupFitting reads; of those it has the usual ones.
var fittingWords = []FittingWord{
	{LeavesTrunk, "wye", "wye 45", []string{"wye 45", "45 wye", "lateral", "lateral 45", "y"}},
	{LeavesTrunk, "wye 30", "wye 30", []string{"30 wye", "lateral 30"}},
	{LeavesTrunk, "wye 60", "wye 60", []string{"60 wye", "lateral 60"}},
	{LeavesTrunk, "tap 45", "45-entry tap", []string{"45-entry tap", "45 entry tap", "45 tap",
		"shoe tap", "boot tap", "45-entry tee"}},
	{LeavesTrunk, "tee", "tee", []string{"plain tee", "90 tee", "tee 90", "straight tee"}},
	{LeavesTrunk, "conical tee", "conical tee", []string{"cone tee", "conical takeoff"}},
	{LeavesTrunk, "bullhead", "bullhead tee", []string{"bullhead tee"}},
	{LeavesTrunk, "straight on", "straight on", []string{"straight", "continues", "runs on"}},
	{LeavesPlenum, "takeoff", "plenum takeoff", []string{"plenum takeoff", "start collar", "collar",
		"plenum collar", "take off"}},
	{LeavesPlenum, "flush entry", "flush entry", []string{"entry"}},
	{LeavesPlenum, "projecting entry", "projecting entry", nil},
	{LeavesPlenum, "bellmouth", "bellmouth", nil},
	{OnTheWay, "elbow", "elbow 90 smooth", []string{"ell", "bend"}},
	{OnTheWay, "elbow 45", "elbow 45 smooth", []string{"45 elbow", "45 ell"}},
	{OnTheWay, "elbow r1.0", "elbow 90 smooth r1.0", []string{"short radius elbow"}},
	{OnTheWay, "elbow hard way", "elbow 90 smooth hard way", nil},
	{OnTheWay, "elbow stamped", "elbow 90 stamped", []string{"stamped elbow"}},
	{OnTheWay, "elbow gored", "elbow 90 4-piece", []string{"gored elbow", "adjustable elbow"}},
	{OnTheWay, "elbow 5-piece", "elbow 90 5-piece", []string{"5-piece elbow", "5-gore elbow"}},
	{OnTheWay, "elbow pleated", "elbow 90 pleated", []string{"pleated elbow"}},
	{OnTheWay, "elbow mitred", "elbow 90 mitred", []string{"mitred elbow", "mitered elbow",
		"square elbow"}},
	{OnTheWay, "elbow vanes", "elbow 90 vanes", []string{"elbow with vanes", "vaned elbow"}},
	{OnTheWay, "elbow flex", "elbow 90 flex", []string{"flex elbow"}},
	{OnTheWay, "transition", "transition", []string{"reducer", "increaser"}},
	{OnTheWay, "abrupt transition", "abrupt transition", []string{"abrupt reducer"}},
	{OnTheWay, "screen 70%", "screen 70%", nil},
	{OnTheWay, "orifice 50%", "orifice 50%", nil},
	{OnTheWay, "capped wye", "capped wye", []string{"capped tee"}},
	{EndsRun, "boot", "boot 90", []string{"boot 90", "90 boot", "end boot", "register boot"}},
	{EndsRun, "straight boot", "straight boot", []string{"boot straight", "in-line boot"}},
	{EndsRun, "end cap", "end cap", []string{"cap"}},
	{EndsRun, "exit", "exit", []string{"exit to room", "exit to plenum", "plenum entry",
		"return plenum entry"}},
}

// FittingWords returns the names that a row may use, by group. The slice is the caller's.
func FittingWords() []FittingWord { return slices.Clone(fittingWords) }

// String is the heading of a group.
func (g FittingGroup) String() string {
	switch g {
	case LeavesTrunk:
		return "leaving a trunk"
	case LeavesPlenum:
		return "leaving a plenum or box"
	case OnTheWay:
		return "on the way"
	case EndsRun:
		return "end"
	}
	return "unknown"
}

// LookupFittingWord returns the fitting that a row calls by this word, in lower case. Apart from
// elbows it is the whole name; LookupFitting reads those with angles, radii and shares.
func LookupFittingWord(word string) (FittingWord, bool) {
	for _, w := range fittingWords {
		if w.Write == word || slices.Contains(w.Also, word) {
			return w, true
		}
	}
	return FittingWord{}, false
}

// FindFittingWords returns the fittings meant by words as a person types them: the one of that
// name,
// else all whose names have the words in them, else what LookupFitting reads, "elbow 60 flex". nil
// when there is none.
func FindFittingWords(words string) []FittingWord {
	wanted := normalise(words)
	if w, ok := LookupFittingWord(wanted); ok {
		return []FittingWord{w}
	}
	if wanted == "" {
		return nil
	}
	var found []FittingWord
	for _, w := range fittingWords {
		names := append([]string{w.Write, w.Name}, w.Also...)
		if slices.ContainsFunc(names, func(n string) bool { return strings.Contains(n, wanted) }) {
			found = append(found, w)
		}
	}
	if found != nil {
		return found
	}
	if f, ok := LookupFitting(wanted); ok {
		group := OnTheWay
		if f.Kind == BellmouthEntry {
			group = LeavesPlenum
		}
		return []FittingWord{{Group: group, Write: wanted, Name: f.Name}}
	}
	return nil
}

// The case for which a list gives the coefficient of a fitting whose loss goes by sizes or
// airflows:
// a round duct, what it widens to, in meters, and a branch as fast as its trunk.
const (
	usualDiameter = 8 * inch
	widerDiameter = 10 * inch
	quarter       = 0.25
)

// UsualLoss is the coefficient of a fitting in one usual case, which At tells with the velocity
// pressure that it counts on. Where nothing is lost in the fitting itself, At says who has the
// loss.
type UsualLoss struct {
	C      float64
	At     string
	Source Source
}

// Usual returns the coefficient of the fitting in a usual case, from the laws that the solver uses.
// It is 0 with an empty source for "straight on", whose loss is that of the junction it goes
// through.
func (w FittingWord) Usual() UsualLoss {
	if f, ok := LookupFitting(w.Name); ok {
		round := section.NewRound(usualDiameter)
		switch f.Kind {
		case FixedLoss:
			return UsualLoss{f.Loss, "in any duct", f.Source}
		case TransitionFitting:
			c, _ := f.Between(round, section.NewRound(widerDiameter), 0)
			return UsualLoss{c, "from 8 in to 10 in round, on the 10 in; by both sizes", f.Source}
		case BellmouthEntry, ScreenFitting, OrificeFitting, VanedElbow:
			c, _ := f.Coefficient(round, 0)
			return UsualLoss{c, "in any duct", f.Source}
		}
		if f.Way != InPlan {
			round = section.NewRectangular(2*usualDiameter, usualDiameter)
			c, _ := f.Coefficient(round, 0)
			return UsualLoss{c, "in a 16x8 in duct; by size and shape", f.Source}
		}
		c, _ := f.Coefficient(round, 0)
		return UsualLoss{c, "in an 8 in round duct; by size and shape", f.Source}
	}
	if j, ok := LookupJunction(w.Name); ok {
		k, _ := j.DivergingBranch(quarter, quarter)
		const at = "into a branch as fast as its trunk, on the trunk's; by airflow and size"
		return UsualLoss{k, at, j.Source}
	}
	return UsualLoss{At: "its loss is that of the branch it runs on past"}
}
