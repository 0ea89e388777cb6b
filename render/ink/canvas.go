package ink

import (
	"fmt"
	"io"
	"strings"

	svg "github.com/ajstarks/svgo/float"
)

// Canvas writes SVG: every element of svgo, and what svgo lacks or writes in a form that has no place
// inside a page (its root adds an XML declaration, its style a CDATA section).
type Canvas struct {
	*svg.SVG
	out io.Writer
}

// NewCanvas returns a Canvas that writes to out.
func NewCanvas(out io.Writer) *Canvas { return &Canvas{svg.New(out), out} }

// Root is the frame of a picture: its size, the part of the drawing that is seen, and what a screen
// reader is told.
type Root struct {
	Width, Height                float64 // natural size, px
	Top, ViewWidth, ViewHeight   float64 // the viewBox; its left edge is 0
	TitleID, Title, DescID, Desc string
}

// Open begins a picture with its title and description; End ends it. Further attributes are written
// as they are, see Attr.
func (c *Canvas) Open(r Root, attrs ...string) {
	fmt.Fprintf(c.out, `<svg xmlns="http://www.w3.org/2000/svg" width="%s" height="%s" viewBox="0 %s %s %s" aria-labelledby="%s %s" font-family="system-ui, sans-serif" %s>`+"\n",
		Number(r.Width), Number(r.Height), Number(r.Top), Number(r.ViewWidth), Number(r.ViewHeight), r.TitleID, r.DescID, strings.Join(attrs, " "))
	fmt.Fprintf(c.out, "<title id=\"%s\">%s</title>\n<desc id=\"%s\">%s</desc>\n", r.TitleID, Escape(r.Title), r.DescID, Escape(r.Desc))
}

// Sheet embeds a style sheet.
func (c *Canvas) Sheet(css string) { fmt.Fprintf(c.out, "<style>%s</style>\n", css) }

// Hatch defines a pattern of slanted stripes on a halo, pitch apart.
func (c *Canvas) Hatch(id string, pitch float64) {
	c.Pattern(id, 0, 0, pitch, pitch, "user", Attr("patternTransform", "rotate(45)"))
	d := "M" + Number(pitch/2) + " 0V" + Number(pitch)
	c.Path(d, Class("halo"))
	c.Path(d, Class("stripe"))
	c.PatternEnd()
}

// Titled opens a group with what a pointer is told; Gend ends it.
func (c *Canvas) Titled(title string, attrs ...string) {
	c.Group(attrs...)
	c.Title(Plain(title))
}

// Words writes one line of text.
func (c *Canvas) Words(x, y float64, text string, attrs ...string) {
	c.Text(x, y, Plain(text), attrs...)
}
