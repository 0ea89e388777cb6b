package network

import (
	"fmt"
	"slices"

	"spillway/network/catalog"
	"spillway/network/diag"
	"spillway/network/quantity"
	"spillway/network/section"
)

func (c *checker) roomsAndDoors() {
	used := map[string]bool{}
	for _, ref := range c.order {
		used[ref.Room] = true
	}
	for i := range c.job.Rooms {
		used[c.job.Rooms[i].To] = true
	}
	for i := range c.job.Rooms {
		r := &c.job.Rooms[i]
		if r.Zone != "" && c.zones[r.Zone] == nil {
			r.Zone = c.unknown(c.at("room", r.Name, "zone"), "zone", r.Zone, c.zoneNames())
			c.unsure = c.unsure || r.Zone == ""
		}
		switch {
		case r.To == "" || r.To == House:
		case r.To == r.Name:
			c.fail(c.at("room", r.Name, "to"), "name the room on the other side of the door", "the door of %q leads into itself", r.Name)
		case c.rooms[r.To] == nil:
			r.To = c.unknown(c.at("room", r.Name, "to"), "room", r.To, append([]string{House}, c.roomNames()...))
			used[r.To] = true
		}
		c.opening(r.Transfer, "room", r.Name, "transfer")
	}
	for i := range c.job.Rooms {
		if r := &c.job.Rooms[i]; !used[r.Name] {
			fix := ""
			if near, ok := c.nearest(r.Name, c.freeRooms()); ok {
				fix = `did you mean "` + near + `"?`
			}
			c.warn(c.name("room", r.Name), fix, "no register, grille or door is in room %q", r.Name)
		}
	}
}

// freeRooms are the rooms that lines name without a [room] entry.
func (c *checker) freeRooms() []string {
	var names []string
	for _, ref := range c.order {
		if ref.Room != "" && c.rooms[ref.Room] == nil && !contains(names, ref.Room) {
			names = append(names, ref.Room)
		}
	}
	return names
}

func (c *checker) zonesThemselves() {
	if c.missing("zone") {
		c.fail(c.name("zone"), `write [zone] and one NAME = { wants = "...", damper = "..." } per thermostat`, "the job has no zones")
	}
	for i := range c.job.Zones {
		z := &c.job.Zones[i]
		if len(z.Damper) == 0 {
			// An empty list says that the zone has none; anything else that left no name was refused already.
			at, given := c.root.find("zone", z.Name, "damper")
			c.unsure = c.unsure || !given || !at.list || len(at.items) > 0
			if !given {
				c.fail(c.name("zone", z.Name), `write damper = "NAME", a name of the [damper] table`, "zone %q has no damper", z.Name)
			}
			continue
		}
		for j, name := range z.Damper {
			at := c.item(j, "zone", z.Name, "damper")
			d := c.dampers[name]
			switch {
			case d == nil:
				z.Damper[j] = c.unknown(at, "damper", name, c.damperNames())
				c.unsure = c.unsure || z.Damper[j] == ""
			case !panelDrives(d):
				c.fail(at, "a zone damper is two-position or modulating", "damper %q is %s; the zone panel cannot drive it", name, d.Drive)
			}
		}
	}
}

// panelDrives reports whether the zone panel can drive a damper, as far as its drive is known.
func panelDrives(d *Damper) bool {
	kind, drive := driveNamed(d.Drive)
	return drive == nil || kind == KindDamper && d.Drive != Hand
}

// zoneOfDamper is the zone that a damper belongs to, "" for none or several.
func (c *checker) zoneOfDamper(damper string) string {
	zone := ""
	for i := range c.job.Zones {
		if slices.Contains(c.job.Zones[i].Damper, damper) {
			if zone != "" {
				return ""
			}
			zone = c.job.Zones[i].Name
		}
	}
	return zone
}

