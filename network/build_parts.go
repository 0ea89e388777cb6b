package network

import (
	"cmp"

	"spillway/network/section"
)

// dampers adds the dampers at the beginning of a supply, dump or bypass line and returns the node after them.
func (b *builder) dampers(r *run, from int) int {
	for i, part := range b.damperParts(r.line) {
		to := b.node(nodeKey{AfterDamper, b.idOf[r.line], i}, Joint)
		b.damper(r, part, from, to)
		from = to
	}
	return from
}

// outlet is the node where the last duct of a return line ends: its dampers stand between it and the parent.
func (b *builder) outlet(r *run, end int) int {
	parts := b.damperParts(r.line)
	if len(parts) == 0 {
		return end
	}
	return b.beforeDamper(r, 0)
}

// outletDampers adds the dampers at the end of a return line.
func (b *builder) outletDampers(r *run, from, end int) {
	parts := b.damperParts(r.line)
	for i, part := range parts {
		to := end
		if i+1 < len(parts) {
			to = b.beforeDamper(r, i+1)
		}
		b.damper(r, part, from, to)
		from = to
	}
}

// beforeDamper is the node before a damper of a return line.
func (b *builder) beforeDamper(r *run, i int) int {
	return b.node(nodeKey{BeforeDamper, b.idOf[r.line], i}, Joint)
}

func (b *builder) damper(r *run, part damperPart, from, to int) {
	r.link(b.add(Element{word: part.word, Kind: part.kind, Side: r.side, From: from, To: to, Line: r.line.Name, Zone: r.line.Zone, Spec: part.spec}))
}

// damperPart is one damper of a line, not yet placed.
type damperPart struct {
	word string
	kind PartKind
	spec Spec
}

// damperParts lists what damps a line: its named damper, a weighted or pressure-holding damper given on the line itself, and a
// hand balance.
func (b *builder) damperParts(l *Line) []damperPart {
	var list []damperPart
	if d := b.damperNamed(l.Damper); d != nil {
		list = append(list, b.namedDamper(l, d))
	}
	for k := range parts {
		if d := parts[k].drive; d != nil && d.own != nil {
			if spec := d.own(b, l); spec != nil {
				list = append(list, damperPart{"damper", PartKind(k), spec})
			}
		}
	}
	if l.Balance != nil {
		list = append(list, damperPart{"balance", KindDamper, &DamperSpec{
			Blade: Blade{Section: l.Size.Section, Shape: defaultBlade(l.Size.Section)}, Open: *l.Balance, Stop: *l.Balance, Hand: true,
		}})
	}
	return list
}

// namedDamper is the part for a damper of the [damper] table in a line.
func (b *builder) namedDamper(l *Line, d *Damper) damperPart {
	blade := Blade{Damper: d.Name, Section: d.Size, Leakage: float64(d.Leakage.Share), LeakageClass: d.Leakage.Class}
	if blade.Section.Area() == 0 {
		blade.Section = l.Size.Section
	}
	if !d.Leakage.Given {
		blade.Leakage = -1 // the catalogue's default
	}
	kind, drive := driveNamed(d.Drive)
	if drive == nil {
		kind, drive = KindDamper, &setDamper
	}
	if drive.shaped {
		blade.Shape = cmp.Or(d.Blade, defaultBlade(blade.Section))
	}
	return damperPart{"damper", kind, drive.spec(b, d, blade)}
}

// defaultBlade is the blade that a section of that shape takes when the file does not tell.
func defaultBlade(s section.Section) string {
	if s.Shape == section.Rectangular {
		return "rectangular"
	}
	return "round"
}

func (b *builder) damperNamed(name string) *Damper { return b.job.Damper(find(b.ids.dampers, name)) }

// supplyEnd adds the register in which a supply or dump line ends.
func (b *builder) supplyEnd(r *run) {
	l := r.line
	if l.Register == nil {
		return
	}
	e := b.add(Element{word: "register", Kind: KindRegister, Side: r.side, From: r.end, To: b.air(l.Room), Line: l.Name,
		Zone: l.Zone, Room: l.Room, Spec: openingSpec(l.Register, true)})
	r.last = e
	b.g.Registers = append(b.g.Registers, Register{Element: e, Duct: r.pieces[len(r.pieces)-1], Line: l.Name, Zone: l.Zone, Room: l.Room,
		Wants: float64(l.Wants), Dump: r.side == DumpSide})
}

// grille adds the grille in which a return line begins.
func (b *builder) grille(l *Line, to int) int {
	return b.add(Element{word: "grille", Kind: KindGrille, Side: ReturnSide, From: b.air(l.Room), To: to, Line: l.Name,
		Zone: l.Zone, Room: l.Room, Spec: openingSpec(l.Grille, false)})
}

