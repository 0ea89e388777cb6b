package reference

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	published "spillway/network/schema"
)

// node is one JSON Schema, as far as the reference asks it. Methods of a nil node find nothing.
type node struct {
	Description          string
	Ref                  string `json:"$ref"`
	Type                 string
	Enum                 []string
	Items                *node
	Properties           map[string]*node
	AdditionalProperties json.RawMessage
	AllOf, AnyOf         []*node
	Definitions          map[string]*node
}

// schema is the schema of the job file.
type schema struct{ root *node }

// readSchema reads the schema that the program prints. It panics if that is no JSON, which the
// tests of its package exclude.
func readSchema() *schema {
	s := &schema{root: &node{}}
	if err := json.Unmarshal(published.Job(), s.root); err != nil {
		panic("reference: the schema is not JSON: " + err.Error())
	}
	return s
}

// table is the definition of a type; the file itself is that of "job".
func (s *schema) table(name string) *node {
	if name == "job" {
		return s.root
	}
	return s.root.Definitions[name]
}

// words says what a node is, in a sentence; of is the name of its Go type, with which its comment
// begins.
func (n *node) words(of string) string {
	if n == nil {
		return ""
	}
	text := n.Description
	for _, inner := range n.AnyOf {
		if text == "" && inner.Properties != nil {
			text = inner.Description
		}
	}
	if first, rest, ok := strings.Cut(text, " "); ok && (first == of || of == "") {
		for _, verb := range []string{"is ", "are "} {
			if after, ok := strings.CutPrefix(rest, verb); ok {
				text = after
			}
		}
		if rest, ok := strings.CutPrefix(text, of+" "); of != "" && ok {
			text = rest
		}
	}
	if text == "" {
		return ""
	}
	first, size := utf8.DecodeRuneInString(text)
	return string(unicode.ToUpper(first)) + strings.TrimSuffix(text[size:], ".") + "."
}

// row is the example of a row that the definition of a type has.
func (n *node) row() string {
	for _, inner := range n.AnyOf {
		if text, ok := strings.CutPrefix(inner.Description, "A row: "); ok {
			return strings.Trim(text, `"`)
		}
	}
	return ""
}

func (n *node) property(key string) *node {
	if n == nil {
		return nil
	}
	if p := n.Properties[key]; p != nil {
		return p
	}
	for _, inner := range n.AnyOf {
		if p := inner.Properties[key]; p != nil {
			return p
		}
	}
	return nil
}

// item is what stands under the names of a named table; nil for another node.
func (n *node) item() *node {
	if n == nil || len(n.AdditionalProperties) == 0 || n.AdditionalProperties[0] != '{' {
		if n != nil && len(n.AllOf) == 1 {
			return n.AllOf[0].item()
		}
		return nil
	}
	var inner node
	if json.Unmarshal(n.AdditionalProperties, &inner) != nil {
		return nil
	}
	return &inner
}

// refersTo is the name of the definition that a node refers to.
func (n *node) refersTo() string {
	if n == nil {
		return ""
	}
	return strings.TrimPrefix(n.Ref, "#/definitions/")
}

func (s *schema) resolved(n *node) *node {
	if n.Ref != "" {
		return s.root.Definitions[n.refersTo()]
	}
	return n
}

// rest lists the keys of the file that the reader's tables do not have.
func (s *schema) rest(known []Entry) (names []string) {
	for name := range s.root.Properties {
		if !slices.ContainsFunc(known, func(e Entry) bool { return e.Key == name }) {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	return names
}

// own lists the keys of a table that the file itself does not have too.
func (n *node) own(root *node) (keys []string) {
	for key := range n.Properties {
		if root.Properties[key] == nil || len(n.Properties) < len(root.Properties) {
			keys = append(keys, key)
		}
	}
	slices.Sort(keys)
	return keys
}

// form says what a key takes, in words.
func (s *schema) form(n *node) string {
	switch {
	case n == nil:
		return ""
	case n.Ref != "":
		d := s.resolved(n)
		if d.Properties != nil || slices.ContainsFunc(d.AnyOf,
			func(a *node) bool { return a.Properties != nil }) {
			return ""
		}
		return strings.TrimSuffix(d.Description, ".")
	case len(n.AllOf) == 1:
		return s.form(n.AllOf[0])
	case len(n.Enum) > 0:
		return "One of: " + strings.Join(n.Enum, ", ")
	case len(n.AnyOf) > 0:
		return s.anyForm(n.AnyOf)
	}
	switch n.Type {
	case "boolean":
		return "true or false"
	case "integer":
		return "A whole number"
	case "number":
		return "A number"
	case "string":
		return "A text"
	}
	return ""
}

// anyForm is the form of several: a list of what stands beside it, words besides any text, a
// number.
func (s *schema) anyForm(any []*node) string {
	const most = 16 // words that are listed
	first := s.form(any[0])
	if words := any[0].Enum; len(words) > most {
		first = fmt.Sprintf("Such as: %s, and %d more", strings.Join(words[:most/2], ", "),
			len(words)-most/2)
	}
	for _, n := range any[1:] {
		switch {
		case n.Type == "array":
			return first + "; or a list"
		case n.Type == "string" && len(any[0].Enum) > 0:
			return strings.Replace(first, "One of: ", "Such as: ", 1)
		}
	}
	return first
}
