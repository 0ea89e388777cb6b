package networktest

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"github.com/BurntSushi/toml"
	"github.com/stretchr/testify/require"

	"spillway/network"
)

// Kinds of part that a job file names. Lines and boxes share one space of names, all others have their own.
const (
	LineName   = "line"
	BoxName    = "box"
	ZoneName   = "zone"
	DamperName = "damper"
	RoomName   = "room"
	PortName   = "port"
	CallName   = "call"
)

// tableOf says what the rows of a table of the job file name.
var tableOf = map[string]string{"supply": LineName, "return": LineName, "bypass": LineName, "dump": LineName, "box": BoxName, "zone": ZoneName,
	"damper": DamperName, "room": RoomName, "port": PortName}

// Names are the new names of the parts of a job, by kind and old name.
type Names map[string]map[string]string

// Parts lists the parts that a job file names, those of its alternatives included, in the order of the file. Each stands for itself.
func Parts(t T, data []byte) (names Names, order [][2]string) {
	t.Helper()
	names = Names{}
	add := func(kind, name string) {
		if names[kind] == nil {
			names[kind] = map[string]string{}
		}
		if _, known := names[kind][name]; !known {
			names[kind][name] = name
			order = append(order, [2]string{kind, name})
		}
	}
	root := ordered(t, data)
	var walk func(table *node)
	walk = func(table *node) {
		for _, key := range table.keys {
			child, ok := table.values[key].(*node)
			if !ok {
				continue
			}
			switch kind := tableOf[key]; {
			case key == "alternative":
				for _, name := range child.keys {
					walk(child.values[name].(*node))
				}
			case key == "panel":
				if calls, ok := child.values["call"].(*node); ok {
					for _, name := range calls.keys {
						add(CallName, name)
					}
				}
			case kind != "":
				for _, name := range child.keys {
					add(kind, name)
					if row, ok := child.values[name].(*node); ok && kind == LineName {
						if room, ok := row.values["room"].(string); ok {
							add(RoomName, room)
						}
					}
				}
			}
		}
	}
	walk(root)
	return names, order
}

// Rename writes a job file anew with other names for its parts, wherever they are referred to. What a room is used for, which the
// reader guesses from the words of its name where the file is silent, becomes what the old name says.
func Rename(t T, data []byte, names Names) []byte {
	t.Helper()
	root := ordered(t, data)
	uses(t, data, root)
	r := renamer{names}
	r.job(root)
	return root.text()
}

// text is a job file.
func (root *node) text() []byte {
	var text strings.Builder
	for _, key := range root.keys { // values before tables
		if _, ok := root.values[key].(*node); !ok {
			fmt.Fprintf(&text, "%s = %s\n", quoted(key), written(root.values[key]))
		}
	}
	for _, key := range root.keys {
		child, ok := root.values[key].(*node)
		if !ok {
			continue
		}
		fmt.Fprintf(&text, "[%s]\n", quoted(key))
		for _, name := range child.keys {
			fmt.Fprintf(&text, "%s = %s\n", quoted(name), written(child.values[name]))
		}
	}
	return []byte(text.String())
}

// uses writes down the use of every room that a line mentions.
func uses(t T, data []byte, root *node) {
	rooms := root.table("room")
	for _, alternative := range Alternatives(t, data) {
		job, found := network.Read("job.toml", data, network.Options{Alternative: alternative})
		require.NotNil(t, job, "%v", found)
		for _, l := range job.Lines() {
			if l.Room == "" {
				continue
			}
			if row := rooms.table(l.Room); row.values["use"] == nil {
				row.set("use", string(job.RoomOf(l.Room, l.Zone).Use))
			}
		}
	}
}

type renamer struct{ names Names }

// job renames what a job, or an alternative of it, names and refers to.
func (r *renamer) job(root *node) {
	for _, key := range slices.Clone(root.keys) {
		child, ok := root.values[key].(*node)
		if !ok {
			continue
		}
		kind := tableOf[key]
		for _, name := range child.keys {
			row, ok := child.values[name].(*node)
			switch {
			case key == "alternative":
				r.job(row)
			case key == "port" && !ok:
				child.values[name] = r.place(child.values[name].(string))
			case key == "leakage":
				child.values[name] = r.leak(child.values[name])
			case key == "panel" && name == "call":
				for _, call := range row.keys {
					r.call(row.values[call].(*node))
				}
				r.keys(row, CallName)
			case key == "spread" && ok:
				if of, is := row.values["of"].(string); is {
					row.values["of"] = r.path(of)
				}
			case ok && kind != "":
				r.row(kind, row)
			}
		}
		if kind != "" {
			r.keys(child, kind)
		}
	}
	if list, ok := root.values["remove"].([]any); ok {
		for i := range list {
			list[i] = r.path(list[i].(string))
		}
	} else if path, ok := root.values["remove"].(string); ok {
		root.values["remove"] = r.path(path)
	}
}