// damperUse finds dampers that sit in no line, or in two, and gives each the size of its line.
func (c *checker) damperUse() {
	for i := range c.job.Dampers {
		d := &c.job.Dampers[i]
		var sits []*lineRef
		for _, ref := range c.order {
			if ref.Damper == d.Name {
				sits = append(sits, ref)
			}
		}
		zoned := slices.ContainsFunc(c.job.Zones, func(z Zone) bool { return slices.Contains(z.Damper, d.Name) })
		switch {
		case len(sits) == 0 && zoned:
			c.unsure = true
			if n := c.root.child("supply"); n != nil && !n.table {
				continue // reported
			}
			c.fail(c.name("damper", d.Name), fmt.Sprintf("write damper = %q in the line that it sits in", d.Name), "damper %q sits in no duct", d.Name)
		case len(sits) == 0:
			c.warn(c.name("damper", d.Name), fmt.Sprintf("write damper = %q in the line that it sits in", d.Name), "damper %q sits in no duct and belongs to no zone", d.Name)
		case len(sits) > 1:
			c.unsure = true
			c.fail(c.at(sits[1].table, sits[1].Name, "damper"), "each duct has a damper of its own name; a zone may list several: damper = [\"a\", \"b\"]", "damper %q sits in %q already", d.Name, sits[0].Name)
		}
		if len(sits) == 0 {
			continue
		}
		line := sits[0]
		switch {
		case !sized(line.Size.Section):
		case !sized(d.Size):
			if !c.given("damper", d.Name, "size") {
				d.Size = line.Size.Section
				c.assume(sizeText(d.Size, c.system), fmt.Sprintf("as the duct %q it sits in", line.Name), "damper", d.Name, "size")
			}
		case !sameSize(d.Size, line.Size.Section):
			c.warn(c.at("damper", d.Name, "size"), "leave the size out to take that of the duct", "damper %q is %s but sits in %q, which is %s", d.Name, sizeText(d.Size, c.system), line.Name, sizeText(line.Size.Section, c.system))
		}
	}
}

func (c *checker) dampersThemselves() {
	for i := range c.job.Dampers {
		d := &c.job.Dampers[i]
		at := func(key string) span { return c.at("damper", d.Name, key) }
		if d.Drive == "" {
			for k := range parts {
				if drive := parts[k].drive; drive != nil && drive.mark != nil && drive.mark(d) && d.Drive == "" {
					d.Drive = drive.words[0]
				}
			}
			if d.Drive == "" {
				d.Drive = TwoPosition
				c.assume(d.Drive, "the usual zone damper (common practice)", "damper", d.Name, "drive")
			}
		} else {
			c.choice(at("drive"), "drive", "Damper", "drive", d.Drive)
		}
		c.damperSettings(d)
		if d.Sensor != "" && d.Sensor != SupplyPlenum && d.Sensor != ReturnPlenum && !c.boxes[d.Sensor] {
			c.unknown(at("sensor"), "plenum or box", d.Sensor, append([]string{SupplyPlenum, ReturnPlenum}, c.boxNames()...))
		}
		c.bladeOf(d)
		c.leakageOf(d)
	}
}

// damperSettings checks and completes how a damper is set.
func (c *checker) damperSettings(d *Damper) {
	_, own := driveNamed(d.Drive)
	for k := range parts {
		drive := parts[k].drive
		if drive == nil || drive.mark == nil {
			continue
		}
		if drive == own && !drive.mark(d) {
			c.fail(c.name("damper", d.Name), drive.fix, drive.missing, d.Name)
			break
		}
		if drive != own && drive.settings(d) {
			c.fail(c.name("damper", d.Name), fmt.Sprintf("write drive = %q", drive.words[0]), "damper %q is %s, but has the settings of %s", d.Name, d.Drive, drive.called)
			break
		}
	}
	d.FullyOpenAt = c.fullyOpen(d.OpensAt, d.FullyOpenAt, d.Arm, "damper", d.Name)
	if own != nil && own.complete != nil {
		own.complete(c, d)
	}
	if d.Open != nil && *d.Open < d.Stop {
		c.fail(c.at("damper", d.Name, "open"), "open lies at or above stop", "damper %q is less open when its zone calls than when it does not", d.Name)
	}
}

