package schematic

import (
	"math"
	"strings"

	"spillway/network"
	"spillway/network/quantity"
	"spillway/render/ink"
	"spillway/solver/state"
)

// figure is one of the large numbers at the top right.
type figure struct{ number, caption string }

// heading writes title, sentence and figures.
func (a *artist) heading() {
	if a.opt.Bare {
		a.sc.Title, a.sc.Desc, a.sc.Top = a.title(), a.desc(), headerHeight-18
		return
	}
	figures := a.figures()
	const pitch = 138.0
	left := a.sc.Width - margin - pitch*float64(len(figures))
	room := left - margin - 20
	a.sc.Title = a.title()
	y := 34.0
	if job := a.jobTitle(); job != "" {
		a.sc.Labels = append(a.sc.Labels, Label{X: margin, Y: y - 6, Anchor: "start", Text: ink.Cut(job, 13, false, room), Size: 13, Class: "faint"})
		y += 24
	}
	a.sc.Labels = append(a.sc.Labels, Label{X: margin, Y: y, Anchor: "start", Text: ink.Cut(a.title(), sizeTitle, true, room), Size: sizeTitle, Bold: true, Class: "title"})
	y += 25
	a.sc.Desc = a.desc()
	for _, t := range wrap(a.desc(), sizeLead, false, room, 3) {
		a.sc.Labels = append(a.sc.Labels, Label{X: margin, Y: y, Anchor: "start", Text: t, Size: sizeLead})
		y += sizeLead * 1.28
	}
	for i, f := range figures {
		x := left + pitch*float64(i)
		class := ""
		if strings.HasPrefix(f.caption, "surplus") || strings.Contains(f.caption, "surplus") {
			class = "accent"
		}
		a.sc.Labels = append(a.sc.Labels,
			Label{X: x, Y: 48, Anchor: "start", Text: ink.Cut(f.number, sizeNumber, true, pitch-8), Size: sizeNumber, Bold: true, Class: class},
			Label{X: x, Y: 66, Anchor: "start", Text: ink.Cut(f.caption, sizeCaption, false, pitch-8), Size: sizeCaption, Class: "faint"})
	}
}

// desc is the picture in a sentence, with what a difference picture cannot show: the ducts that are gone.
func (a *artist) desc() string {
	d := ink.Plain(a.opt.Sentence)
	if a.before != nil && len(a.before.gone) > 0 {
		d += " No longer there: " + strings.Join(a.before.gone, ", ") + "."
	}
	return strings.TrimSpace(d)
}

func (a *artist) jobTitle() string {
	if a.g.Job == nil {
		return ""
	}
	t := a.g.Job.Title
	if alt := a.g.Job.Alternative; alt != "" {
		if t != "" {
			t += " · "
		}
		t += "alternative " + alt
	}
	return ink.Plain(t)
}

// Title says in a few words who calls, as the picture of an outcome does.
func Title(o *state.Outcome) string { return (&artist{o: o, g: o.Graph}).title() }

// title says in a few words who calls.
func (a *artist) title() string {
	if a.opt.Title != "" {
		return ink.Plain(a.opt.Title)
	}
	s := a.o.State
	mode := string(s.Mode)
	if mode != "" {
		mode = strings.ToUpper(mode[:1]) + mode[1:]
	}
	who := ""
	all := a.g.Job != nil && len(s.Calling) == len(a.g.Job.Zones)
	switch n := len(s.Calling); {
	case n == 0:
		who = "no zone calls"
	case n == 1 && all:
		who = "the " + s.Calling[0] + " zone calls"
	case n == 1:
		who = "only the " + s.Calling[0] + " zone calls"
	case all && n == 2:
		who = "both zones call"
	case all:
		who = "all zones call"
	default:
		who = "the " + strings.Join(s.Calling[:n-1], ", ") + " and " + s.Calling[n-1] + " zones call"
	}
	parts := []string{}
	if mode != "" {
		parts = append(parts, mode)
	}
	if s.Stages > 1 {
		parts = append(parts, "stage "+fixed(float64(s.Stage), 0))
	}
	parts = append(parts, who)
	w := a.weather()
	if w != "" {
		parts = append(parts, w)
	}
	if a.before != nil {
		if w != "" && mode != "" {
			parts = parts[1:] // the weather tells the mode, and the title is long
		}
		parts = append([]string{"What changes"}, parts...)
	}
	return ink.Plain(strings.Join(parts, " · "))
}

// weather is the name of the state's weather where the job has several of the mode, so that two pictures can be told apart.
func (a *artist) weather() string {
	if a.g.Job == nil {
		return ""
	}
	rows := 0
	for i := range a.g.Job.Weather {
		if a.g.Job.Weather[i].Mode == a.o.State.Mode {
			rows++
		}
	}
	if rows < 2 {
		return ""
	}
	return a.o.State.Weather
}