// row renames the references of one part.
func (r *renamer) row(kind string, row *node) {
	for _, key := range row.keys {
		switch v := row.values[key]; {
		case key == "zone", key == "room", key == "damper":
			row.values[key] = r.refer(key, v)
		case kind == LineName && (key == "from" || key == "to"), key == "sensor":
			row.values[key] = r.end(v.(string))
		case kind == RoomName && key == "to":
			row.values[key] = r.refer(RoomName, v)
		case key == "leakage" && kind == LineName, key == "envelope":
			row.values[key] = r.leak(v)
		case kind == PortName && key == "at":
			row.values[key] = r.place(v.(string))
		}
	}
}

func (r *renamer) call(call *node) {
	for _, key := range call.keys {
		switch key {
		case "zones":
			call.values[key] = r.refer(ZoneName, call.values[key])
		case "open":
			call.values[key] = r.refer(DamperName, call.values[key])
		case "damper":
			r.keys(call.values[key].(*node), DamperName)
		}
	}
}

// refer renames a name or a list of names.
func (r *renamer) refer(kind string, v any) any {
	switch v := v.(type) {
	case string:
		if to, ok := r.names[kind][v]; ok {
			return to
		}
	case []any:
		list := make([]any, len(v))
		for i := range v {
			list[i] = r.refer(kind, v[i])
		}
		return list
	}
	return v
}

// end renames what a line comes from or goes to.
func (r *renamer) end(name string) string {
	if to, ok := r.names[BoxName][name]; ok {
		return to
	}
	return r.refer(LineName, name).(string)
}

// place renames the place of a port.
func (r *renamer) place(at string) string {
	for _, ending := range []string{" start", " end"} {
		if line, ok := strings.CutSuffix(at, ending); ok {
			return r.end(line) + ending
		}
	}
	return r.end(at)
}

func (r *renamer) leak(v any) any {
	switch v := v.(type) {
	case string:
		if before, to, ok := strings.Cut(v, " to "); ok {
			return before + " to " + r.refer(RoomName, to).(string)
		}
	case *node:
		if to, ok := v.values["to"].(string); ok {
			v.values["to"] = r.refer(RoomName, to)
		}
	}
	return v
}

// path renames the part in a path such as damper.main.stop; its parts hold no dots.
func (r *renamer) path(path string) string {
	parts := strings.Split(path, ".")
	switch {
	case len(parts) > 2 && parts[0] == "panel":
		parts[2] = quoted(r.refer(CallName, parts[2]).(string))
	case len(parts) > 1 && tableOf[parts[0]] != "":
		parts[1] = quoted(r.refer(tableOf[parts[0]], parts[1]).(string))
	}
	return strings.Join(parts, ".")
}

// keys renames the rows of a table.
func (r *renamer) keys(table *node, kind string) {
	values := map[string]any{}
	for i, old := range table.keys {
		table.keys[i] = r.refer(kind, old).(string)
		values[table.keys[i]] = table.values[old]
	}
	table.values = values
}

// node is a table of TOML with the order of its keys.
type node struct {
	keys   []string
	values map[string]any
}

func (n *node) set(key string, v any) {
	if _, known := n.values[key]; !known {
		n.keys = append(n.keys, key)
	}
	n.values[key] = v
}

// table is the table under a key, which is made if need be.
func (n *node) table(key string) *node {
	if child, ok := n.values[key].(*node); ok {
		return child
	}
	child := &node{values: map[string]any{}}
	n.set(key, child)
	return child
}

// ordered parses a job file and keeps the order of its keys.
func ordered(t T, data []byte) *node {
	t.Helper()
	var values map[string]any
	meta, err := toml.Decode(string(data), &values)
	require.NoError(t, err)
	root := &node{values: map[string]any{}}
	for _, path := range meta.Keys() {
		here, v := root, any(values)
		for i, key := range path {
			within, ok := v.(map[string]any)
			if !ok {
				break // inside a list, which is taken as it is
			}
			if v = within[key]; i < len(path)-1 {
				here = here.table(key)
				continue
			}
			if _, ok := v.(map[string]any); ok {
				here.table(key)
			} else {
				here.set(key, v)
			}
		}
	}
	return root
}

func quoted(key string) string { return strconv.Quote(key) }

// written is a value as TOML, on one line.
func written(v any) string {
	var parts []string
	switch v := v.(type) {
	case string:
		return strconv.Quote(v)
	case float64:
		text := strconv.FormatFloat(v, 'f', -1, 64)
		if !strings.Contains(text, ".") {
			text += ".0"
		}
		return text
	case []any:
		for _, item := range v {
			parts = append(parts, written(item))
		}
		return "[" + strings.Join(parts, ", ") + "]"
	case []map[string]any:
		for _, item := range v {
			parts = append(parts, written(item))
		}
		return "[" + strings.Join(parts, ", ") + "]"
	case map[string]any:
		for _, key := range slices.Sorted(maps.Keys(v)) {
			parts = append(parts, quoted(key)+" = "+written(v[key]))
		}
		return "{ " + strings.Join(parts, ", ") + " }"
	case *node:
		for _, key := range v.keys {
			parts = append(parts, quoted(key)+" = "+written(v.values[key]))
		}
		return "{ " + strings.Join(parts, ", ") + " }"
	}
	return fmt.Sprint(v)
}
