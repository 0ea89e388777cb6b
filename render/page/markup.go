package page

import (
	"fmt"
	"html"
	"strings"
)

// HTML is finished markup: every text in it has been escaped by the renderer that made it.
type HTML string

// markup gathers a page. Templates with reflection would keep every exported method of the program
// alive; this needs none, and text is escaped by its type.
type markup struct{ strings.Builder }

// put writes a form. Each {} in it takes the next value: HTML and whole numbers as they are, a
// string escaped, which holds in text and in quoted attributes, but neither in scripts nor styles.
func (m *markup) put(form string, values ...any) {
	for _, v := range values {
		before, after, _ := strings.Cut(form, "{}")
		m.WriteString(before)
		switch v := v.(type) {
		case HTML:
			m.WriteString(string(v))
		case string:
			m.WriteString(html.EscapeString(v))
		default:
			fmt.Fprint(m, v)
		}
		form = after
	}
	m.WriteString(form)
}

// attribute is name="value" with a blank before it, or nothing without a value.
func attribute(name, value string) HTML {
	if value == "" {
		return ""
	}
	return HTML(" " + name + `="` + html.EscapeString(value) + `"`)
}
