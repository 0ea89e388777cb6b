package catalog

// VelocityAdvice is a recommended and a highest velocity for a place in the system, m/s. A bound that the source does not
// give is 0.
type VelocityAdvice struct {
	Row
	Recommended float64
	Maximum     float64
}

// LookupVelocity returns the advice for a place, by the name of its row.
func LookupVelocity(place string) (VelocityAdvice, bool) { return find(velocities, place) }

const (
	designManual1993 = "Air-Conditioning Systems Design Manual (1993), Table 5-2, residences"
	residentialDucts = "residential duct design manual (ANSI/ACCA 1)"
	velocityDefault  = "between the Air-Conditioning Systems Design Manual (1993) and the residential duct design manual"
)

// velocities keeps the sources apart; the rows whose names end in "default" are what findings use unless told otherwise.
// Where a source gives a range, the row has its upper end.
var velocities = []VelocityAdvice{
	{Row{Name: "branch", Source: published(designManual1993)}, 600 * fpm, 1000 * fpm},
	{Row{Name: "branch default", Source: ourChoice(velocityDefault)}, 600 * fpm, 900 * fpm},
	{Row{Name: "branch riser", Source: published(designManual1993)}, 500 * fpm, 800 * fpm},
	{Row{Name: "branch, trade training", Source: published("trade training note on air velocity")}, 700 * fpm, 0},
	{Row{Name: "cooling coil face", Source: published(designManual1993)}, 450 * fpm, 450 * fpm},
	{Row{Name: "fan outlet", Source: published(designManual1993)}, 1600 * fpm, 1700 * fpm},
	{Row{Name: "filter face", Source: published(designManual1993)}, 250 * fpm, 300 * fpm},
	{Row{Name: "filter grille", Source: published("unbranded brochure quoting the residential duct design manual")}, 0, 300 * fpm},
	{Row{Name: "filter grille default", Source: ourChoice(velocityDefault)}, 300 * fpm, 300 * fpm},
	{Row{Name: "flex branch", Source: memory(residentialDucts)}, 600 * fpm, 700 * fpm},
	{Row{Name: "flex branch default", Source: ourChoice(velocityDefault)}, 600 * fpm, 700 * fpm},
	{Row{Name: "flex return branch", Source: memory(residentialDucts)}, 400 * fpm, 600 * fpm},
	{Row{Name: "flex trunk", Source: memory(residentialDucts)}, 600 * fpm, 700 * fpm},
	{Row{Name: "heating coil face", Source: published(designManual1993)}, 450 * fpm, 500 * fpm},
	{Row{Name: "return branch", Source: memory(residentialDucts)}, 400 * fpm, 700 * fpm},
	{Row{Name: "return grille", Source: published("unbranded brochure quoting the residential duct design manual; target 400 from a trade training note")}, 400 * fpm, 500 * fpm},
	{Row{Name: "return grille default", Source: ourChoice(velocityDefault)}, 400 * fpm, 500 * fpm},
	{Row{Name: "return trunk", Source: published("residential duct design manual, as quoted on a trade magazine's question page")}, 600 * fpm, 700 * fpm},
	{Row{Name: "return trunk default", Source: ourChoice(velocityDefault)}, 600 * fpm, 700 * fpm},
	{Row{Name: "supply face", Source: memory(residentialDucts + "; size for throw")}, 0, 700 * fpm},
	{Row{Name: "supply face default", Source: ourChoice(velocityDefault)}, 500 * fpm, 700 * fpm},
	{Row{Name: "trunk", Source: published(designManual1993)}, 900 * fpm, 1200 * fpm},
	{Row{Name: "trunk default", Source: ourChoice(velocityDefault)}, 700 * fpm, 900 * fpm},
	{Row{Name: "trunk, rigid", Source: memory(residentialDucts)}, 700 * fpm, 900 * fpm},
	{Row{Name: "trunk, trade training", Source: published("trade training note on air velocity")}, 900 * fpm, 0},
}
