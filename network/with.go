package network

import (
	"maps"
	"reflect"
	"slices"
	"strings"

	"spillway/network/diag"
)

// source is what a job was read from.
type source struct {
	name  string
	data  []byte
	opt   Options
	found diag.List // what was remarked on; no errors
}

// With returns the installation with settings changed, each PATH=VALUE as Options.Set takes them. It is
// what Read and Build make of g's job file with these settings after its own: the list is Read's, and the
// graph is nil exactly when the settings are refused. g must be as Build made it of a job from Read.
//
// Where every setting is local (see Local) and nothing is remarked on, the file is not read again: the
// value is decoded into a copy of its row, the row is checked, and the specs of its elements are made
// again. The graph then shares with g its nodes, junctions, registers and all other specs.
func (g *Graph) With(set ...string) (*Graph, diag.List) {
	s := g.Job.source
	if next, ok := g.vary(set); ok {
		return next, s.found
	}
	opt := s.opt
	opt.Set = slices.Concat(opt.Set, set)
	job, found := Read(s.name, s.data, opt)
	if job == nil {
		return nil, found
	}
	next, err := Build(job)
	if err != nil {
		return nil, append(found, diag.Diagnostic{File: s.name, Summary: err.Error()})
	}
	return next, found
}

// Local reports whether a setting PATH=VALUE or PATH concerns nothing but the figures of one part, so that
// With can change it without reading the job file again.
func Local(setting string) bool {
	_, _, _, ok := localPath(setting)
	return ok
}

// localPath takes the path of a local setting apart into its row and its key, with the type of its value.
func localPath(setting string) (row []string, f field, of reflect.Type, ok bool) {
	text, _, _ := strings.Cut(setting, "=")
	path, ok := SplitPath(text)
	if !ok || len(path) < 2 || strings.Contains(text, "*") {
		return nil, f, nil, false
	}
	row, key := path[:len(path)-1], path[len(path)-1]
	t := reflect.TypeFor[Job]()
	for i := 0; i < len(row); i++ {
		table, ok := fieldNamed(fieldsOf(t), row[i])
		if !ok {
			return nil, f, nil, false
		}
		switch t = t.Field(table.index).Type; t.Kind() {
		case reflect.Pointer:
			t = t.Elem()
		case reflect.Slice:
			t = t.Elem()
			i++ // its name
		}
		if t.Kind() != reflect.Struct || i == len(row) {
			return nil, f, nil, false
		}
	}
	f, ok = fieldNamed(fieldsOf(t), key)
	if !ok || !f.local {
		return nil, f, nil, false
	}
	if of = t.Field(f.index).Type; of.Kind() == reflect.Pointer {
		of = of.Elem()
	}
	return row, f, of, true
}

// variant is a graph with local settings changed, in the making.
type variant struct {
	*builder
	read *reader
	was  *node // the tree as it was
	rows [][]string
}

// vary changes local settings; ok is false when it takes the reader to say what they come to.
func (g *Graph) vary(set []string) (next *Graph, ok bool) {
	if g.Job.tree == nil {
		return nil, false
	}
	job, copied := *g.Job, *g
	copied.Job, copied.Elements = &job, slices.Clone(g.Elements)
	v := &variant{
		builder: &builder{g: &copied, job: &job, ids: g.ids, nodes: g.nodes},
		read:    &reader{name: job.source.name, root: job.tree, system: job.Units}, was: job.tree,
	}
	for _, setting := range set {
		row, f, _, ok := localPath(setting)
		if _, value, _ := strings.Cut(setting, "="); !ok || mayDoubt(value) {
			return nil, false
		}
		v.read.root = v.read.root.branch(append(row, f.key)...)
		v.read.set(setting)
		if !slices.ContainsFunc(v.rows, func(other []string) bool { return slices.Equal(row, other) }) {
			v.rows = append(v.rows, row)
		}
	}
	job.Doubts = slices.DeleteFunc(slices.Clone(job.Doubts), func(d Doubt) bool {
		return slices.ContainsFunc(set, func(s string) bool { return settingAt(s, d.Path) })
	})
	for _, row := range v.rows {
		if !v.row(row) {
			return nil, false
		}
	}
	if len(v.read.found) > 0 || len(v.problems) > 0 {
		return nil, false
	}
	job.tree = v.read.root
	from := *job.source
	from.opt.Set = slices.Concat(from.opt.Set, set)
	job.source = &from
	return &copied, true
}

// settingAt reports whether a setting PATH=VALUE is at a path.
func settingAt(setting, path string) bool {
	text, _, _ := strings.Cut(setting, "=")
	parts, ok := SplitPath(text)
	return ok && PathText(parts...) == path
}

