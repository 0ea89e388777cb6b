package network

import (
	"fmt"
	"slices"
	"strings"

	"spillway/network/catalog"
	"spillway/network/quantity"
)

// LeakOf says which figure of the job file a leak is of.
type LeakOf uint8

// The figures of leakage that a job file has.
const (
	LeakOfNothing  LeakOf = iota // a leak that no figure stands for: what a study adds
	LeakOfSupply                 // [leakage] supply
	LeakOfReturn                 // [leakage] return
	LeakOfEnvelope               // [leakage] envelope
	LeakOfLine                   // the leakage of its line
	LeakOfRoom                   // the envelope of its room
)

// leakSite is a place where part of a figure leaks: a node, by the line whose duct or boot leaks there, nil for a plenum.
type leakSite struct {
	node   int
	line   *Line
	boot   bool // behind the register or grille: into its own room
	place  string
	weight float64
}

// leakage adds the leaks of plenums and lines.
//
// A figure for a whole side sits 20 % at the plenum, 30 % along the ducts by surface and 50 % at the boots of the supply; 30 % at the plenum,
// 40 % along the ducts and 30 % at the boxes of grilles of the return. Ducts leak at nodes that are there anyway, or every leak would cost an
// unknown: see ductSites. What lies behind a shut damper leaks nothing, since its pressure is gone.
func (b *builder) leakage() {
	b.spreadLeak(LeakOfSupply, SupplySide, b.job.Leakage.Supply, "supply leakage", b.supplySites)
	b.spreadLeak(LeakOfReturn, ReturnSide, b.job.Leakage.Return, "return leakage", b.returnSites)
	for _, r := range b.order {
		if r.line.Leakage == nil {
			continue
		}
		at := r.end
		if r.side == ReturnSide {
			at = r.start
		}
		site := leakSite{node: at, line: r.line, place: r.line.Place, weight: 1}
		b.leaksAt(LeakOfLine, r.side, r.line.Leakage, "leakage", r.line.Size.Section.Perimeter()*float64(r.line.Length), []leakSite{site})
		if r.line.Leakage.To == "" {
			b.tellPlaces(b.path(r.line)+".leakage", []leakSite{site})
		}
	}
}

// spreadLeak adds the leaks of a figure for a whole side, and tells where they sit.
func (b *builder) spreadLeak(of LeakOf, side Side, l *Leak, word string, where func() (sites []leakSite, words string)) {
	if l == nil {
		return
	}
	sites, words := where()
	b.leaksAt(of, side, l, word, 0, sites)
	path := "leakage.supply"
	if of == LeakOfReturn {
		path = "leakage.return"
	}
	b.assume(path, words, catalog.LeakSharesSource.String())
	if l.To == "" {
		b.tellPlaces(path, sites)
	}
}

// supplySites are where the supply side leaks.
func (b *builder) supplySites() ([]leakSite, string) {
	var boots []leakSite
	for _, r := range b.order {
		if r.line.Register != nil && (r.side == SupplySide || r.side == DumpSide) {
			boots = append(boots, leakSite{node: r.end, line: r.line, boot: true, place: r.line.Place})
		}
	}
	plenum := leakSite{node: b.node(AtSupplyPlenum.at(), Chamber), place: b.plenumPlace(b.leaving[place{AtSupplyPlenum.at(), None}])}
	ducts := b.ductSites(boots, func(s Side) bool { return s == SupplySide || s == DumpSide })
	return shared(plenum, ducts, boots, catalog.SupplyLeakPlenum, catalog.SupplyLeakDucts, catalog.SupplyLeakBoots, "boots")
}

// returnSites are where the return side leaks.
func (b *builder) returnSites() ([]leakSite, string) {
	var boots []leakSite
	for _, r := range b.order {
		if r.line.Grille != nil && r.side == ReturnSide {
			boots = append(boots, leakSite{node: r.start, line: r.line, boot: true, place: r.line.Place})
		}
	}
	plenum := leakSite{node: b.node(AtReturnPlenum.at(), Chamber), place: b.plenumPlace(b.joining[place{AtReturnPlenum.at(), None}])}
	ducts := b.ductSites(boots, func(s Side) bool { return s == ReturnSide })
	return shared(plenum, ducts, boots, catalog.ReturnLeakPlenum, catalog.ReturnLeakDucts, catalog.ReturnLeakBoots, "boxes of grilles")
}