func openingSpec(o *Opening, supply bool) *OpeningSpec {
	return &OpeningSpec{Section: o.Size, Kind: o.Kind, FreeArea: float64(o.FreeArea), Drop: float64(o.Drop), At: float64(o.At),
		Balance: o.Balance, Supply: supply}
}

func transferSpec(o *Opening) *OpeningSpec {
	s := openingSpec(o, false)
	s.Transfer = true
	return s
}

// air is the node of the air in a room: its own when the room has a door that shuts, else the open house.
func (b *builder) air(room string) int {
	if n, ok := b.nodes[nodeKey{InRoom, None, int(find(b.ids.rooms, room))}]; ok {
		return n
	}
	return b.node(InHouse.at(), HouseAir)
}

// equipment builds return plenum → filter → blower → coil → supply plenum. What the blower's table includes adds no element.
func (b *builder) equipment() {
	eq := &b.job.Equipment
	spec := b.blowerSpec()
	if spec == nil {
		b.problem("no blower: name a table of the catalogue in [equipment] blower, or give a [blower] table")
		return
	}
	included := func(part string) bool {
		for _, n := range eq.Included {
			if n == part {
				return true
			}
		}
		if b.job.Blower != nil {
			for _, n := range b.job.Blower.Includes {
				if n == part {
					return true
				}
			}
		}
		return false
	}
	inlet := b.node(AtReturnPlenum.at(), Chamber)
	if eq.Filter != nil && !included("filter") {
		to := b.node(AtBlowerInlet.at(), Chamber)
		b.add(Element{word: "filter", Kind: KindFilter, Side: EquipmentSide, From: inlet, To: to, Spec: b.ratedSpec(eq.Filter, "filter")})
		inlet = to
	}
	hasCoil := eq.Coil != nil && !included("coil")
	outlet := AtSupplyPlenum
	if hasCoil {
		outlet = AtBlowerOutlet
	}
	out := b.node(outlet.at(), Chamber)
	b.g.Blower = b.add(Element{word: "blower", Kind: KindBlower, Side: EquipmentSide, From: inlet, To: out, Spec: spec})
	if hasCoil {
		b.add(Element{word: "coil", Kind: KindCoil, Side: EquipmentSide, From: out, To: b.node(AtSupplyPlenum.at(), Chamber), Spec: b.ratedSpec(eq.Coil, "coil")})
	}
	b.g.DesignAirflow = designAirflow(b.job, spec)
}

// building makes the nodes of rooms behind doors, and the doors, transfer openings and envelope leaks between them.
func (b *builder) building() {
	house := b.node(InHouse.at(), HouseAir)
	for i := range b.job.Rooms {
		if r := &b.job.Rooms[i]; ownPressure(r) {
			b.node(nodeKey{InRoom, None, i}, RoomAir)
		}
	}
	for i := range b.job.Rooms {
		r := &b.job.Rooms[i]
		if !ownPressure(r) {
			continue
		}
		from, to := b.air(r.Name), house
		if r.To != "" {
			to = b.air(r.To)
		}
		if r.Door != nil {
			b.add(Element{word: "door", Kind: KindOpening, Side: BuildingSide, From: from, To: to, Room: r.Name, Zone: r.Zone, Spec: b.doorSpec(r)})
		}
		if r.Transfer != nil {
			b.add(Element{word: "transfer", Kind: KindOpening, Side: BuildingSide, From: from, To: to, Room: r.Name, Zone: r.Zone,
				Spec: transferSpec(r.Transfer)})
		}
		if r.Envelope != nil {
			b.leak(Element{word: "envelope", Side: BuildingSide, Room: r.Name}, LeakOfRoom, from, r.Envelope)
		}
	}
	if l := b.job.Leakage.Envelope; l != nil {
		b.leak(Element{word: "house envelope", Side: BuildingSide}, LeakOfEnvelope, house, l)
	}
}

// ownPressure tells whether a room's air can stand at another pressure than the open house.
func ownPressure(r *Room) bool {
	return r.Door != nil && (r.Door.Shut == nil || *r.Door.Shut)
}

// leak adds a leak of the envelope, from a room or the house to outdoors or to another room.
func (b *builder) leak(e Element, of LeakOf, from int, l *Leak) {
	to := b.node(OutOfDoors.at(), Outdoors)
	if find(b.ids.rooms, l.To) != None || l.To == House || l.To == "inside" {
		to = b.air(l.To)
	}
	spec := b.leakSpec(cmp.Or(e.Room, e.word), l, 0)
	if spec == nil {
		return
	}
	spec.Of, spec.Share = of, 1
	e.Kind, e.From, e.To, e.Spec = KindLeak, from, to, spec
	b.add(e)
}

// reference decides which nodes have a known pressure: outdoors always, the open house unless its envelope is given.
func (b *builder) reference() {
	for i := range b.g.Nodes {
		n := &b.g.Nodes[i]
		n.Known = n.Kind == Outdoors || n.Kind == HouseAir && b.job.Leakage.Envelope == nil
	}
}
