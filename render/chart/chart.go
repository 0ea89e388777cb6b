// Package chart draws curves and bars as SVG: the blower's curve with its operating points, static pressure along the air's way,
// temperatures against time, registers against what they want, and a setting moved through its range with its limits.
//
// A chart is made in two steps, as a schematic is: plain numbers in the units of paper become a Figure (axes, lines, bands, marks), and a
// Figure becomes SVG. The functions that make Figures from outcomes stand in files of their own, one chart each.
//
// The package knows axes and marks. It must not know how a number was found or what a limit means; limits come with their words. It
// opens nothing and solves nothing.
package chart

import (
	"io"
	"math"

	"spillway/render/ink"
)

// XY is one point in the units of the axes.
type XY struct{ X, Y float64 }

// Figure is a chart before it is written.
type Figure struct {
	Title string // above the axes
	Desc  string // what a screen reader is told: the chart in a sentence
	X, Y  Axis
	Bands []Band
	Lines []Line
	Marks []Mark
	Notes []Note // short texts at places, such as the parts along the air's way
	Bars  []Bar  // with bars the x axis is made of their names
	Key   []Key  // what lines and fills mean

	Width, Height float64 // px; 0 takes 560 by 340
}

// Axis is one axis. From equal To leaves the range to the data.
type Axis struct {
	Label    string
	From, To float64
	Zero     bool // the range holds zero
	Plain    bool // no ticks and no numbers
}

// Band is a range of y (or of x, with Upright) that is shaded: beyond a limit.
type Band struct {
	From, To float64 // ±Inf: to the end of the axis
	Upright  bool
	Level    Level
	Text     string
	Rule     float64 // where the limit's line stands; NaN none
}

// Level says what a band or mark is about.
type Level int

// Levels.
const (
	Neutral Level = iota
	Caution
	Fault
)

func (l Level) class() string {
	return [...]string{"neutral", "caution", "fault"}[max(0, min(2, int(l)))]
}

// Style is how a line is drawn. Lines differ by dash and weight besides colour.
type Style int

// Styles of lines.
const (
	Strong  Style = iota // thick, ink
	Faint                // thin, pale: what is there for comparison
	Dashed               // thick, dashed
	Dotted               // dotted
	Surplus              // accent, long dashes
	Dashdot              // dash and dot
)

func (s Style) class() string {
	return [...]string{"strong", "faint-line", "dashed", "dotted", "surplus-line", "dashdot"}[max(0, min(5, int(s)))]
}

// Line is one curve. A point that is not finite interrupts it.
type Line struct {
	Name   string
	Points []XY
	Style  Style
	Label  string // at its end
}

// Mark is one point.
type Mark struct {
	At     XY
	Name   string // what a pointer is told
	Label  string // beside it
	Strong bool   // the one that the chart is about
	Level  Level
}

// Note is a text at a place on the x axis, with a thin rule through the chart.
type Note struct {
	X    float64
	Text string
}

// Bar is one bar with what it should have been.
type Bar struct {
	Name  string
	Group string // bars of one group stand together
	Value float64
	// Part of Value that was asked for; the rest is hatched. NaN: all of it is plain.
	Asked  float64
	Target float64 // a line across the bar; NaN none
	Level  Level
	Text   string // what a pointer is told
	Active bool   // it calls
	// Low and High are the band about Value, as a line with ends; there is one where HasBand is set.
	Low, High float64
	HasBand   bool
}

// Key is one entry of the key.
type Key struct {
	Text  string
	Style Style
	Fill  string // "asked", "surplus", "rest", "target", "mark", "point", "quiet", "span" or "" for a line
}

// Options say how a chart is written.
type Options struct {
	Theme ink.Theme
	// Prefix comes before every id, so that several pictures can stand in one page.
	Prefix string
	// Bare leaves the style sheet out, for a page that carries StyleSheet itself.
	Bare bool
}

// Write writes a figure as SVG. The same figure gives the same bytes.
func Write(w io.Writer, f *Figure, opt Options) error {
	out := ink.NewSticky(w)
	newPlot(f, opt, out).draw()
	return out.Flush()
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

func (p XY) finite() bool { return finite(p.X) && finite(p.Y) }
