package schema

// node is one JSON Schema. Keys come out in the order of the fields, properties in alphabetical order.
type node struct {
	Schema               string           `json:"$schema,omitempty"`
	Comment              string           `json:"$comment,omitempty"`
	Title                string           `json:"title,omitempty"`
	Description          string           `json:"description,omitempty"`
	Ref                  string           `json:"$ref,omitempty"`
	Type                 string           `json:"type,omitempty"`
	Enum                 []string         `json:"enum,omitempty"`
	Pattern              string           `json:"pattern,omitempty"`
	MaxLength            int              `json:"maxLength,omitempty"`
	Minimum              *float64         `json:"minimum,omitempty"`
	ExclusiveMinimum     *float64         `json:"exclusiveMinimum,omitempty"`
	Maximum              *float64         `json:"maximum,omitempty"`
	Items                *node            `json:"items,omitempty"`
	MinItems             int              `json:"minItems,omitempty"`
	Properties           map[string]*node `json:"properties,omitempty"`
	PropertyNames        *node            `json:"propertyNames,omitempty"`
	PatternProperties    map[string]*node `json:"patternProperties,omitempty"`
	AdditionalProperties any              `json:"additionalProperties,omitempty"` // *node or false
	Required             []string         `json:"required,omitempty"`
	AllOf                []*node          `json:"allOf,omitempty"`
	AnyOf                []*node          `json:"anyOf,omitempty"`
	Definitions          map[string]*node `json:"definitions,omitempty"`
}

func ref(name string) *node { return &node{Ref: "#/definitions/" + name} }

func anyOf(a ...*node) *node { return &node{AnyOf: a} }

func text() *node { return &node{Type: "string"} }

func number(least, most float64) *node { return &node{Type: "number", Minimum: &least, Maximum: &most} }

// described puts a description beside a schema; beside a reference it would be ignored in draft 7.
func described(n *node, description string) *node {
	if description == "" {
		return n
	}
	if n.Ref != "" {
		n = &node{AllOf: []*node{n}}
	}
	n.Description = description
	return n
}

// listOf is a list of at least some items, or one item in its place, as the reader takes it.
func listOf(least int, item *node) *node {
	return anyOf(item, &node{Type: "array", Items: item, MinItems: least})
}

// namedTable is a table whose keys are names of the file's own.
func namedTable(item *node) *node {
	return &node{Type: "object", AdditionalProperties: item, PropertyNames: &node{MaxLength: 60, Pattern: `^[^\x00-\x1f\x7f]+$`}}
}
