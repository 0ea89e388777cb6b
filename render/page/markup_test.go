package page

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// What must be escaped in text and in quoted attributes is the HTML standard's, section 13.3.
func TestMarkupEscapesTextAndLeavesMarkup(t *testing.T) {
	var m markup
	m.put(`<b title="{}">{}{}</b>{}`, `"<'&{}`, "a < b", HTML("<i></i>"), 7)
	assert.Equal(t, `<b title="&#34;&lt;&#39;&amp;{}">a &lt; b<i></i></b>7`, m.String())
	assert.Equal(t, HTML(` data-why="a &#34;b&#34;"`), attribute("data-why", `a "b"`))
	assert.Empty(t, attribute("data-why", ""))
}
