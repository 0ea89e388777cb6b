package sheet

import (
	"fmt"
	"math"
	"strings"

	"spillway/network"
	"spillway/network/catalog"
	"spillway/network/quantity"
	"spillway/network/section"
	"spillway/network/takeoff"
	"spillway/render/internal/doc"
)

// Parts is the take-off of a job: what it has to be built from. Base is that of the file without
// the alternative, to say what the alternative adds; nil without one.
func Parts(head *Sheet, list, base *takeoff.List) *Document {
	d := head.document()
	d.Closing = doc.Say("Counted from the job file, and as complete as it is: check quantities " +
		"on site, and the thickness of sheet steel with the local code, before you buy.")
	d.Blocks = append(d.Blocks, head.alternativeNote(), partsTable(list, head.Units),
		partsData(list))
	notes := doc.Facts{Align: 9}
	if base != nil {
		d.Blocks = append(d.Blocks, changesSection(takeoff.Compare(base, list), head.Units))
	}
	steel := doc.With(quantity.KindMass, list.Steel-list.Straight)
	if list.Straight > 0 {
		notes.Add(doc.Cell{Words: "steel "},
			doc.Sayf("thickness after the {}; weight nominal, after a "+
				"{}. {} of it are fittings, each as {} of its duct, and {} for seams, laps and "+
				"waste (from memory)", doc.Name(catalog.GaugeSource.Text),
				doc.Name(catalog.GaugeMassSource.Text),
				steel, doc.With(quantity.KindLength, takeoff.FittingLength).To(0),
				doc.Of(quantity.KindFraction, takeoff.Waste).As(doc.Short))...)
	}
	if len(list.Beyond) > 0 {
		notes.Add(doc.Cell{Words: "oversize "}, doc.Sayf("{}: wider than 20 in. or above 1 in. "+
			"w.c.; counted as 24 gauge, and the metal duct standard says what it and its "+
			"reinforcement are", doc.Name(strings.Join(list.Beyond, ", ")))...)
	}
	for i := range list.Items {
		if it := &list.Items[i]; it.Group == takeoff.Sealing && it.Length > 0 {
			gallons := it.Length / takeoff.MasticLength
			notes.Add(doc.Cell{Words: "sealing "},
				doc.Sayf("{} of joint take {} of mastic, 3 in. wide "+
					"and 20 mil wet", doc.With(quantity.KindLength, it.Length).To(0),
					doc.Cell{Words: masticText(gallons, head.Units)})...)
		}
	}
	notes.Add(doc.Cell{Words: "rules "}, doc.Say("pipe in whole joints of 5 ft; flexible duct as "+
		"stretched, with 1 ft for each end; wrap and liner with 10 % for laps; * not in the file, "+
		"but implied by it (from memory)")...)
	d.Blocks = append(d.Blocks, titled("How it is counted", &notes))
	return d
}

// masticText is a volume of mastic in whole tenths of what it is sold by.
func masticText(gallons float64, sys quantity.System) string {
	if sys == quantity.SI {
		return fmt.Sprintf("%.1f liters", 3.785411784*gallons)
	}
	return fmt.Sprintf("%.1f gallons", gallons)
}

// partsTable is a take-off for people, one line for each part under the head of its group.
func partsTable(list *takeoff.List, sys quantity.System) *doc.Table {
	t := &doc.Table{For: doc.Text | doc.Page, Columns: []doc.Column{{Head: "Part", Left: true},
		{Head: "size", Left: true}, {Head: "pieces"}, {Kind: quantity.KindLength, Unit: true},
		{Above: "to buy", Kind: quantity.KindLength, Unit: true},
		{Kind: quantity.KindArea, Unit: true}, {Kind: quantity.KindMass, Unit: true}}}
	group := takeoff.Group(255)
	for i := range list.Items {
		it := &list.Items[i]
		if it.Group != group {
			group = it.Group
			t.Line(doc.Cell{Words: groupHead(group), Tone: doc.Heading})
		}
		t.Add(doc.Name(partName(it)), doc.Name(partSize(it, sys)), piecesCell(it.Count),
			amountCell(quantity.KindLength, it.Length), amountCell(quantity.KindLength, it.Buy),
			amountCell(quantity.KindArea, it.Area), amountCell(quantity.KindMass, it.Mass))
	}
	return t
}

// groupHead heads the lines of a group.
func groupHead(g takeoff.Group) string {
	head := g.String()
	return strings.ToUpper(head[:1]) + head[1:]
}

// partName is what a part is called, with what it is made of.
func partName(it *takeoff.Item) string {
	name := it.Name
	if it.Material != "" {
		name = materialName(it.Material)
	}
	if it.Gauge > 0 {
		name += fmt.Sprintf(", %d gauge", it.Gauge)
	}
	if it.R > 0 {
		name += fmt.Sprintf(", R-%.3g", it.R/quantity.RValueIP)
	}
	if it.Implied {
		name += " *"
	}
	return name
}

// materialName is what a duct is made of, in American spelling.
func materialName(material string) string {
	switch material {
	case "flex":
		return "flexible duct"
	case "metal flex":
		return "flexible metal duct"
	}
	name := strings.Replace(material, "galvanised", "galvanized steel", 1)
	return strings.Replace(name, "aluminium", "aluminum", 1)
}

