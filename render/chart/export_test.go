package chart

import (
	"io"

	"spillway/render/ink"
)

// Crossed lists the texts of a figure that stand over a line or a bar.
func Crossed(f *Figure) []string {
	p := newPlot(f, Options{}, ink.NewSticky(io.Discard))
	p.draw()
	return p.crossed
}
