package main

import (
	"os"

	"golang.org/x/term"
)

// hasColor decides once whether text may be coloured: on a terminal that is not dumb, unless NO_COLOR is set to anything.
func hasColor(out *os.File) bool {
	return os.Getenv("NO_COLOR") == "" && os.Getenv("TERM") != "dumb" && term.IsTerminal(int(out.Fd()))
}
