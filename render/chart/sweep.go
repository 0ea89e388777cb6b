package chart

import "math"

// Sweep is one quantity while a setting moves through its range, in the units of paper.
type Sweep struct {
	Title   string
	Setting string // label of the x axis: "main damper's stop, % open"
	Label   string // of the y axis
	At      []float64
	Curves  []SweepCurve
	Limits  []SweepLimit
	Now     float64 // where the setting stands; NaN nowhere
}

// SweepCurve is one result along Sweep.At; NaN where there is none.
type SweepCurve struct {
	Name   string
	Values []float64
}

// SweepLimit is a value that should not be passed.
type SweepLimit struct {
	Value float64
	Below bool // it is a least value: what is below is shaded
	Level Level
	Text  string
}

// Figure makes the chart of a sweep, its limits shaded on the side where they are passed.
func (s Sweep) Figure() *Figure {
	f := &Figure{Title: s.Title, X: Axis{Label: s.Setting}, Y: Axis{Label: s.Label}}
	styles := []Style{Strong, Dashed, Surplus, Dotted, Dashdot, Faint}
	for i, c := range s.Curves {
		l := Line{Name: c.Name, Style: styles[i%len(styles)], Label: c.Name}
		for k, v := range c.Values {
			if k < len(s.At) {
				l.Points = append(l.Points, XY{s.At[k], v})
			}
		}
		f.Lines = append(f.Lines, l)
		f.Key = append(f.Key, Key{Text: c.Name, Style: l.Style})
		if finite(s.Now) {
			f.Marks = append(f.Marks, Mark{At: XY{s.Now, between(s.At, c.Values, s.Now)}, Name: c.Name + " as it stands", Strong: i == 0})
		}
	}
	if n := len(s.At); n > 1 {
		f.X.From, f.X.To = s.At[0], s.At[n-1]
	}
	for _, l := range s.Limits {
		b := Band{From: l.Value, To: math.Inf(1), Level: l.Level, Rule: l.Value, Text: l.Text}
		if l.Below {
			b.From, b.To = math.Inf(-1), l.Value
		}
		f.Bands = append(f.Bands, b)
	}
	f.Desc = s.Title + " while " + s.Setting + " changes."
	return f
}

// between reads a curve between its points, for the place of a mark on the drawn line.
func between(at, values []float64, x float64) float64 {
	for k := 1; k < len(at) && k < len(values); k++ {
		if (x-at[k-1])*(x-at[k]) <= 0 && at[k] != at[k-1] {
			return values[k-1] + (values[k]-values[k-1])*(x-at[k-1])/(at[k]-at[k-1])
		}
	}
	return math.NaN()
}
