package catalog

import "slices"

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
// words, angles and
// radii, which LookupFitting reads.
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
	{OnTheWay, "transition", "transition", []string{"reducer", "increaser"}},
	{OnTheWay, "abrupt transition", "abrupt transition", []string{"abrupt reducer"}},
	{OnTheWay, "capped wye", "capped wye", []string{"capped tee"}},
	{EndsRun, "boot", "boot 90", []string{"boot 90", "90 boot", "end boot", "register boot"}},
	{EndsRun, "straight boot", "straight boot", []string{"boot straight", "in-line boot"}},
	{EndsRun, "end cap", "end cap", []string{"cap"}},
	{EndsRun, "exit", "exit", []string{"exit to room", "exit to plenum", "plenum entry",
		"return plenum entry"}},
}

// FittingWords returns the names that a row may use, by group. The slice is the caller's.
func FittingWords() []FittingWord { return slices.Clone(fittingWords) }

// LookupFittingWord returns the fitting that a row calls by this word, in lower case. Apart from
// elbows it is the whole
// name; LookupFitting reads those with angles, radii and shares.
func LookupFittingWord(word string) (FittingWord, bool) {
	for _, w := range fittingWords {
		if w.Write == word || slices.Contains(w.Also, word) {
			return w, true
		}
	}
	return FittingWord{}, false
}
