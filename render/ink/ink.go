// Package ink is what every SVG picture needs before it draws its first line: escaping, numbers, the width of a line of text,
// a writer that keeps its first error, and style sheets whose colours come from the palette.
//
// It must not know what is drawn: no ducts, no axes, no quantities.
package ink

import (
	"bufio"
	"encoding/xml"
	"io"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"
)

// Sticky is a buffered writer that keeps its first error, for drawing code that has nowhere to return one.
type Sticky struct {
	w   *bufio.Writer
	err error
}

// NewSticky returns a Sticky that writes to w.
func NewSticky(w io.Writer) *Sticky { return &Sticky{w: bufio.NewWriter(w)} }

// Write implements io.Writer; it never returns an error.
func (s *Sticky) Write(p []byte) (int, error) {
	if s.err == nil {
		_, s.err = s.w.Write(p)
	}
	return len(p), nil
}

// Flush writes what is left and returns the first error of all.
func (s *Sticky) Flush() error {
	if s.err == nil {
		s.err = s.w.Flush()
	}
	return s.err
}

// Number prints a length with at most two decimals; what is no number prints as 0, for SVG knows no NaN.
func Number(v float64) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return "0"
	}
	s := strconv.FormatFloat(v, 'f', 2, 64)
	s = strings.TrimRight(s, "0")
	s = strings.TrimSuffix(s, ".")
	if s == "-0" || s == "" {
		return "0"
	}
	return s
}

// Escape makes any text fit for XML content and attributes.
func Escape(s string) string {
	var b strings.Builder
	if err := xml.EscapeText(&b, []byte(Plain(s))); err != nil {
		return ""
	}
	return b.String()
}

// Attr is one attribute with its value escaped.
func Attr(name, value string) string { return name + `="` + Escape(value) + `"` }

// Class is a class attribute.
func Class(c string) string { return Attr("class", c) }

// Plain makes a text fit for XML and for one line: control characters become a space, broken UTF-8 a replacement mark.
func Plain(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r < 0x20, r == 0x7f, r >= 0x80 && r < 0xa0:
			return ' '
		case r == utf8.RuneError, r == 0xfffe, r == 0xffff:
			return '\ufffd'
		}
		return r
	}, s)
}

// Slug turns a name into what an id may be made of: lower-case ASCII letters, digits and single dashes.
func Slug(s string) string {
	var b strings.Builder
	dash := false
	for _, r := range strings.ToLower(s) {
		if r >= 'a' && r <= 'z' || r >= '0' && r <= '9' {
			if dash && b.Len() > 0 {
				b.WriteByte('-')
			}
			dash = false
			b.WriteRune(r)
			continue
		}
		dash = true
	}
	if b.Len() == 0 {
		return "x"
	}
	return b.String()
}