// figures are the few numbers that tell the state.
func (a *artist) figures() []figure {
	o := a.o
	out := []figure{
		{a.w.flowNumber(o.Blower.Airflow), a.w.flowUnit() + " at the blower"},
	}
	share := ""
	if o.Ledger.Blower > 0 && finite(o.Ledger.Surplus) {
		share = ", " + percent(o.Ledger.Surplus/o.Ledger.Blower)
	}
	out = append(out, figure{a.w.flowNumber(o.Ledger.Surplus), a.w.flowUnit() + " surplus" + share},
		figure{a.w.pressureNumber(o.Blower.ExternalStatic), a.w.pressureUnit() + " external"})
	if a.g.Job != nil && finite(o.PerTon()) {
		unit := "cfm per ton"
		if a.w.sys == quantity.SI {
			unit = "l/s per kW"
		}
		out = append(out, figure{fixed(quantity.KindFlowPerHeat.In(o.PerTon(), a.w.sys), 0), unit})
	}
	leaving, entering := a.temperature(a.l.f.supply.to), a.temperature(a.l.f.returns.to)
	if finite(leaving) && finite(entering) && math.Abs(leaving-entering) > 0.5 {
		out = append(out, figure{a.w.temperature(leaving), "leaving, " + strings.Fields(a.w.temperature(entering))[0] + " entering"})
	}
	return out
}

// Measures of the ledger strip and the legend, px.
const (
	ledgerGap   = 46.0 // from the ducts to the strip's heading
	stripDepth  = 26.0
	ledgerStep  = 42.0 // from one row of labels to the next
	legendDepth = 74.0
)

// ledger draws the strip that repeats the split, and its labels in as many rows as they need.
func (a *artist) ledger() {
	sc := a.sc
	l := a.o.Ledger
	top := a.l.bottom + ledgerGap
	sc.Labels = append(sc.Labels, Label{X: margin, Y: top, Anchor: "start", Text: "Where the " + a.w.flow(l.Blower) + " goes", Size: sizeLead, Bold: true})
	if finite(l.Surplus) {
		sc.Labels = append(sc.Labels, Label{X: sc.Width - margin, Y: top, Anchor: "end", Text: "surplus " + a.w.flow(l.Surplus), Size: sizeLead, Bold: true, Class: "accent"})
	}
	strip := Box{margin, top + 12, sc.Width - margin, top + 12 + stripDepth}
	sc.Strip = strip
	total := 0.0
	for _, p := range l.Paths {
		if p.Airflow > 0 && finite(p.Airflow) {
			total += p.Airflow
		}
	}
	var tags []tag
	x := strip.X0
	for _, p := range l.Paths {
		if !(p.Airflow > 0) || !finite(p.Airflow) || total <= 0 {
			continue
		}
		wide := (strip.X1 - strip.X0) * p.Airflow / total
		s := Share{Box: Box{x, strip.Y0, x + wide, strip.Y1}, Kind: p.Kind, Surplus: p.Kind != state.PathWanted, Text: a.w.flow(p.Airflow) + " " + pathText(p)}
		sc.Ledger = append(sc.Ledger, s)
		if a.w.flowNumber(p.Airflow) != "0" {
			tags = append(tags, tag{left: x + min(wide/2, 4), right: x + wide - min(wide/2, 4), lines: [2]string{a.w.flow(p.Airflow), ink.Cut(pathText(p), sizeCaption, false, 270)}})
		}
		x += wide
	}
	rows := spreadTags(tags, strip.X0, strip.X1)
	for _, t := range tags {
		y := strip.Y1 + 24 + float64(t.row)*ledgerStep
		sc.Labels = append(sc.Labels,
			Label{X: t.x, Y: y, Anchor: "start", Text: t.lines[0], Size: 13, Bold: true},
			Label{X: t.x, Y: y + 15, Anchor: "start", Text: t.lines[1], Size: sizeCaption, Class: "faint"})
		if t.row <= 1 {
			from := min(max(t.x+4, t.left), t.right)
			drop := float64(t.row) * ledgerStep
			sc.Rules = append(sc.Rules, polyline{{from, strip.Y1}, {from, strip.Y1 + 5 + drop}, {t.x + 4, strip.Y1 + 11 + drop}})
		}
	}
	sc.Height = strip.Y1 + 24 + float64(max(rows, 1))*ledgerStep
}

// pathText says in the trade's words where a part of the air went.
func pathText(p state.Path) string {
	to := ink.Plain(p.To)
	switch p.Kind {
	case state.PathWanted:
		return "asked for by " + orWord(to, "the calling zones")
	case state.PathCalling:
		return "more than asked, into " + orWord(to, "the calling zones")
	case state.PathBleed:
		return "bleeds into " + to
	case state.PathBypass:
		return "back through " + orWord(to, "the bypass")
	case state.PathDump:
		return "dumped in " + to
	case state.PathLeakage:
		if to == "" || to == network.Outside {
			return "leaks out"
		}
		return to
	}
	return to
}

func orWord(s, other string) string {
	if s == "" {
		return other
	}
	return s
}

// tag is the label of one piece of the strip.
type tag struct {
	left, right float64 // of its piece of the strip
	x           float64
	row         int
	lines       [2]string
}

func (t *tag) width() float64 {
	return max(ink.Width(t.lines[0], 13, true), ink.Width(t.lines[1], sizeCaption, false)) + 16
}

