package main

import (
	"os"

	"golang.org/x/term"

	"spillway/render/sheet"
)

// hasColor decides once whether text may be coloured: on a terminal that is not dumb, unless NO_COLOR is set to anything.
func hasColor(out *os.File) bool {
	return os.Getenv("NO_COLOR") == "" && os.Getenv("TERM") != "dumb" && term.IsTerminal(int(out.Fd()))
}

// widthOf is how many columns a terminal has; 0 for what is none, or does not tell.
func widthOf(out *os.File) int {
	if !term.IsTerminal(int(out.Fd())) {
		return 0
	}
	columns, _, err := term.GetSize(int(out.Fd()))
	if err != nil {
		return 0
	}
	return columns
}

// style is how a text is laid out: for the terminal, or plainly for a file.
func (c console) style(output string) sheet.Style {
	if output != "" {
		return sheet.Style{}
	}
	return sheet.Style{Color: c.color, Width: c.width}
}