// row decodes, checks and builds again what a row of the job file has of local settings.
func (v *variant) row(path []string) bool {
	n, all := v.read.root.find(path...)
	if !all || !n.table || n.made || v.remarked(path) {
		return false
	}
	within := PathText(path...) + "."
	for i := range v.job.Doubts {
		if d := &v.job.Doubts[i]; d.Prior != "" && strings.HasPrefix(d.Path, within) {
			return false // what it is chosen by is the reader's
		}
	}
	v.read.path = path // the doubts of the row stay as they are
	c := &checker{reader: v.read, job: &Job{Equipment: v.job.Equipment, Blower: v.job.Blower}}
	switch path[0] {
	case "damper":
		i := v.job.DamperNamed(path[1])
		if i == None {
			return false
		}
		v.job.Dampers = slices.Clone(v.job.Dampers)
		d := v.job.Damper(i)
		v.decode(n, d)
		c.damperSettings(d)
		if e := v.g.ElementOf(i); e != None && !v.lineSpecs(v.g.Elements[e].LineID) {
			return false
		}
	case "equipment":
		part := &v.job.Equipment.Filter
		if path[1] == "coil" {
			part = &v.job.Equipment.Coil
		}
		if *part == nil {
			return false
		}
		changed := **part
		*part = &changed
		v.decode(n, *part)
		c.resistance(path[1], *part)
		for i := range v.g.Elements {
			if e := &v.g.Elements[i]; e.Side == EquipmentSide && e.word == path[1] {
				e.Spec = v.ratedSpec(*part, path[1])
			}
		}
	case "leakage":
		was := v.job.Leakage
		v.decode(n, &v.job.Leakage)
		c.leak1(v.job.Leakage.Supply, false, "leakage", "supply")
		c.leak1(v.job.Leakage.Return, false, "leakage", "return")
		if !v.leakSpecs(LeakOfSupply, was.Supply, v.job.Leakage.Supply) || !v.leakSpecs(LeakOfReturn, was.Return, v.job.Leakage.Return) {
			return false
		}
	default:
		i := v.job.LineNamed(path[1])
		if i == None || string(v.job.Line(i).Table) != path[0] {
			return false
		}
		table := map[Table]*[]Line{SupplyTable: &v.job.Supply, ReturnTable: &v.job.Return, BypassTable: &v.job.Bypass, DumpTable: &v.job.Dump}[Table(path[0])]
		*table = slices.Clone(*table)
		ref := &lineRef{Line: v.job.Line(i), table: path[0]}
		v.decode(n, ref.Line)
		c.flexible(ref)
		c.reliefOf(ref)
		if !v.lineSpecs(i) {
			return false
		}
	}
	return v.assumed(path, c.job.Assumptions)
}

// decode fills the local fields of a row from its table; what a check had put in for them is gone.
func (v *variant) decode(n *node, row any) {
	value := reflect.ValueOf(row).Elem()
	for _, f := range fieldsOf(value.Type()) {
		if !f.local {
			continue
		}
		value.Field(f.index).SetZero()
		if child := n.child(f.key); child != nil {
			v.read.within(f.key, func() { v.read.decode(child, value.Field(f.index), f) })
		}
	}
}

// remarked reports whether something was remarked on at a local setting of a row as it was.
func (v *variant) remarked(path []string) bool {
	if len(v.job.source.found) == 0 {
		return false
	}
	n, _ := v.was.find(path...)
	for _, child := range n.children {
		var key, value diag.Diagnostic
		child.key.place(&key)
		child.value.place(&value)
		for _, d := range v.job.source.found {
			if d.File == key.File && d.Line == key.Line && (d.Column == key.Column || d.Column == value.Column) {
				return true
			}
		}
	}
	return false
}

// lineSpecs makes the specs of a line's ducts and dampers again; false when its parts are no longer the same.
func (v *variant) lineSpecs(id LineID) bool {
	l := v.job.Line(id)
	dampers := v.damperParts(l)
	for i := range v.g.Elements {
		e := &v.g.Elements[i]
		if e.LineID != id {
			continue
		}
		if spec, ok := e.Spec.(*DuctSpec); ok {
			if multiplier := flexMultiplier(l); multiplier != spec.Multiplier {
				changed := *spec
				changed.Multiplier = multiplier
				e.Spec = &changed
			}
		}
		if BladeOf(e.Spec) != nil {
			if len(dampers) == 0 || dampers[0].kind != e.Kind || dampers[0].word != e.word {
				return false
			}
			if !reflect.DeepEqual(e.Spec, dampers[0].spec) {
				e.Spec = dampers[0].spec
			}
			dampers = dampers[1:]
		}
	}
	return len(dampers) == 0
}

// leakSpecs makes the leaks again that are part of a figure for a whole side; false when they go elsewhere.
func (v *variant) leakSpecs(of LeakOf, was, is *Leak) bool {
	if was == nil || is == nil {
		return was == is
	}
	whole := is.Spec(v.g.DesignAirflow, 0)
	if was.To != is.To || was.Spec(v.g.DesignAirflow, 0) == nil || whole == nil {
		return false
	}
	for i := range v.g.Elements {
		e := &v.g.Elements[i]
		if part, ok := e.Spec.(*LeakSpec); ok && part.Of == of {
			own := *part
			own.Coefficient, own.Exponent = whole.Coefficient*part.Share, whole.Exponent
			e.Spec = &own
		}
	}
	return true
}

// assumed puts the defaults of a row's local settings in place of those that it had; false when there is a
// new one.
func (v *variant) assumed(row []string, now []Assumption) bool {
	list := make([]Assumption, 0, len(v.job.assumed))
	within := PathText(row...) + "."
	for _, a := range v.job.assumed {
		if !strings.HasPrefix(a.Path, within) || !Local(a.Path) {
			list = append(list, a)
			continue
		}
		if slices.ContainsFunc(v.job.Doubts, func(d Doubt) bool { return d.Path == a.Path }) {
			list = append(list, a)
			continue
		}
		if i := slices.IndexFunc(now, func(b Assumption) bool { return a.Path == b.Path }); i >= 0 {
			list = append(list, now[i])
			now = slices.Delete(now, i, i+1)
		}
	}
	if len(now) > 0 {
		return false
	}
	if !slices.Equal(list, v.job.assumed) {
		v.job.assumed, v.job.Assumptions = list, Grouped(list)
	}
	return true
}

// branch copies a tree along a path, so that what lies on it can be changed; all else is shared.
func (n *node) branch(path ...string) *node {
	c := *n
	c.children, c.byName = slices.Clone(n.children), maps.Clone(n.byName)
	if len(path) > 0 {
		if child := n.child(path[0]); child != nil {
			own := child.branch(path[1:]...)
			c.children[slices.Index(c.children, child)], c.byName[path[0]] = own, own
		}
	}
	return &c
}