// spreadTags gives each tag its place under the strip and returns the number of rows. In one row every tag stands at its piece,
// or near it; when that pushes one too far away, the tags that fit under their own pieces keep the first row and the slivers'
// tags go below.
func spreadTags(tags []tag, left, right float64) int {
	all := make([]*tag, len(tags))
	var wide, slivers []*tag
	for i := range tags {
		t := &tags[i]
		all[i] = t
		if t.right-t.left+8 >= t.width()-8 {
			wide = append(wide, t)
		} else {
			slivers = append(slivers, t)
		}
	}
	rows := fillRows(all, 0, left, right)
	far := 0.0
	for _, t := range all {
		far = max(far, t.left-t.x, t.x-t.right)
	}
	const tooFar = 60
	if rows <= 1 && far <= tooFar || len(wide) == 0 || len(slivers) == 0 {
		return rows
	}
	fillRows(wide, 0, left, right)
	return 1 + fillRows(slivers, 1, left, right)
}

// fillRows places tags side by side, as near to their pieces as the others let them, in as many rows as they need, the first
// of them row. It returns the number of rows.
func fillRows(tags []*tag, row int, left, right float64) int {
	rows := 0
	for start := 0; start < len(tags); rows++ {
		// A row takes tags until they no longer fit side by side.
		sum, end := 0.0, start
		for end < len(tags) && (end == start || sum+tags[end].width() <= right-left) {
			sum += tags[end].width()
			end++
		}
		x := left
		for _, t := range tags[start:end] {
			x = max(x, t.left-4)
			t.x, t.row = x, row+rows
			x += t.width()
		}
		edge := right + 16
		for i := end - 1; i >= start; i-- {
			tags[i].x = max(left, min(tags[i].x, edge-tags[i].width()))
			edge = tags[i].x
		}
		start = end
	}
	return rows
}

// Legend is the key of the picture.
type Legend struct {
	Top   float64
	Title string
	// Prefix of the classes of the steps: "s" for much and little, "d" for more and less.
	Prefix string
	Steps  []Box
	Plain  Box
	Hatch  Box
	Ruler  Box
	Rings  []Blade
}

// legend draws the key: colours with units, the two strands, the width of 100 cfm, the damper's sign.
func (a *artist) legend() {
	sc := a.sc
	top := sc.Height + 4
	lg := Legend{Top: top, Prefix: "s"}
	x := margin
	text := func(x, y float64, s string, bold bool) {
		class := "faint"
		if bold {
			class = ""
		}
		sc.Labels = append(sc.Labels, Label{X: x, Y: y, Anchor: "start", Text: s, Size: sizeCaption, Bold: bold, Class: class})
	}
	if a.before != nil {
		x += a.changeLegend(&lg, x, top) + 96
	} else {
		x = a.scaleLegend(&lg, text, x, top)
	}
	a.signs(&lg, text, x, top)
	sc.Legend = lg
	sc.Height = top + legendDepth
}

// scaleLegend draws the scale of much and little.
func (a *artist) scaleLegend(lg *Legend, text func(x, y float64, s string, bold bool), x, top float64) float64 {
	sc := a.sc
	steps, title := a.opt.Quantity.steps(a.w.sys)
	lg.Title = title
	text(x, top+14, title, true)
	const step = 30.0
	for i := range classes {
		b := Box{x + step*float64(i), top + 22, x + step*float64(i+1), top + 34}
		lg.Steps = append(lg.Steps, b)
		if i%2 == 0 {
			sc.Labels = append(sc.Labels, Label{X: b.X0, Y: top + 49, Anchor: "middle", Text: steps[i], Size: sizeCaption, Class: "faint"})
		}
	}
	sc.Labels[len(sc.Labels)-5].Anchor = "start"
	text(x+step*classes+6, top+32, "and more", false)

	return x + step*classes + 96
}

// signs draws the two strands, the width of an airflow and the damper's sign.
func (a *artist) signs(lg *Legend, text func(x, y float64, s string, bold bool), x, top float64) {
	sc := a.sc
	lg.Plain = Box{x, top + 6, x + 46, top + 20}
	text(x+56, top+17, "asked for by a calling zone", false)
	lg.Hatch = Box{x, top + 34, x + 46, top + 48}
	text(x+56, top+45, "surplus: follow the hatching", false)

	x += 56 + 210
	hundred := 100 * quantity.CFM
	word := "100 cfm wide"
	if a.w.sys == quantity.SI {
		hundred, word = 50*quantity.LitrePerS, "50 l/s wide"
	}
	wide := hundred * sc.Scale
	lg.Ruler = Box{x, top + 27 - wide/2, x + 46, top + 27 + wide/2}
	text(x+56, top+31, word, false)

	x += 56 + 110
	for i, d := range []float64{0, 45, 90} {
		lg.Rings = append(lg.Rings, Blade{At: point{x + 11 + 28*float64(i), top + 27}, Radius: 10, Along: point{1, 0}, Degrees: d})
	}
	text(x+92, top+24, "damper open, half turned, shut", false)
	text(x+92, top+39, "percent open · blade from open", false)
}
