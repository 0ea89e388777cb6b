package network

import "iter"

// The identity of a part is its place in the slice that holds it, never its name: an id indexes that slice. None stands for no part.
type (
	NodeID    int // into Graph.Nodes
	ElementID int // into Graph.Elements
	LineID    int // into the lines of the job: see Job.Lines
	ZoneID    int // into Job.Zones
	DamperID  int // into Job.Dampers
	RoomID    int // into Job.Rooms
	BoxID     int // into Job.Boxes
)

// None is the id of no part.
const None = -1

// Table is the table of the job file that a line stands in.
type Table string

// The tables of lines, in the order of their ids.
const (
	SupplyTable Table = "supply"
	ReturnTable Table = "return"
	BypassTable Table = "bypass"
	DumpTable   Table = "dump"
)

// lineTable is one of the four tables with its lines.
type lineTable struct {
	name  Table
	lines []Line
}

func (j *Job) lineTables() [4]lineTable {
	return [4]lineTable{{SupplyTable, j.Supply}, {ReturnTable, j.Return}, {BypassTable, j.Bypass}, {DumpTable, j.Dump}}
}

// Lines are the lines of the supply, return, bypass and dump tables, in this order and within each table in file order. A line's id is
// its place among them.
func (j *Job) Lines() iter.Seq2[LineID, *Line] {
	return func(yield func(LineID, *Line) bool) {
		id := LineID(0)
		for _, t := range j.lineTables() {
			for i := range t.lines {
				if !yield(id, &t.lines[i]) {
					return
				}
				id++
			}
		}
	}
}

// Line is the line of that id, nil for None.
func (j *Job) Line(id LineID) *Line {
	i := int(id)
	for _, t := range j.lineTables() {
		if 0 <= i && i < len(t.lines) {
			return &t.lines[i]
		}
		i -= len(t.lines)
	}
	return nil
}

// Zone is the zone of that id, nil for None.
func (j *Job) Zone(id ZoneID) *Zone { return at(j.Zones, int(id)) }

// Damper is the damper of that id, nil for None.
func (j *Job) Damper(id DamperID) *Damper { return at(j.Dampers, int(id)) }

// Room is the room of that id, nil for None.
func (j *Job) Room(id RoomID) *Room { return at(j.Rooms, int(id)) }

// Box is the box of that id, nil for None.
func (j *Job) Box(id BoxID) *Box { return at(j.Boxes, int(id)) }

// ZoneNamed is the zone of a name that a person typed, None where there is none.
func (j *Job) ZoneNamed(name string) ZoneID {
	return idNamed[ZoneID](j.Zones, name, func(z *Zone) string { return z.Name })
}

// DamperNamed is the damper of a name that a person typed, None where there is none.
func (j *Job) DamperNamed(name string) DamperID {
	return idNamed[DamperID](j.Dampers, name, func(d *Damper) string { return d.Name })
}

// RoomNamed is the row of a room that a line or a person names, None where no row describes it.
func (j *Job) RoomNamed(name string) RoomID {
	return idNamed[RoomID](j.Rooms, name, func(r *Room) string { return r.Name })
}

// LineNamed is the line of a name that a person typed, None where there is none.
func (j *Job) LineNamed(name string) LineID {
	for id, l := range j.Lines() {
		if l.Name == name && name != "" {
			return id
		}
	}
	return None
}

func idNamed[ID ~int, T any](parts []T, name string, nameOf func(*T) string) ID {
	for i := range parts {
		if name != "" && nameOf(&parts[i]) == name {
			return ID(i)
		}
	}
	return None
}

func at[T any](parts []T, i int) *T {
	if i < 0 || i >= len(parts) {
		return nil
	}
	return &parts[i]
}

// ids finds parts of a job by the names that the file refers to them by. Those are unique within their kind: the checks see to it.
type ids struct {
	lines   map[string]LineID
	zones   map[string]ZoneID
	dampers map[string]DamperID
	rooms   map[string]RoomID
	boxes   map[string]BoxID
}

func (j *Job) ids() *ids {
	t := &ids{lines: map[string]LineID{}}
	for id, l := range j.Lines() {
		t.lines[l.Name] = id
	}
	t.zones = byName[ZoneID](j.Zones, func(z *Zone) string { return z.Name })
	t.dampers = byName[DamperID](j.Dampers, func(d *Damper) string { return d.Name })
	t.rooms = byName[RoomID](j.Rooms, func(r *Room) string { return r.Name })
	t.boxes = byName[BoxID](j.Boxes, func(b *Box) string { return b.Name })
	return t
}

func byName[ID ~int, T any](parts []T, name func(*T) string) map[string]ID {
	m := make(map[string]ID, len(parts))
	for i := range parts {
		m[name(&parts[i])] = ID(i)
	}
	return m
}

// find is the id of a name in one of the maps of ids, None where there is none.
func find[ID ~int](m map[string]ID, name string) ID {
	if id, ok := m[name]; ok && name != "" {
		return id
	}
	return None
}