func (c *checker) bladeOf(d *Damper) {
	_, drive := driveNamed(d.Drive)
	if d.Blade == "" {
		if drive != nil && drive.shaped && sized(d.Size) {
			d.Blade = "round"
			if d.Size.Shape == section.Rectangular {
				d.Blade = "rectangular"
			}
			c.assume(d.Blade, "one blade of the duct's shape", "damper", d.Name, "blade")
		}
		return
	}
	row, ok := catalog.LookupBlade(d.Blade)
	if !ok {
		c.unknown(c.at("damper", d.Name, "blade"), "blade", d.Blade, catalog.Names(catalog.Blades))
		return
	}
	d.Blade = row.Name
	if sized(d.Size) && (d.Size.Shape == section.Rectangular) == (row.Kind == catalog.RoundBlade) {
		c.warn(c.at("damper", d.Name, "blade"), `round ducts have a "round" blade, rectangular ones "rectangular", "parallel" or "opposed"`, "damper %q has a blade that is %s in a duct of %s", d.Name, row.Name, sizeText(d.Size, c.system))
	}
}

func (c *checker) leakageOf(d *Damper) {
	if !d.Leakage.Given {
		if _, drive := driveNamed(d.Drive); drive != nil && drive.shaped && d.Drive != Hand {
			d.Leakage = DamperLeakage{Share: catalog.DefaultDamperLeakage, Given: true}
			c.assume(d.Leakage.Share.Text(c.system), catalog.DamperLeakageBand+"; trade convention is a few percent up to 10 % (our choice)", "damper", d.Name, "leakage")
		}
		return
	}
	if d.Leakage.Class == "" {
		return
	}
	row, ok := catalog.LookupDamperLeakage(d.Leakage.Class)
	if !ok {
		c.unknown(c.at("damper", d.Name, "leakage"), "leakage class of dampers", d.Leakage.Class, catalog.Names(catalog.DamperLeakages))
		return
	}
	d.Leakage.Class = row.Name
}

func (c *checker) panel() {
	p := &c.job.Panel
	if p.SecondStageNeeds > len(c.job.Zones) {
		c.fail(c.at("panel", "second-stage-needs"), "", "the second stage needs %d calling zones, but the job has %d", p.SecondStageNeeds, len(c.job.Zones))
	}
	seen := map[string]string{}
	for i := range p.Calls {
		call := &p.Calls[i]
		path := []string{"panel", "call", call.Name}
		at := func(j int, key string) span { return c.item(j, append(slices.Clone(path), key)...) }
		if len(call.Zones) == 0 {
			c.fail(c.name(path...), `write zones = ["NAME", ...]`, "call %q does not say which zones call", call.Name)
		}
		for j, name := range call.Zones {
			if c.zones[name] == nil {
				c.unknown(at(j, "zones"), "zone", name, c.zoneNames())
			} else if slices.Contains(call.Zones[:j], name) {
				c.fail(at(j, "zones"), "", "zone %q is listed twice", name)
			}
		}
		if len(call.Modes) == 0 {
			key := joined(slices.Sorted(slices.Values(call.Zones)))
			if other, ok := seen[key]; ok && key != "" {
				c.fail(c.name(path...), "keep one of them, or tell them apart by modes", "calls %q and %q are for the same zones", other, call.Name)
			}
			seen[key] = call.Name
		}
		for j, stage := range call.Stages {
			most := 1
			for _, m := range []*Machine{c.job.Equipment.Cooling, c.job.Equipment.Heating, c.job.Equipment.Fan} {
				if m != nil {
					most = max(most, len(m.Stages))
				}
			}
			if stage > most { // a stage below 1 was refused as a number
				c.fail(at(j, "stages"), "", "there is no stage %d; the equipment has %d", stage, most)
			}
		}
		if call.Tap != "" && c.taps != nil && !contains(c.taps, call.Tap) {
			c.fail(at(0, "tap"), diag.DidYouMean(call.Tap, c.taps), "the blower has no tap %q", call.Tap)
		}
		for j, name := range call.Open {
			if c.dampers[name] == nil {
				c.unknown(at(j, "open"), "damper", name, c.damperNames())
			}
		}
		for _, setting := range call.Damper {
			if c.dampers[setting.Name] == nil {
				c.unknown(c.name(append(slices.Clone(path), "damper", setting.Name)...), "damper", setting.Name, c.damperNames())
			}
		}
	}
}