// plenumPlace is where a plenum lies: where its largest line does.
func (b *builder) plenumPlace(lines []*Line) string {
	largest, where := 0.0, "inside"
	for _, l := range lines {
		if a := area(l); a > largest {
			largest, where = a, l.Place
		}
	}
	return where
}

// ductSites are where ducts leak, weighted by their surface. A line that others leave or join along it leaks at the middle one of these
// places; any other half at either end, as far as that is a plenum, a box, a boot or a place on such a line.
func (b *builder) ductSites(boots []leakSite, mine func(Side) bool) []leakSite {
	anchor := map[int]int{} // a node that may leak → the one that leaks for it
	for _, s := range boots {
		anchor[s.node] = s.node
	}
	for n := range b.g.Nodes {
		if b.g.Nodes[n].Kind == Chamber {
			anchor[n] = n
		}
	}
	middle := map[*run]int{}
	for _, r := range b.order {
		var taps []int
		for _, j := range b.g.Junctions {
			if n := &b.g.Nodes[j.Node]; n.Role == AtTap && n.Line == b.idOf[r.line] {
				taps = append(taps, j.Node)
			}
		}
		if len(taps) > 0 {
			middle[r] = taps[len(taps)/2]
		}
		for _, n := range taps {
			anchor[n] = middle[r]
		}
	}
	var sites []leakSite
	for _, r := range b.order {
		if !mine(r.side) {
			continue
		}
		var at []int
		if n, ok := middle[r]; ok {
			at = []int{n}
		} else {
			for _, n := range []int{r.start, r.end} {
				if to, ok := anchor[n]; ok && (n != r.start || !b.damped(r)) {
					at = append(at, to)
				}
			}
		}
		if len(at) == 0 {
			at = []int{r.end}
			anchor[r.end] = r.end
		}
		for _, n := range at {
			sites = append(sites, leakSite{node: n, line: r.line, place: r.line.Place,
				weight: r.line.Size.Section.Perimeter() * float64(r.line.Length) / float64(len(at))})
		}
	}
	return sites
}

// damped reports whether a damper parts a line from where it begins, so that its leak is not that place's.
func (b *builder) damped(r *run) bool { return r.side != ReturnSide && len(b.damperParts(r.line)) > 0 }

// shared gives plenum, ducts and boots their shares; where there are no ducts or boots the rest takes theirs.
func shared(plenum leakSite, ducts, boots []leakSite, ofPlenum, ofDucts, ofBoots float64, boot string) ([]leakSite, string) {
	surface := 0.0
	for _, s := range ducts {
		surface += s.weight
	}
	if surface == 0 {
		ofDucts = 0
	}
	if len(boots) == 0 {
		ofBoots = 0
	}
	all := ofPlenum + ofDucts + ofBoots
	plenum.weight = ofPlenum / all
	sites := []leakSite{plenum}
	words := []string{fmt.Sprintf("%.0f %% at the plenum", 100*ofPlenum/all)}
	if ofDucts > 0 {
		words = append(words, fmt.Sprintf("%.0f %% along the ducts by surface", 100*ofDucts/all))
		for _, s := range ducts {
			s.weight *= ofDucts / all / surface
			sites = append(sites, s)
		}
	}
	if ofBoots > 0 {
		words = append(words, fmt.Sprintf("%.0f %% at the %s", 100*ofBoots/all, boot))
		for _, s := range boots {
			s.weight = ofBoots / all / float64(len(boots))
			sites = append(sites, s)
		}
	}
	return sites, strings.Join(words, ", ")
}