// partSize is the size of a part, or of both its ends, or what a machine is rated for.
func partSize(it *takeoff.Item, sys quantity.System) string {
	none := section.Section{}
	switch {
	case it.Rated > 0:
		return quantity.KindLoad.NumberTo(it.Rated, sys, quantity.KindLoad.Decimals(sys)) + " " +
			quantity.KindLoad.Label(sys)
	case it.Size == none && it.To == none:
		return ""
	case it.Size == none:
		return network.SizeText(it.To, sys)
	case it.To == none:
		return network.SizeText(it.Size, sys)
	case it.Group == takeoff.Boot:
		return network.SizeText(it.Size, sys) + " on " + network.SizeText(it.To, sys)
	}
	return network.SizeText(it.Size, sys) + " off " + network.SizeText(it.To, sys)
}

// piecesCell and amountCell are empty where nothing is counted.
func piecesCell(n int) doc.Cell {
	if n == 0 {
		return doc.Cell{}
	}
	return doc.Count(n)
}

func amountCell(k quantity.Kind, si float64) doc.Cell {
	if si == 0 {
		return doc.Cell{}
	}
	c := doc.Of(k, si)
	if k == quantity.KindLength {
		return c.To(0)
	}
	return c
}

// partsData holds the same for programs.
func partsData(list *takeoff.List) *doc.Table {
	t := &doc.Table{Key: "parts", For: doc.Data, Columns: []doc.Column{{Key: "group"},
		{Key: "part"},
		{Key: "material"}, {Key: "size", Kind: quantity.KindSize},
		{Key: "height", Kind: quantity.KindSize}, {Key: "other_size", Kind: quantity.KindSize},
		{Key: "other_height", Kind: quantity.KindSize}, {Key: "gauge"},
		{Key: "insulation", Kind: quantity.KindInsulation},
		{Key: "rated", Kind: quantity.KindLoad}, {Key: "pieces"},
		{Key: "length", Kind: quantity.KindLength}, {Key: "to_buy", Kind: quantity.KindLength},
		{Key: "area", Kind: quantity.KindArea}, {Key: "steel", Kind: quantity.KindMass},
		{Key: "implied"}}}
	some := func(k quantity.Kind, si float64) doc.Cell {
		if si == 0 {
			si = math.NaN()
		}
		return doc.Of(k, si)
	}
	sides := func(s section.Section) (width, height doc.Cell) {
		if s.Shape == section.Round {
			return some(quantity.KindSize, s.Width), doc.None()
		}
		return some(quantity.KindSize, s.Width), some(quantity.KindSize, s.Height)
	}
	for i := range list.Items {
		it := &list.Items[i]
		width, height := sides(it.Size)
		toWidth, toHeight := sides(it.To)
		t.Add(doc.Cell{Words: it.Group.String()}, doc.Name(it.Name), doc.Cell{Words: it.Material},
			width,
			height, toWidth, toHeight, some(quantity.KindNumber, float64(it.Gauge)),
			some(quantity.KindInsulation, it.R), some(quantity.KindLoad, it.Rated),
			doc.Count(it.Count), some(quantity.KindLength, it.Length),
			some(quantity.KindLength, it.Buy), some(quantity.KindArea, it.Area),
			some(quantity.KindMass, it.Mass), doc.Truth(it.Implied, ""))
	}
	return t
}

// changesSection lists what an alternative adds and what falls away with it.
func changesSection(changes []takeoff.Change, sys quantity.System) *doc.Section {
	facts := &doc.Facts{}
	for _, text := range changeTexts(changes, sys) {
		facts.Add(doc.Cell{}, doc.Sayf("{}", doc.Name(text))...)
	}
	if len(facts.Items) == 0 {
		facts.Add(doc.Cell{}, doc.Say("nothing to buy: settings only")...)
	}
	return titled("Beside the file as it stands", facts)
}

// changeTexts are the parts that come and go, in words: "add 18 ft of 12 in galvanized steel".
func changeTexts(changes []takeoff.Change, sys quantity.System) (texts []string) {
	for i := range changes {
		c := &changes[i]
		verb := "add "
		if c.Drop {
			verb = "leave out "
		}
		texts = append(texts, verb+changeText(&c.Item, sys))
	}
	return texts
}

// changeText is how much of a part, in words: "18 ft of 12 in galvanized steel, 30 gauge".
func changeText(it *takeoff.Item, sys quantity.System) string {
	name := strings.TrimSuffix(partName(it), " *")
	size := partSize(it, sys)
	switch {
	case it.Group == takeoff.Duct:
		return number(quantity.KindLength, it.Length, sys) + " of " + size + " " + name
	case it.Count == 0 && it.Area > 0:
		return number(quantity.KindArea, it.Area, sys) + " of " + name
	case size == "":
		return fmt.Sprintf("%d %s", it.Count, name)
	}
	return fmt.Sprintf("%d %s %s", it.Count, name, size)
}

// number is a value in whole units, with its unit.
func number(k quantity.Kind, si float64, sys quantity.System) string {
	return k.NumberTo(si, sys, 0) + " " + k.Label(sys)
}
