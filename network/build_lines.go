package network

import "slices"

// shortest piece of duct that is kept between two takeoffs at one place, m; it keeps every leg of a junction an element.
const shortestPiece = 0.05

// split parts the straight child of a line from the ones that branch off. A single unnamed child at the end of a line that
// ends in nothing else is its straight continuation too.
func (b *builder) split(l *Line, taps []tap, endsInSomething bool, end float64) (branches []tap, straight *Line) {
	for _, t := range taps {
		if t.straight {
			if straight != nil {
				b.problem("%s and %s cannot both go straight on from %s: one of them must branch off", straight.Name, t.line.Name, l.Name)
			}
			straight = t.line
			continue
		}
		branches = append(branches, t)
	}
	if straight == nil && !endsInSomething && len(branches) == 1 && branches[0].at == end && connection(branches[0].line) == "" {
		straight, branches = branches[0].line, nil
	}
	return branches, straight
}

// supplyLine builds a supply, dump or bypass line from its start node, and everything that leaves it.
func (b *builder) supplyLine(l *Line, start int, fromChamber bool) *run {
	if r := b.runs[b.idOf[l]]; r != nil {
		return r
	}
	r := b.newRun(l, sideOf(l))
	r.start = start
	length := float64(l.Length)
	ends := l.Register != nil || l.To != ""
	branches, straight := b.split(l, b.taps(l, b.leaving[along(b.idOf[l])], false), ends, length)

	cur := b.dampers(r, start)
	head := b.entryLosses(l, fromChamber)
	pos := 0.0
	nodes := make([]int, len(branches))
	for i, t := range branches {
		nodes[i] = b.tapNode(l, t.line)
		b.piece(r, cur, nodes[i], pos, t.at, head)
		cur, pos, head = nodes[i], max(pos, t.at), nil
	}
	if ends || straight != nil && length-pos > shortestPiece || len(branches) == 0 {
		to := b.endNode(l)
		b.piece(r, cur, to, pos, length, append(head, b.exitLosses(l)...))
		cur = to
	}
	r.end = cur
	var on *run // the straight child
	if straight != nil {
		on = b.supplyLine(straight, cur, false)
		if len(branches) == 0 || len(r.pieces) > len(branches) {
			b.transition(r, on) // one stream; at a junction the change of section is the junction's
		}
	}
	for i, t := range branches {
		child := b.supplyLine(t.line, nodes[i], false)
		j := Junction{Node: nodes[i], Common: r.pieces[i], Run: -1, Branch: child.first}
		switch {
		case i+1 < len(r.pieces):
			j.Run, j.RunArea = r.pieces[i+1], area(l)
		case on != nil:
			j.Run, j.RunArea = on.first, area(on.line)
			j.RunOut, j.RunIn = b.runChanges(l, on.line, l)
		}
		b.junction(j, l, t.line, child.pieces[0], false)
	}
	b.supplyEnd(r)
	return r
}

// returnLine builds a return line into its end node, and everything that leads into it.
func (b *builder) returnLine(l *Line, end int) *run {
	if r := b.runs[b.idOf[l]]; r != nil {
		return r
	}
	r := b.newRun(l, ReturnSide)
	r.end = end
	length := float64(l.Length)
	fromBox := l.From != ""
	feeders := slices.Concat(b.joining[along(b.idOf[l])], b.bypassesInto(l))
	branches, straight := b.split(l, b.taps(l, feeders, true), l.Grille != nil || fromBox, 0)

	// Where the line begins: a grille, a box, the straight feeder, or at its first branch.
	var cur int
	headPiece := l.Grille != nil || fromBox || len(branches) == 0 || straight != nil && branches[0].at > shortestPiece
	switch {
	case l.Grille != nil:
		cur = b.node(AtStart.of(b.idOf[l]), Joint)
		r.first = b.grille(l, cur)
	case fromBox:
		box, ok := b.chamber(l.From)
		if !ok {
			b.problem("%s: %q is not a chamber", l.Name, l.From)
		}
		cur = b.node(box, Chamber)
	case headPiece:
		cur = b.node(AtStart.of(b.idOf[l]), Joint)
	}
	nodes := make([]int, len(branches))
	for i, t := range branches {
		if by := b.runs[b.idOf[t.line]]; by != nil && by.side == BypassSide {
			nodes[i] = by.end
		} else {
			nodes[i] = b.tapNode(l, t.line)
		}
	}
	outlet := b.outlet(r, end) // where the last piece ends: a damper may stand between it and the end node
	losses, pos := b.entryLosses(l, fromBox), 0.0
	shift := 0 // pieces before the first branch
	if headPiece {
		to := outlet
		at := length
		if len(branches) > 0 {
			to, at = nodes[0], branches[0].at
		} else {
			losses = append(losses, b.exitLosses(l)...)
		}
		b.piece(r, cur, to, 0, at, losses)
		losses, pos, shift = nil, at, 1
	} else {
		cur = nodes[0]
	}
	r.start = cur
	for i := range branches {
		to, at := outlet, length
		if i+1 < len(branches) {
			to, at = nodes[i+1], branches[i+1].at
		} else {
			losses = append(losses, b.exitLosses(l)...)
		}
		b.piece(r, nodes[i], to, pos, at, losses)
		losses, pos = nil, max(pos, at)
	}
	b.outletDampers(r, outlet, end)

	var on *run
	if straight != nil {
		to := cur
		if !headPiece {
			to = nodes[0]
		}
		on = b.feeder(straight, to)
		if headPiece {
			b.transition(on, r) // one stream; at a junction the change of section is the junction's
		}
	}
	for i, t := range branches {
		child := b.feeder(t.line, nodes[i])
		j := Junction{Node: nodes[i], Common: r.pieces[i+shift], Run: -1, Branch: child.last}
		switch {
		case i+shift > 0:
			j.Run, j.RunArea = r.pieces[i+shift-1], area(l)
		case on != nil:
			j.Run, j.RunArea = on.last, area(on.line)
			j.RunOut, j.RunIn = b.runChanges(l, on.line, on.line)
		}
		b.junction(j, l, t.line, child.pieces[len(child.pieces)-1], true)
	}
	return r
}