// leaksAt adds the leaks of a figure: one from each node to each place that its air goes to, on the return side the other way round.
func (b *builder) leaksAt(of LeakOf, side Side, l *Leak, word string, surface float64, sites []leakSite) {
	name := word
	for _, s := range sites {
		if of == LeakOfLine {
			name = s.line.Name
		}
	}
	whole := b.leakSpec(name, l, surface)
	if whole == nil {
		return
	}
	type way struct {
		node, to int
		zone     string
	}
	share, owner := map[way]float64{}, map[way]leakSite{}
	var order []way
	put := func(s leakSite, to int, zone string, part float64) {
		if part <= 0 {
			return
		}
		w := way{s.node, to, zone}
		if _, seen := share[w]; !seen {
			order, owner[w] = append(order, w), s
		}
		share[w] += part
	}
	for _, s := range sites {
		room, zone := "", ""
		if s.line != nil {
			zone = s.line.Zone
			if s.boot {
				room = s.line.Room
			}
		}
		switch {
		case l.To == "":
			outdoors := 0.0
			if row, ok := catalog.LookupLeakPlace(s.place); ok {
				outdoors = row.Outdoors
			}
			put(s, b.air(room), zone, s.weight*(1-outdoors))
			if outdoors > 0 {
				put(s, b.node(OutOfDoors.at(), Outdoors), "", s.weight*outdoors)
			}
		case find(b.ids.rooms, l.To) != None || l.To == House || l.To == "inside":
			put(s, b.air(l.To), "", s.weight)
		default: // attic, crawlspace, garage ... stand at outdoor pressure
			put(s, b.node(OutOfDoors.at(), Outdoors), "", s.weight)
		}
	}
	for _, w := range order {
		s := owner[w]
		e := Element{Kind: KindLeak, Side: side, From: w.node, To: w.to, Zone: w.zone, word: word,
			Spec: &LeakSpec{Coefficient: whole.Coefficient * share[w], Exponent: whole.Exponent, Of: of, Share: share[w]}}
		if s.line != nil {
			e.Line, e.word = s.line.Name, "leakage"
		}
		if side == ReturnSide {
			e.From, e.To = e.To, e.From
		}
		b.add(e)
	}
}

// tellPlaces notes how much of a leak goes outdoors, for each place where its ducts lie.
func (b *builder) tellPlaces(path string, sites []leakSite) {
	var words []string
	var source string
	for _, s := range sites {
		row, ok := catalog.LookupLeakPlace(s.place)
		if !ok {
			continue
		}
		text := fmt.Sprintf("%s of it outdoors from %s (%.0f to %.0f %%)", quantity.Fraction(row.Outdoors).Text(b.job.Units), row.Name, 100*row.Low, 100*row.High)
		if !slices.Contains(words, text) {
			words, source = append(words, text), row.Source.String()
		}
	}
	if len(words) > 0 {
		b.assume(path+".to", strings.Join(words, "; ")+"; the rest into the house", source)
	}
}

// SameLeak lists the elements that are part of the same figure of the job file as the leak i, itself among them, in order.
func (g *Graph) SameLeak(i int) []int {
	own, ok := g.Elements[i].Spec.(*LeakSpec)
	if !ok || own.Of == LeakOfNothing {
		return []int{i}
	}
	var list []int
	for k := range g.Elements {
		e := &g.Elements[k]
		if spec, ok := e.Spec.(*LeakSpec); ok && spec.Of == own.Of &&
			(own.Of != LeakOfLine || e.LineID == g.Elements[i].LineID) && (own.Of != LeakOfRoom || e.RoomID == g.Elements[i].RoomID) {
			list = append(list, k)
		}
	}
	return list
}

// LeaksInto lists the leaks of supply ducts and boots whose air stays in a zone, in order.
func (g *Graph) LeaksInto(zone ZoneID) []int {
	var list []int
	for i := range g.Elements {
		e := &g.Elements[i]
		if e.Kind != KindLeak || e.ZoneID != zone || zone == None || e.Side != SupplySide && e.Side != DumpSide {
			continue
		}
		if to := g.Nodes[e.To].Kind; to == RoomAir || to == HouseAir {
			list = append(list, i)
		}
	}
	return list
}
