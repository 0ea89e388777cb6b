package catalog

import "math"

// Role is the way the air goes through an opening.
type Role uint8

const (
	// Supply openings discharge into a room.
	Supply Role = iota
	// Return openings take air from a room.
	Return
	// Transfer openings join two rooms.
	Transfer
)

// String returns the word for the role.
func (r Role) String() string {
	switch r {
	case Supply:
		return "supply"
	case Return:
		return "return"
	case Transfer:
		return "transfer"
	}
	return "unknown"
}

// Terminal is a register, a grille or another opening between a duct and a room, or between rooms.
type Terminal struct {
	Row
	Role Role
	// FreeArea is the free share of the gross (neck) area, when the file does not say.
	FreeArea float64
	// Filter is true where a filter sits behind the face; the filter's own drop is extra.
	Filter bool
}

// DefaultFreeArea is the free share of the face of a register or grille that the file says nothing
// of, and FreeAreaLow and FreeAreaHigh are its band: +8 and -6 NC at the register (computed).
//
// Our choice. Free areas on unbranded sheets (from memory): stamped floor registers 0.52 to 0.62,
// stamped sidewalls 0.55 to 0.65, stamped returns 0.60 to 0.75, bars 0.70 to 0.80, wood 0.40 to
// 0.50, egg crate 0.85 to 0.90. 0.65 gives the design convention of 0.03 in. of water at 360 fpm,
// which is 100 cfm through a 4x10 in. register. Pressure drop and noise use the same share.
const (
	DefaultFreeArea = 0.65
	FreeAreaLow     = 0.55
	FreeAreaHigh    = 0.75
)

const freeAreaEvidence = "0.65 (0.55 to 0.75): stamped faces have 52 to 75 %, bars 70 to 80 %, from memory of " +
	"unbranded sheets; it gives the usual design drop, 0.03 in. of water at 360 fpm"

// TransferFreeArea is that of a transfer grille: Rudd, Building America report RR-0005.
const TransferFreeArea = 0.75

// LookupTerminal returns the opening of that name.
func LookupTerminal(name string) (Terminal, bool) { return find(terminals, name) }

// Zeta returns the total-pressure loss coefficient on the velocity pressure in the gross area, for a free-area share in
// (0, 1]; 0 means the row's own. See SupplyZeta, ReturnZeta and TransferZeta.
func (t Terminal) Zeta(freeArea float64) float64 {
	if freeArea == 0 {
		freeArea = t.FreeArea
	}
	switch t.Role {
	case Return:
		return ReturnZeta(freeArea)
	case Transfer:
		return TransferZeta(freeArea)
	default:
		return SupplyZeta(freeArea)
	}
}

// GridEdge is the coefficient of the sharp edges of a thin grid, √0.5: Idelchik, grids, from memory.
const GridEdge = 0.707

// minFreeArea keeps the grid formulas finite; a share below it is a blanked-off opening.
const minFreeArea = 0.001

func clampFreeArea(f float64) float64 { return min(max(f, minFreeArea), 1) }

// SupplyZeta is the loss of a grid at the end of a duct, on the velocity pressure in the gross area,
//
//	ζ = ((1 + 0.707 sqrt(1 - f)) / f)²,
//
// f the free-area share in (0, 1]. It includes the velocity pressure lost in the room; the static drop is ζ - 1. An
// open end, f = 1, gives 1. Idelchik, grids, from memory.
func SupplyZeta(freeArea float64) float64 {
	f := clampFreeArea(freeArea)
	root := (1 + GridEdge*math.Sqrt(1-f)) / f
	return root * root
}

// ReturnZeta is the loss of a grid at the mouth of a duct, on the velocity pressure in the gross area,
//
//	ζ = ((1.707 - f) / f)²,
//
// f the free-area share in (0, 1]. An open mouth, f = 1, gives 0.5, a sharp-edged inlet. Idelchik, grids, from memory.
func ReturnZeta(freeArea float64) float64 {
	f := clampFreeArea(freeArea)
	root := (1 + GridEdge - f) / f
	return root * root
}

// TransferZeta is the loss of an opening between two rooms, on the velocity pressure in the gross area: that of a
// sharp-edged orifice of the free area,
//
//	ζ = 1 / (C_d f)²,  C_d = OrificeDischarge.
//
// Rudd, Building America report RR-0005 (transfer grille sizing).
func TransferZeta(freeArea float64) float64 {
	root := OrificeDischarge * clampFreeArea(freeArea)
	return 1 / (root * root)
}

// OrificeDischarge is the discharge coefficient of a door undercut or a transfer opening,
//
//	Q = C_d A sqrt(2 Δp / ρ).
//
// Rudd, Building America report RR-0005, prints Q = 1.07 A sqrt(Δp) in cfm, in² and Pa: C_d = 0.606 at 1.2 kg/m³.
const OrificeDischarge = 0.606

// CrackAllowance is the free area, m², of the cracks round a shut inner door, which adds to the undercut: the middle of
// 10 to 25 in². Our choice; a field plot in a trade magazine shows undercuts that pass this much more than their slot.
const CrackAllowance = 15 * inch * inch

const (
	gridSource     = "Idelchik, Handbook of Hydraulic Resistance, grid at the end or mouth of a duct; free area 0.65 is our default"
	transferSource = "Rudd, Building America report RR-0005, transfer grille sizing: sharp-edged orifice of 0.75 free area"
)

var terminals = []Terminal{
	{Row: Row{Name: "filter grille", Aliases: []string{"return filter grille"}, Source: memory(gridSource)}, Role: Return, FreeArea: DefaultFreeArea, Filter: true},
	{Row: Row{Name: "floor register", Source: memory(gridSource)}, Role: Supply, FreeArea: DefaultFreeArea},
	{Row: Row{Name: "grille", Aliases: []string{"return grille", "return air grille"}, Source: memory(gridSource)}, Role: Return, FreeArea: DefaultFreeArea},
	{Row: Row{Name: "jump duct", Aliases: []string{"jumper duct"}, Source: ourChoice("taken as a transfer grille of the same size; the duct between is not counted")}, Role: Transfer, FreeArea: TransferFreeArea},
	{Row: Row{Name: "open end", Aliases: []string{"open"}, Source: memory("Idelchik, limit of the grid formula at full free area")}, Role: Supply, FreeArea: 1},
	{Row: Row{Name: "register", Aliases: []string{"supply register", "diffuser", "supply grille"}, Source: memory(gridSource)}, Role: Supply, FreeArea: DefaultFreeArea},
	{Row: Row{Name: "transfer grille", Aliases: []string{"transfer"}, Source: published(transferSource)}, Role: Transfer, FreeArea: TransferFreeArea},
}