// feeder builds a line that leads into a return node; a bypass is there already.
func (b *builder) feeder(l *Line, to int) *run {
	if r := b.runs[b.idOf[l]]; r != nil {
		return r
	}
	return b.returnLine(l, to)
}

// rise gives the height that a line gains to its longest piece: risers run between floors, takeoffs sit on a floor.
func (b *builder) rise(r *run) {
	var longest *DuctSpec
	for _, e := range r.pieces {
		if spec := b.g.Elements[e].Spec.(*DuctSpec); longest == nil || spec.Length > longest.Length {
			longest = spec
		}
	}
	if longest != nil {
		longest.Rise = float64(r.line.Rise)
	}
}

func (b *builder) newRun(l *Line, side Side) *run {
	r := &run{line: l, side: side, first: -1, last: -1}
	b.runs[b.idOf[l]] = r
	b.order = append(b.order, r)
	return r
}

// bypassesInto are the bypass lines that end in a return line.
func (b *builder) bypassesInto(l *Line) []*Line {
	var lines []*Line
	for i := range b.job.Bypass {
		if p, ok := b.place(b.job.Bypass[i].To); ok && p == along(b.idOf[l]) {
			lines = append(lines, &b.job.Bypass[i])
		}
	}
	return lines
}

func sideOf(l *Line) Side {
	switch l.Table {
	case ReturnTable:
		return ReturnSide
	case BypassTable:
		return BypassSide
	case DumpTable:
		return DumpSide
	}
	return SupplySide
}

// tapNode is the point of a line where another leaves or joins it.
func (b *builder) tapNode(parent, child *Line) int {
	return b.node(nodeKey{AtTap, b.idOf[parent], int(b.idOf[child])}, Joint)
}

// endNode is where a supply, dump or bypass line ends.
func (b *builder) endNode(l *Line) int {
	if chamber, ok := b.chamber(l.To); ok {
		return b.node(chamber, Chamber)
	}
	return b.node(AtEnd.of(b.idOf[l]), Joint)
}

// link notes an element as the newest of a run.
func (r *run) link(element int) {
	if r.first < 0 {
		r.first = element
	}
	r.last = element
}

// piece adds the duct of a run between two distances from its start.
func (b *builder) piece(r *run, from, to int, at, until float64, losses []Loss) {
	l := r.line
	length := max(until-at, shortestPiece)
	if len(r.pieces) == 0 && until-at <= 0 {
		length = shortestPiece
	}
	spec := b.ductSpec(l, length, losses)
	spec.First = len(r.pieces) == 0
	e := b.add(Element{Kind: KindDuct, Side: r.side, From: from, To: to, Line: l.Name, Zone: l.Zone, Room: l.Room, Spec: spec})
	if len(r.pieces) > 0 {
		b.g.Elements[e].after = b.tapping(from)
	}
	r.pieces = append(r.pieces, e)
	r.link(e)
}

// tapping is the line that leaves or joins at a node of another; a bypass joins at its own end.
func (b *builder) tapping(node int) LineID {
	if n := &b.g.Nodes[node]; n.Role != AtTap {
		return n.Line
	}
	return LineID(b.g.Nodes[node].Other)
}

func area(l *Line) float64 { return l.Size.Section.Area() }
