package schematic

import (
	"strings"

	"spillway/network"
	"spillway/render/ink"
)

// machine draws the equipment on the axis: return plenum, cabinet with its parts, supply plenum, and the numbers that go with them.
func (a *artist) machine() {
	l := a.l
	y := l.axis
	q := a.o.Blower.Airflow
	if !finite(q) {
		q = 0
	}
	if l.f.supply.to < 0 && l.f.returns.to < 0 {
		return
	}
	a.plain(polyline{{l.cabinetX, y}, {l.supplyX - plenumWidth, y}}, q, a.element(a.g.Blower).Surplus, true)
	const half = 40.0
	a.plenum(Box{l.returnX, y - half, l.cabinetX, y + half}, network.ReturnPlenum, l.f.returns.to)
	a.plenum(Box{l.supplyX - plenumWidth, y - half, l.supplyX, y + half}, network.SupplyPlenum, l.f.supply.to)

	cabinet := Box{l.cabinetX, y - cabinetHalf, l.cabinetX + l.cabinetW, y + cabinetHalf}
	a.sc.Frames = append(a.sc.Frames, Frame{Box: cabinet, Kind: "cabinet", Text: "equipment"})
	x := l.cabinetX + cabinetPad
	for _, e := range l.f.equipment {
		a.piece(e, Box{x, y - cabinetHalf + 10, x + partWidth, y + cabinetHalf - 10})
		x += partWidth + cabinetPad
	}
	mid := (cabinet.X0 + cabinet.X1) / 2
	a.say(block{At: point{mid, cabinet.Y0 - 18}, Side: over, Lines: []line{{Text: ink.Cut(a.setting(), sizeLabel, true, l.cabinetW+110), Bold: true}}})
	under1 := "external static " + a.w.pressure(a.o.Blower.ExternalStatic)
	lines := []line{{Text: under1, Bold: true}}
	if finite(a.o.Blower.Power) {
		lines = append(lines, line{Text: "blower draws " + fixed(a.o.Blower.Power, 0) + " W"})
	}
	a.say(block{At: point{mid, cabinet.Y1 + 5}, Side: under, Lines: lines})
}

// setting says what the equipment is doing.
func (a *artist) setting() string {
	var parts []string
	s := a.o.State
	if s.Mode != "" {
		parts = append(parts, string(s.Mode))
	}
	if s.Stages > 1 {
		parts = append(parts, "stage "+fixed(float64(s.Stage), 0)+" of "+fixed(float64(s.Stages), 0))
	}
	if a.o.Blower.Tap != "" {
		parts = append(parts, a.o.Blower.Tap+" tap")
	}
	return strings.Join(parts, " · ")
}

// plenum draws one plenum with its static.
func (a *artist) plenum(b Box, name string, node int) {
	static := a.static(node)
	a.sc.Frames = append(a.sc.Frames, Frame{Box: b, Kind: "plenum", Text: name + ": static " + a.w.gauge(static)})
	lines := []line{{Text: strings.TrimSuffix(name, " plenum"), Bold: true}}
	if finite(static) {
		lines = append(lines, line{Text: a.w.gauge(static)})
	}
	a.say(block{At: point{(b.X0 + b.X1) / 2, b.Y0 - 5}, Side: over, Lines: lines})
}

// piece draws one part of the equipment: its name above the air, what it costs or gives below.
func (a *artist) piece(element int, b Box) {
	e := a.element(element)
	kind := a.g.Elements[element].Kind.String()
	number := a.w.pressureNumber(e.Drop)
	if element == a.g.Blower {
		number = a.w.gaugeNumber(-e.Drop)
	}
	a.sc.Frames = append(a.sc.Frames, Frame{Box: b, Kind: kind, Text: a.tell(a.g.Elements[element].Name, element, e)})
	mid := (b.X0 + b.X1) / 2
	a.sc.Labels = append(a.sc.Labels, Label{X: mid, Y: b.Y0 + 14, Anchor: "middle", Text: ink.Cut(kind, sizeCaption, true, partWidth-4), Size: sizeCaption, Bold: true})
	if finite(e.Drop) {
		a.sc.Labels = append(a.sc.Labels, Label{X: mid, Y: b.Y1 - 6, Anchor: "middle", Text: number, Size: sizeCaption, Class: "faint"})
	}
}

// bandsOf draws the grounds of the zones.
func (a *artist) bandsOf() {
	for i := range a.l.bands {
		p := &a.l.bands[i]
		b := Band{Box: Box{a.l.bandLeft, p.top, a.l.bandRight, p.bottom}, Name: p.zone, Dump: p.dump}
		flow := 0.0
		for i, r := range a.g.Registers {
			if r.Dump == p.dump && (p.dump || r.Zone == p.zone) && i < len(a.o.Registers) {
				flow += a.o.Registers[i].Airflow
			}
		}
		tail := ""
		switch z := a.zone(p.zone); {
		case p.dump:
			b.Name = "dump"
			tail = a.w.flow(flow) + " of surplus let out"
		case z < 0:
			if b.Name == "" {
				b.Name = "no zone"
			}
			tail = a.w.flow(flow)
		default:
			zone := a.o.Zones[z]
			b.Calling = zone.Calling
			switch {
			case zone.Calling:
				tail = "calling · gets " + a.w.flowNumber(flow) + ", wants " + a.w.flow(zone.Wants)
			case a.w.flowNumber(flow) == "0":
				tail = "satisfied · gets nothing"
			default:
				tail = "satisfied · " + a.w.flow(flow) + " bleeds in"
			}
		}
		room := b.X1 - b.X0 - 48
		name := ink.Cut(b.Name, sizeZone, true, room/2)
		b.Text = b.Name + ": " + tail
		x := b.X0 + 38
		y := b.Y0 + 22
		a.sc.Labels = append(a.sc.Labels,
			Label{X: x, Y: y, Anchor: "start", Text: name, Size: sizeZone, Bold: true},
			Label{X: x + ink.Width(name, sizeZone, true) + 8, Y: y, Anchor: "start", Text: ink.Cut(tail, 13, false, room-ink.Width(name, sizeZone, true)-8), Size: 13, Class: "faint"})
		a.sc.Bands = append(a.sc.Bands, b)
	}
}

// zone is the index of a zone by name, −1 none.
func (a *artist) zone(name string) int {
	if a.g.Job == nil || name == "" {
		return -1
	}
	for i := range a.g.Job.Zones {
		if a.g.Job.Zones[i].Name == name && i < len(a.o.Zones) {
			return i
		}
	}
	return -1
}
