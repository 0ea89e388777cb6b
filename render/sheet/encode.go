package sheet

import (
	"encoding/json"
	"math"
	"strconv"
)

// object is a JSON object whose members keep their order. Key names depend on the system of units, which struct tags cannot
// say.
type object []member

type member struct {
	key   string
	value any
}

// list is a JSON array of objects.
type list []object

// fixed is a number that is printed exactly as it stands: the rounded airflows of a ledger.
type fixed string

// layout says where the encoder breaks lines.
type layout struct {
	compact bool // everything on one line
	depth   int
}

// significant is how many digits a number is printed with.
const significant = 6

// appendNumber prints a number to six significant digits in the shortest form; a number that does not apply is null.
func appendNumber(b []byte, v float64) []byte {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return append(b, "null"...)
	}
	rounded, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', significant, 64), 64)
	if err != nil || rounded == 0 {
		return append(b, '0')
	}
	if size := math.Abs(rounded); size < 1e-6 || size >= 1e15 {
		return strconv.AppendFloat(b, rounded, 'g', -1, 64)
	}
	return strconv.AppendFloat(b, rounded, 'f', -1, 64)
}

// appendValue prints any value that the writers of this package put into an object.
func appendValue(b []byte, value any, l layout) []byte {
	switch v := value.(type) {
	case nil:
		return append(b, "null"...)
	case object:
		return appendObject(b, v, l)
	case list:
		return appendList(b, v, l)
	case fixed:
		return append(b, v...)
	case float64:
		return appendNumber(b, v)
	case int:
		return strconv.AppendInt(b, int64(v), 10)
	case bool:
		return strconv.AppendBool(b, v)
	case string:
		return appendString(b, v)
	case []string:
		b = append(b, '[')
		for i, s := range v {
			if i > 0 {
				b = append(b, ", "...)
			}
			b = appendString(b, s)
		}
		return append(b, ']')
	}
	return append(b, "null"...) // no other type is ever put in
}

// appendString prints a JSON string; bytes that are no UTF-8 become the replacement character.
func appendString(b []byte, s string) []byte {
	quoted, err := json.Marshal(s)
	if err != nil { // Marshal of a string cannot fail
		return append(b, `""`...)
	}
	return append(b, quoted...)
}

// appendObject prints an object: over several lines when it holds lists or objects of its own, else on one.
func appendObject(b []byte, o object, l layout) []byte {
	broken := !l.compact && o.nests()
	inside := layout{compact: l.compact, depth: l.depth + 1}
	b = append(b, '{')
	for i, m := range o {
		if i > 0 {
			b = append(b, ',')
		}
		switch {
		case broken:
			b = appendBreak(b, inside.depth)
		case i > 0 && !l.compact:
			b = append(b, ' ')
		}
		b = append(appendString(b, m.key), ':')
		if !l.compact {
			b = append(b, ' ')
		}
		b = appendValue(b, m.value, inside)
	}
	if broken {
		b = appendBreak(b, l.depth)
	}
	return append(b, '}')
}

func appendList(b []byte, items list, l layout) []byte {
	if len(items) == 0 {
		return append(b, "[]"...)
	}
	inside := layout{compact: l.compact, depth: l.depth + 1}
	b = append(b, '[')
	for i, o := range items {
		if i > 0 {
			b = append(b, ',')
		}
		if !l.compact {
			b = appendBreak(b, inside.depth)
		}
		b = appendObject(b, o, inside)
	}
	if !l.compact {
		b = appendBreak(b, l.depth)
	}
	return append(b, ']')
}

func appendBreak(b []byte, depth int) []byte {
	b = append(b, '\n')
	for range depth {
		b = append(b, "  "...)
	}
	return b
}

// nests tells whether an object holds something that needs lines of its own.
func (o object) nests() bool {
	for _, m := range o {
		switch v := m.value.(type) {
		case object:
			return true
		case list:
			if len(v) > 0 {
				return true
			}
		}
	}
	return false
}
