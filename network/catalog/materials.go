package catalog

// Material is what a duct is made of.
type Material struct {
	Row
	// Roughness is the absolute roughness of the wall, m.
	Roughness float64
	// Flexible ducts lose more when they are compressed: see FlexCorrection.
	Flexible bool
}

// LookupMaterial returns the material of that name.
func LookupMaterial(name string) (Material, bool) { return find(materials, name) }

// DefaultMaterial is what a duct is made of when the file does not say.
const DefaultMaterial = "galvanised"

const roughnessTable = "Handbook of Fundamentals 2021 (SI), chapter 21 Duct Design, Table 1"

// materials lists the design category of the table where it gives one, not the range that was measured, which says how much the joints
// matter. Liners have one measured figure each and take it: their category, rough, is 3.0 mm, more than the faced kind and less than the sprayed.
var materials = []Material{
	{
		Row:       Row{Name: "aluminium", Aliases: []string{"aluminum"}, Source: published(roughnessTable + ", medium smooth (round, crimped slip joints)")},
		Roughness: 0.046 * mm,
	},
	{
		Row:       Row{Name: "concrete", Aliases: []string{"masonry"}, Source: published(roughnessTable + ", rough")},
		Roughness: 3.0 * mm,
	},
	{
		Row:       Row{Name: "duct board", Aliases: []string{"ductboard", "fibrous glass duct board", "fibreglass duct board", "fiberglass duct board"}, Source: published(roughnessTable + ", rigid fibrous glass board, tentative, medium rough")},
		Roughness: 0.9 * mm,
	},
	{
		Row:       Row{Name: "flex", Aliases: []string{"flexible", "flexible duct", "flex duct", "insulated flex"}, Source: published(roughnessTable + ", nonmetallic and wire, fully extended, medium rough")},
		Roughness: 0.9 * mm, Flexible: true,
	},
	{
		Row:       Row{Name: "galvanised", Aliases: []string{"galvanized", "steel", "sheet metal", "metal", "galvanised steel", "galvanized steel"}, Source: published(roughnessTable + ", average")},
		Roughness: 0.09 * mm,
	},
	{
		Row:       Row{Name: "galvanised corrugated", Aliases: []string{"galvanized corrugated"}, Source: published(roughnessTable + ", spiral corrugated, medium rough")},
		Roughness: 0.9 * mm,
	},
	{
		Row:       Row{Name: "galvanised spiral", Aliases: []string{"galvanized spiral", "spiral"}, Source: published(roughnessTable + ", average")},
		Roughness: 0.09 * mm,
	},
	{
		Row:       Row{Name: "lined", Aliases: []string{"lined metal", "duct liner", "lined galvanised", "lined galvanized"}, Source: published(roughnessTable + ", fibrous glass liner, faced: 1.52 mm measured")},
		Roughness: 1.52 * mm,
	},
	{
		Row:       Row{Name: "lined sprayed", Aliases: []string{"spray coated liner"}, Source: published(roughnessTable + ", fibrous glass liner, spray coated: 4.57 mm measured")},
		Roughness: 4.57 * mm,
	},
	{
		Row:       Row{Name: "metal flex", Aliases: []string{"aluminium flex", "aluminum flex", "flexible metal"}, Source: ourChoice("middle of 1.2 to 2.1 mm, " + roughnessTable + ", flexible metallic corrugated, fully extended")},
		Roughness: 1.65 * mm, Flexible: true,
	},
	{
		Row:       Row{Name: "phenolic board", Aliases: []string{"foil board"}, Source: published(roughnessTable + ", foil-faced board, average")},
		Roughness: 0.09 * mm,
	},
	{
		Row:       Row{Name: "plastic", Source: ourChoice("taken as pvc; " + roughnessTable + " has no row for other plastics")},
		Roughness: 0.046 * mm,
	},
	{
		Row:       Row{Name: "pvc", Source: published(roughnessTable + ", medium smooth")},
		Roughness: 0.046 * mm,
	},
}
