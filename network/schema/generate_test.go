package schema

import (
	"bytes"
	"encoding/json"
	"reflect"
	"strings"

	"spillway/network"
	"spillway/network/quantity"
	"spillway/network/section"
)

// Comments are the comments of the types of a job file, by "Type" or "Type.Field".
type Comments map[string]string

// generator gathers the definitions while it walks the types.
type generator struct {
	comments    Comments
	definitions map[string]*node
}

// Generate makes the schema from the types of network.Job. Every type becomes a definition; the alternatives take the keys of the
// job without demanding any.
func Generate(comments Comments) ([]byte, error) {
	g := &generator{comments: comments, definitions: map[string]*node{}}
	job := g.object(reflect.TypeFor[network.Job]())
	root := &node{
		Schema: "http://json-schema.org/draft-07/schema#", Title: "Spillway job file",
		Description: "One zoned forced-air installation: equipment, zones, dampers and every run of duct.",
		Comment:     "Generated from the types of the program. The program itself checks more: names, sizes that fit each other, missing parts.",
		Type:        "object", Properties: job.Properties, AdditionalProperties: false,
		Required: []string{"equipment", "zone"},
	}
	for side, does := range map[string]string{"from": "leave", "to": "join"} {
		lines := namedTable(ref("line"))
		lines.Properties = map[string]*node{"each": described(text(),
			`What every run of the table has and does not say itself: "wye, boot".`)}
		job.Properties[side] = described(namedTable(lines),
			"Runs that "+does+" the part of the table's name: the key "+side+", said once.")
	}
	usual := &node{Type: "object", Properties: map[string]*node{}, AdditionalProperties: false}
	for _, part := range []string{"zone", "damper", "room", "branch", "trunk", "return", "register",
		"grille"} {
		usual.Properties[part] = described(text(), "A row of what every "+part+
			" has that does not say it itself, nor by the each of its table.")
	}
	job.Properties["usual"] = described(usual,
		"What parts have that do not say it themselves: zone = \"heat 68 F, cool 76 F\".")
	job.Properties["doubt"] = job.Properties["spread"]
	alternative := &node{Type: "object", Properties: map[string]*node{}, AdditionalProperties: false,
		Description: "A named set of overrides that says only what differs from the file as it stands."}
	for key, value := range job.Properties {
		alternative.Properties[key] = value
	}
	alternative.PatternProperties = map[string]*node{`^[a-z]+[.]`: described(&node{},
		`A quoted path, * for any name: "damper.*.stop" = "0 %".`)}
	alternative.Properties["note"] = described(text(), "What this alternative is about.")
	alternative.Properties["like"] = described(text(), "The alternative that this one starts from, where not from the file as it stands.")
	alternative.Properties["remove"] = described(listOf(0, text()),
		`Paths of parts that are taken out, with what nothing else uses: "bypass.relief", "zone.loft".`)
	alternative.Properties["replace"] = described(listOf(0, text()),
		`Paths of parts that the alternative gives anew, with nothing of what they were: "blower".`)
	g.definitions["alternative"] = alternative
	root.Properties["alternative"] = described(namedTable(ref("alternative")), "Named sets of overrides; --alternative NAME applies one.")
	root.Definitions = g.definitions

	var out bytes.Buffer
	encoder := json.NewEncoder(&out)
	encoder.SetEscapeHTML(false)
	encoder.SetIndent("", "  ")
	if err := encoder.Encode(root); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

// field is what the tags of a struct field say, as the reader of job files takes them.
type field struct {
	key, limit  string
	short, size bool
	of          reflect.StructField
}

func fieldsOf(t reflect.Type) []field {
	var fields []field
	for i := range t.NumField() {
		f := t.Field(i)
		key, option, _ := strings.Cut(f.Tag.Get("toml"), ",")
		if key != "" && key != "-" {
			fields = append(fields, field{key: key, limit: f.Tag.Get("limit"), short: option == "short", size: f.Tag.Get("bare") == "size", of: f})
		}
	}
	return fields
}

// leastItems returns how many items a list has at least: an empty one is refused unless it says "none".
func leastItems(f field) int {
	if f.of.Tag.Get("empty") == "ok" {
		return 0
	}
	return 1
}

// object is a table with the keys of a struct.
func (g *generator) object(t reflect.Type) *node {
	n := &node{Type: "object", Description: g.comments[t.Name()], Properties: map[string]*node{}, AdditionalProperties: false}
	for _, f := range fieldsOf(t) {
		n.Properties[f.key] = described(g.value(f.of.Type, t, f), g.comments[t.Name()+"."+f.of.Name])
	}
	return n
}

// value is what may stand for a field.
func (g *generator) value(t, holder reflect.Type, f field) *node {
	if t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	if n := g.special(t, f); n != nil {
		return n
	}
	words, closed := network.Choices(holder.Name(), f.key)
	switch t.Kind() {
	case reflect.Slice:
		element := t.Elem()
		if isNamed(element) {
			return namedTable(g.structure(element))
		}
		return listOf(leastItems(f), g.value(element, holder, f))
	case reflect.Struct:
		return g.structure(t)
	case reflect.Bool:
		return &node{Type: "boolean"}
	case reflect.Int:
		n := number(1, 1000)
		n.Type = "integer"
		return n
	case reflect.Float64:
		return anyOf(number(0, 1e6), g.doubt())
	}
	return choice(words, closed)
}

// choice is a text that is one of some words, or for which an editor should offer them.
func choice(words []string, closed bool) *node {
	switch {
	case len(words) == 0:
		return text()
	case closed:
		return &node{Type: "string", Enum: words}
	}
	return anyOf(&node{Type: "string", Enum: words}, text())
}

// isNamed tells whether a slice of this type is a named table in the file.
func isNamed(t reflect.Type) bool {
	if t.Kind() != reflect.Struct || t == reflect.TypeFor[network.FittingUse]() {
		return false
	}
	f, ok := t.FieldByName("Name")
	return ok && f.Tag.Get("toml") == ""
}

// structure refers to the definition of a struct, which it makes on the way. What may be written short may also be the short value.
func (g *generator) structure(t reflect.Type) *node {
	name := strings.ToLower(t.Name())
	if _, ok := g.definitions[name]; !ok {
		g.definitions[name] = nil // taken, should the type hold itself
		n := g.object(t)
		var short *node
		for _, f := range fieldsOf(t) {
			if f.short {
				short = n.Properties[f.key]
			}
		}
		switch t {
		case reflect.TypeFor[network.Opening]():
			short = g.special(reflect.TypeFor[network.Size](), field{})
		case reflect.TypeFor[network.Leak]():
			short = described(text(), `"4 % of blower at 25 Pa", "40 cfm at 25 Pa" or "class 12", each with " to attic" behind it if need be`)
		}
		if words, ok := rowTexts[t]; ok {
			n.Properties["row"] = described(text(), "A row beside keys of the table's own: "+words)
			short = described(text(), "A row: "+words)
		}
		if short != nil {
			n = &node{Description: n.Description, AnyOf: []*node{short, n}}
		}
		g.definitions[name] = n
	}
	return ref(name)
}

// rowTexts are the parts that may be written as a row, with an example.
var rowTexts = map[reflect.Type]string{
	reflect.TypeFor[network.Site]():       `"450 ft"`,
	reflect.TypeFor[network.Weather]():    `"cooling, outdoor 93 F, indoor 75 F, humidity 50 %"`,
	reflect.TypeFor[network.Machine]():    `"3 ton, sensible 75 %, tap high"`,
	reflect.TypeFor[network.Stage]():      `"1.6 ton, tap low"`,
	reflect.TypeFor[network.Resistance](): `"0.08 inwc at 1200 cfm"`,
	reflect.TypeFor[network.Zone]():       `"640 cfm, 1450 ft2, loss 30 kBtu/h, gain 15 kBtu/h"`,
	reflect.TypeFor[network.Damper]():     `"stop 25 %"`,
	reflect.TypeFor[network.Box]():        `a note`,
	reflect.TypeFor[network.Line]():       `"7 in, 14 ft, 2x elbow, 10x6, 130 cfm"`,
	reflect.TypeFor[network.Room]():       `"bedroom, 120 ft2, listener 5 ft"`,
}

// special are the types that have a written form of their own; nil for all others.
func (g *generator) special(t reflect.Type, f field) *node {
	switch t {
	case reflect.TypeFor[quantity.System]():
		return &node{Type: "string", Enum: []string{"ip", "si"}}
	case reflect.TypeFor[network.Mode]():
		return &node{Type: "string", Enum: []string{string(network.Cooling), string(network.Heating), string(network.Fan)}}
	case reflect.TypeFor[network.Names]():
		return listOf(leastItems(f), text())
	case reflect.TypeFor[network.FittingUse]():
		words, _ := network.Choices("Line", "fittings")
		return described(choice(words, false), `A fitting of the catalogue, with a count before it ("2x elbow 90 smooth"), "C = 0.35" or "15 ft equivalent".`)
	case reflect.TypeFor[network.Position]():
		return g.define("position", func() *node {
			return described(anyOf(&node{Type: "string", Enum: []string{"open", "shut"}}, percentNumber(),
				&node{Type: "string", Pattern: quantity.KindFraction.Pattern(false)},
				&node{Type: "string", Pattern: degreesPattern()}, g.doubt(),
				&node{Type: "string", Pattern: `^[ \t]*([oO][pP][eE][nN]|[sS][hH][uU][tT]|[cC][lL][oO][sS][eE][dD])[ \t]*$`}),
				`How far a damper is open: "25 %", "open", "shut", or degrees of blade with the end that they count from: "22 deg from shut".`)
		})
	case reflect.TypeFor[network.Scheduled]():
		return g.define("scheduled", func() *node {
			temperature := quantity.KindTemperature.Pattern(true)
			return described(anyOf(&node{Type: "number"}, &node{Type: "string", Pattern: temperature},
				&node{Type: "string", Pattern: "^[ \t]*[0-9]{1,2}:(00|15|30|45)[ \t]+" + strings.TrimPrefix(temperature, "^")}),
				`A set point with the time of the day from which it holds: "6:00 70 F"; without a time it holds all day.`)
		})
	case reflect.TypeFor[network.DamperLeakage]():
		return g.define("damperleakage", func() *node {
			return described(anyOf(percentNumber(), &node{Type: "string",
				Pattern: quantity.KindFraction.Pattern(false)}, g.doubt(),
				&node{Type: "string", Pattern: "^[ \t]*[cC][lL][aA][sS][sS] "}), `How tight a damper shuts: "3 %" of its nominal flow, or "class 1A".`)
		})
	case reflect.TypeFor[network.Size](), reflect.TypeFor[section.Section]():
		return g.define("size", func() *node {
			return described(anyOf(number(0, 5000), &node{Type: "string", Pattern: "^[ \t]*[0-9.]"},
				g.doubt()),
				`A section: "14 in", "20x8 in", "30x8 in oval", "250 mm", with the material behind it if need be ("6 in flex").`)
		})
	}
	return g.quantity(t, f)
}

func (g *generator) define(name string, make func() *node) *node {
	if _, ok := g.definitions[name]; !ok {
		g.definitions[name] = make()
	}
	return ref(name)
}

// doubt is a value with its doubt; the program checks what stands in it.
func (g *generator) doubt() *node {
	return g.define("doubt", func() *node {
		const about = "[aA][bB][oO][uU][tT]|[rR][oO][uU][gG][hH][lL][yY]|" +
			"[aA][pP][pP][rR][oO][xX][iI][mM][aA][tT][eE][lL][yY]|[cC][aA][.]"
		pattern := "^[ \t]*([uU][nN][kK][nN][oO][wW][nN][ \t]*$|(~|(" + about +
			")[ \t])[ \t]*[0-9.+-]|" +
			"[-+]?[0-9.].*([+]/?-|±|[pP]lus or minus|[gG]ive or take|[ \t][tT][oO][ \t]|" +
			"[.][.]|[(]).*[0-9]|" +
			"[0-9.]+[^-–0-9]*[-–][ \t]*[0-9.]+([^0-9.-].*)?$)" // "10-30 ft", and no date
		return described(&node{Type: "string", Pattern: pattern},
			`A value with its doubt: `+
				`"about 20 ft", "20 ft +- 2 ft", "10 to 30 ft", "4 % (2 to 8 %)" or "unknown".`)
	})
}

// degreesPattern matches degrees of blade with the end that they count from.
func degreesPattern() string {
	return strings.TrimSuffix(quantity.KindAngle.Pattern(false), "$") + "[ \t]*[fF][rR][oO][mM] +([fF][uU][lL][lL][yY] +)?" +
		"([oO][pP][eE][nN]|[sS][hH][uU][tT]|[cC][lL][oO][sS][eE][dD])[ \t]*$"
}

// percentNumber is a bare number for a percentage; those that could mean a share of one are refused, as the reader does.
func percentNumber() *node {
	zero, one, hundred := 0.0, 1.0, 100.0
	return anyOf(&node{Type: "number", Minimum: &zero, Maximum: &zero}, &node{Type: "number", ExclusiveMinimum: &one, Maximum: &hundred})
}