func (c *checker) leaks() {
	c.leak1(c.job.Leakage.Supply, false, "leakage", "supply")
	c.leak1(c.job.Leakage.Return, false, "leakage", "return")
	c.leak1(c.job.Leakage.Envelope, false, "leakage", "envelope")
	for _, ref := range c.order {
		c.leak1(ref.Leakage, ref.Length > 0, ref.table, ref.Name, "leakage")
	}
	for i := range c.job.Rooms {
		c.leak1(c.job.Rooms[i].Envelope, false, "room", c.job.Rooms[i].Name, "envelope")
	}
}

func (c *checker) leak1(l *Leak, surface bool, path ...string) {
	if l == nil {
		return
	}
	before := len(c.found.Errors())
	at := c.at(path...)
	ways := 0
	for _, given := range []bool{l.Airflow != 0, l.Share != 0, l.Class != 0} {
		if given {
			ways++
		}
	}
	n, _ := c.root.find(path...)
	switch {
	case ways > 1:
		c.fail(at, "keep one of them", "a leak is an airflow, a share of the blower or a class, not several")
	case ways == 1 && l.Class == 0 && l.At == 0 && n.table:
		c.fail(at, `write at = "25 Pa"`, "the leak does not say at what pressure it was measured")
	case l.Class != 0 && !surface:
		c.fail(at, `write "4 % of blower at 25 Pa" here, or give the class to lines that have a length`, "a leakage class needs the surface of a duct, which is not known here")
	}
	if before == len(c.found.Errors()) && l.To != "" && !contains(append(places(), House), l.To) && c.rooms[l.To] == nil {
		c.unknown(at, "place or room", l.To, append(append(places(), House), c.roomNames()...))
	}
}

func (c *checker) ports() {
	known := append([]string{SupplyPlenum, ReturnPlenum, BlowerInlet, BlowerOutlet}, c.boxNames()...)
	for _, p := range c.job.Ports {
		if p.At == "" {
			if !c.given("port", p.Name, "at") {
				c.fail(c.name("port", p.Name), `write at = "supply plenum" or at = "trunk end"`, "port %q does not say where it is", p.Name)
			}
			continue
		}
		if contains(known, p.At) {
			continue
		}
		line, start := cutEnding(p.At, " start")
		if !start {
			line, _ = cutEnding(p.At, " end")
		}
		exact, ref := c.lines[p.At], c.lines[line]
		switch {
		case line == p.At || ref == nil && exact == nil:
		case ref != nil && exact != nil:
			c.fail(c.at("port", p.Name, "at"), fmt.Sprintf("rename %q", p.At), "the place %q can be the line of that name and a place on %q", p.At, line)
			continue
		case ref != nil:
			continue
		}
		all := slices.Clone(known)
		for _, ref := range c.order {
			all = append(all, ref.Name+" start", ref.Name+" end")
		}
		c.unknown(c.at("port", p.Name, "at"), "place for a port", p.At, all)
	}
}

func cutEnding(text, ending string) (string, bool) {
	if len(text) > len(ending) && text[len(text)-len(ending):] == ending {
		return text[:len(text)-len(ending)], true
	}
	return text, false
}

// airPerDegree is ρ c_p of standard air, W per (m³/s · K): q = Q / (ρ c_p ΔT). In the trade's units it is the factor 1.08
// Btu/h per cfm and °F, 60 min/h × 0.075 lb/ft³ × 0.24 Btu/(lb·°F).
const airPerDegree = 60 * 0.075 * 0.24 * quantity.BtuPerHour / (quantity.CFM * quantity.FahrenheitDeg)
