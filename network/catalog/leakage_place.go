package catalog

// Where the leaks of a duct system sit when only their sum is known, as shares of it; each side adds up to 1. Field tests find most leaks at
// the connections of registers, plenums and branches (LBNL-45423, abstract) and print no shares: these are our choice. They hold against what
// operating leakage over that at 25 Pa says of the pressure at the leaks, some 37 Pa on the supply and 75 on the return (FSEC 2003, computed).
const (
	SupplyLeakPlenum = 0.20 // plenum and joints of the equipment
	SupplyLeakDucts  = 0.30 // along trunks and branches, by surface
	SupplyLeakBoots  = 0.50 // at the boots of registers

	ReturnLeakPlenum = 0.30 // cabinet and filter slot
	ReturnLeakDucts  = 0.40 // along drop and trunk, by surface
	ReturnLeakBoots  = 0.30 // at the boxes of grilles
)

// LeakSharesSource is where they come from.
var LeakSharesSource = ourChoice("most leaks are at registers, plenums and branches (LBNL-45423, abstract), which prints no shares")

// LeakPlace is how much of what leaks where ducts lie goes outdoors or comes from there; the rest is the house's.
type LeakPlace struct {
	Row
	Outdoors  float64
	Low, High float64 // band
}

// LookupLeakPlace returns the row of a place of the job file: "inside", "basement", "crawlspace", "attic", "garage", "outside".
func LookupLeakPlace(name string) (LeakPlace, bool) { return find(leakPlaces, name) }

// Field tests put about half of all duct leakage outdoors, in the same homes (Texas A&M and FSEC, abstract); the split by place is our choice.
const leakPlaceSource = "about half of all duct leakage goes outdoors (field tests, abstract); by place it is an inference"

var leakPlaces = []LeakPlace{
	{Row{Name: "inside", Source: ourChoice(leakPlaceSource)}, 0, 0, 0.25},
	{Row{Name: "basement", Source: ourChoice(leakPlaceSource)}, 0.25, 0.10, 0.50},
	{Row{Name: "crawlspace", Source: ourChoice(leakPlaceSource)}, 0.50, 0.30, 0.70},
	{Row{Name: "attic", Source: ourChoice(leakPlaceSource)}, 0.85, 0.60, 1},
	{Row{Name: "garage", Source: ourChoice(leakPlaceSource)}, 0.85, 0.60, 1},
	{Row{Name: "outside", Source: ourChoice("ducts outdoors leak outdoors")}, 1, 1, 1},
}
