package network

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"spillway/network/diag"
	"spillway/network/quantity"
	"spillway/network/section"
)

// Doubt is how well one value of the job is known: between Low and High in 95 of 100 houses like
// it.
//
// Its Middle is what everything solves with. The three are SI values of Kind, with Low ≤ Middle ≤
// High; of a size they are the diameter or the width of the duct, of a count of fittings a number.
type Doubt struct {
	Path              string // of the value, "supply.kitchen.length"
	Kind              quantity.Kind
	Text              string // as the file writes it
	Middle, Low, High float64
	// Shape is EvenShape, with as much weight on either side of the middle, or BellShape, whose
	// ends are two standard deviations off. The spreads of a bell by a factor (Factor) are those of
	// the logarithm.
	Shape  string
	Factor bool
	// Prior is the reason of a value that the file calls unknown, "" where the file gives it.
	Prior string
	// Choices are the words that an unknown word stands for, equally likely; Middle, Low and High
	// are their indices.
	Choices []string

	before, after string // what an override writes around the number
	unit          float64
	least, most   float64 // what an override may say
	whole         bool    // only whole numbers of the unit
	omitZero      bool    // a count: the item goes when it is zero
	items         []string
	item          int
}

// Override writes the value x of the doubt as an override, PATH=VALUE, of Options.Set.
func (d *Doubt) Override(x float64) (path, value string) {
	if d.Choices != nil {
		return d.Path, d.Choices[min(max(int(math.Floor(x+0.5)), 0), len(d.Choices)-1)]
	}
	x = min(max(x, d.least), d.most) / d.unit
	if d.whole {
		x = math.Round(x)
	}
	text := d.before + strconv.FormatFloat(x, 'f', -1, 64) + d.after
	if d.items == nil {
		return d.Path, text
	}
	var list []string
	for i, item := range d.items {
		switch {
		case i != d.item:
			list = append(list, strconv.Quote(item))
		case !d.omitZero || x > 0:
			list = append(list, strconv.Quote(text))
		}
	}
	return d.Path, "[" + strings.Join(list, ", ") + "]"
}

// Spans of "about", all our choice: factors for what scatters by factors, shares for what is
// measured.
const (
	aboutLength      = 1.25
	aboutMeasured    = 0.15 // airflow, loads, pressures, areas
	aboutLeakage     = 2.0
	aboutLoading     = 1.5
	aboutShare       = 1.5
	aboutTemperature = 2 * quantity.FahrenheitDeg
	aboutBlade       = 5 / fullBlade
)

// aboutSpan is the span of "about" a value of a kind; factor is set where it is one by a factor.
func aboutSpan(kind quantity.Kind, f field, x float64) (low, high float64, factor bool) {
	by := func(k float64) (float64, float64, bool) { return x / k, x * k, true }
	switch kind {
	case quantity.KindLength, quantity.KindSize, quantity.KindInsulation:
		return by(aboutLength)
	case quantity.KindTemperature, quantity.KindTemperatureSpan:
		return x - aboutTemperature, x + aboutTemperature, false
	case quantity.KindAngle:
		return max(0, x-5), x + 5, false
	case quantity.KindFraction:
		if f.key == "leakage" {
			return by(aboutLeakage)
		}
		return x / aboutShare, min(x*aboutShare, 1), true
	case quantity.Unknown:
		return by(aboutLoading)
	}
	return x - aboutMeasured*math.Abs(x), x + aboutMeasured*math.Abs(x), false
}

// doubtful reads a value whose text states a doubt: the middle is returned and the doubt kept by
// the reader. ok is false for a value without doubt. read reads a value of the key, with its
// bounds, and by a difference of two.
func (r *reader) doubtful(n *node, kind quantity.Kind, f field, read func(*node) float64,
	about func(x float64) (low, high float64, factor bool)) (middle float64, ok bool) {
	text, isText := n.leaf.(string)
	if !isText {
		return 0, false
	}
	w, err := quantity.ParseDoubt(text)
	if err != nil {
		r.doubtError(n, err)
		return 0, true
	}
	if w.Form == quantity.Certain {
		return 0, false
	}
	if why := r.certain(f); why != "" {
		r.fail(n.value, "write one value", "%q: %s", text, why)
		return 0, true
	}
	d := Doubt{Path: PathText(r.path...), Kind: kind, Text: text, Shape: EvenShape}
	d.unit, d.before, d.after = 1, "", siUnit(kind)
	if kind == quantity.KindFraction {
		d.unit, d.after = 0.01, " %"
	}
	said := len(r.found)
	part := func(text string) float64 {
		other := *n
		other.leaf = text
		return read(&other)
	}
	switch w.Form {
	case quantity.Nothing:
		if !r.unknown(n, &d) {
			return 0, true
		}
	case quantity.About:
		d.Middle, d.Shape = part(w.Value), BellShape
		if d.Low, d.High, d.Factor = about(d.Middle); d.Low == d.High && len(r.found) == said {
			r.fail(n.value, `write a range, such as "0 to 5 %"`, "%q: nothing is about zero", text)
		}
	case quantity.Within:
		d.Middle, d.Shape = part(w.Value), BellShape
		by, err := r.difference(kind, w, d.Middle, n.name == "stop" || n.name == "open" ||
			n.name == "balance")
		switch {
		case err != nil && len(r.found) == said:
			r.unitError(n, kind, f, err)
		case by < 0:
			r.fail(n.value, "leave the sign out", "%q: a span below zero", text)
		}
		d.Low, d.High = d.Middle-by, d.Middle+by
	case quantity.Between, quantity.Spanned:
		d.Low, d.High = part(w.Low), part(w.High)
		d.Middle = (d.Low + d.High) / 2
		if d.Low > d.High && len(r.found) == said {
			fix := fmt.Sprintf("write %q", w.High+" to "+w.Low)
			if w.Form == quantity.Spanned {
				fix = fmt.Sprintf("write %q", fmt.Sprintf("%s (%s to %s)", w.Value, w.High, w.Low))
			}
			r.fail(n.value, fix, "%q: the range runs backwards", text)
		}
		if w.Form == quantity.Spanned && len(r.found) == said {
			d.Middle = part(w.Value)
			if (d.Middle < d.Low || d.Middle > d.High) && len(r.found) == said {
				r.fail(n.value, "the range holds the value itself, as in \"4 % (2 to 8 %)\"",
					"%q: %s lies outside %s to %s",
					text, w.Value, w.Low, w.High)
			}
		}
	}
	for _, x := range r.found[said:] {
		if x.Severity == diag.Error {
			return d.Middle, true
		}
	}
	if b := boundsOf(kind, f); (d.Low < b.least || d.High > b.most) && w.Form == quantity.Within {
		r.fail(n.value, `write the ends, "V (A to B)"`,
			"%q runs from %s to %s, beyond what there can be", text,
			kind.Written(d.Low, r.system), kind.Written(d.High, r.system))
		return d.Middle, true
	}
	if b := boundsOf(kind, f); b != unbounded {
		d.least, d.most = b.least, b.most
		if !isScale(kind, f.limit) {
			d.least = max(0, d.least)
		}
	}
	r.doubt(d)
	return d.Middle, true
}

func (r *reader) doubtError(n *node, err error) {
	fix := ""
	if e, ok := err.(*quantity.Error); ok {
		fix = e.Remedy()
	}
	r.fail(n.value, fix, "%s", err)
}

// doubt keeps a doubt, unless its span is nothing. The last of a path holds.
func (r *reader) doubt(d Doubt) {
	r.doubts = slices.DeleteFunc(r.doubts, func(o Doubt) bool { return o.Path == d.Path })
	if d.least == 0 && d.most == 0 {
		d.least, d.most = unbounded.least, unbounded.most
	}
	if d.Low < d.High {
		r.doubts = append(r.doubts, d)
	}
}

// certain says why a key takes no doubt, "" where it may have one.
func (r *reader) certain(f field) string {
	const rating = "a rating or a limit has no doubt"
	switch {
	case len(r.path) == 0:
		return "no doubt can be stated here"
	case r.path[0] == "limits" || f.bounds == "static" || f.bounds == "plate-rise" ||
		f.bounds == "leaving-limit":
		return rating
	case r.inList:
		return "an item of a list has no doubt of its own"
	case slices.Contains([]string{"panel", "thermostat", "between", "year", "blower", "site",
		"port"}, r.path[0]),
		f.bounds == "timer", f.key == "noise-target", f.key == "nc", f.key == "exponent",
		f.key == "class":
		return "this value takes no doubt"
	}
	return ""
}

// siUnit is the unit that an override writes SI values of a kind in.
func siUnit(kind quantity.Kind) string {
	unit := map[quantity.Kind]string{
		quantity.KindLength: "m", quantity.KindSize: "m", quantity.KindArea: "m2",
		quantity.KindAirflow:  "m3/s",
		quantity.KindVelocity: "m/s", quantity.KindPressure: "Pa", quantity.KindTemperature: "C",
		quantity.KindTemperatureSpan: "K",
		quantity.KindHeat:            "W", quantity.KindElectricity: "W", quantity.KindAngle: "deg",
		quantity.KindInsulation: "m2K/W",
	}[kind]
	if unit == "" {
		return ""
	}
	return " " + unit
}

// difference reads the span of "V +- W", SI: in the value's own kind, as a share of it, or in
// degrees of blade.
func (r *reader) difference(kind quantity.Kind, w quantity.Doubt, middle float64,
	blade bool) (float64, error) {
	share := strings.HasSuffix(w.By, "%") && kind != quantity.KindFraction
	switch {
	case share:
		x, err := quantity.KindFraction.Parse(w.By, r.system)
		return x * math.Abs(middle), err
	case blade && strings.Contains(w.By, "deg"):
		x, err := quantity.KindAngle.Parse(w.By, r.system)
		return x / fullBlade, err
	case kind == quantity.KindTemperature:
		return quantity.KindTemperatureSpan.Parse(w.By, r.system)
	case kind == quantity.Unknown:
		x, err := strconv.ParseFloat(strings.TrimSpace(w.By), 64)
		if err != nil || math.IsInf(x, 0) || math.IsNaN(x) {
			return 0, &quantity.Error{Text: w.By, Reason: "is not a plain number",
				Fix: `write "1.5 +- 0.5"`}
		}
		return x, nil
	}
	return kind.Parse(w.By, r.system)
}

// unknownPriors are what stands in for "unknown", by key, SI; all our choice.
var unknownPriors = map[string]struct{ middle, low, high float64 }{
	"length":  {12 * quantity.Foot, 5 * quantity.Foot, 30 * quantity.Foot},
	"loading": {1.5, 1, 4},
	"filter":  {0.10 * quantity.InchWater, 0.05 * quantity.InchWater, 0.25 * quantity.InchWater},
	// its drop
	"coil":   {0.20 * quantity.InchWater, 0.10 * quantity.InchWater, 0.35 * quantity.InchWater},
	"elbows": {2, 0, 5},
}

// unknownTrunk is the length of a run that others leave, 14 ft; that of a branch is 12 ft.
const unknownTrunk = 14 * quantity.Foot

const ourPrior = "unknown; our choice"

// unknown gives a value that the file calls unknown its prior, or refuses it. It is false where the
// doubt has no number.
func (r *reader) unknown(n *node, d *Doubt) bool {
	key := r.path[len(r.path)-1]
	if key == "drop" && len(r.path) == 3 && r.path[0] == "equipment" {
		key = r.path[1]
	}
	prior, ok := unknownPriors[key]
	switch {
	case ok:
		d.Middle, d.Low, d.High, d.Prior = prior.middle, prior.low, prior.high, ourPrior
		return true
	case key == "wants" || key == "heat-loss" || key == "heat-gain" || key == "at" &&
		r.path[0] == "equipment":
		r.unknowns = append(r.unknowns, d.Path)
		return false
	}
	r.fail(n.value, `leave it out for the usual, or write a range, "10 to 30"`,
		"%q cannot be unknown", n.name)
	return false
}

// isUnknown reports whether the file calls a value unknown.
func (r *reader) isUnknown(path ...string) bool {
	return slices.Contains(r.unknowns, PathText(path...))
}

// within reads what is below a key with the path to it.
func (r *reader) within(name string, read func()) {
	r.path = append(r.path, name)
	read()
	r.path = r.path[:len(r.path)-1]
}

// roundSizes are the trade sizes of round duct, by system, in inches and millimeters (common
// practice).
var roundSizes = map[quantity.System][]float64{
	quantity.IP: {3, 4, 5, 6, 7, 8, 9, 10, 12, 14, 16, 18, 20, 22, 24},
	quantity.SI: {80, 100, 125, 150, 160, 180, 200, 224, 250, 280, 315, 355, 400, 450, 500, 560,
		630},
}

// tradeSizes are the diameters of round duct in the file's system, m.
func (r *reader) tradeSizes() []float64 {
	unit := quantity.Inch
	if r.system == quantity.SI {
		unit = 1e-3
	}
	var list []float64
	for _, x := range roundSizes[r.system] {
		list = append(list, x*unit)
	}
	return list
}

// nearestSize is the index of the trade size nearest to a diameter.
func nearestSize(sizes []float64, x float64) int {
	best := 0
	for i := range sizes {
		if math.Abs(sizes[i]-x) < math.Abs(sizes[best]-x) {
			best = i
		}
	}
	return best
}

// doubtfulSize reads a size of round duct that states a doubt. Its values are trade sizes.
func (r *reader) doubtfulSize(n *node) (Size, bool) {
	text, isText := n.leaf.(string)
	if !isText || len(r.path) == 0 {
		return Size{}, false
	}
	w, err := quantity.ParseDoubt(text)
	if err != nil {
		r.doubtError(n, err)
		return Size{}, true
	}
	if w.Form == quantity.Certain || w.Form == quantity.Between && strings.ContainsAny(w.Low,
		"x×") {
		return Size{}, false
	}
	line := len(r.path) == 3 && r.path[2] == "size" && (r.path[0] == "supply" ||
		r.path[0] == "return" ||
		r.path[0] == "bypass" || r.path[0] == "dump")
	if !line || r.inList {
		r.fail(n.value, r.sizeExample(), "%q: only the size of a run of duct can be in doubt", text)
		return Size{}, true
	}
	if w.Form == quantity.Nothing {
		r.unknowns = append(r.unknowns, PathText(r.path...))
		return Size{}, true
	}
	part := func(text string) Size {
		other := *n
		other.leaf = text
		return r.sizeText(&other, text)
	}
	said := len(r.found)
	value := w.Value
	if w.Form == quantity.Between {
		value = w.High
	}
	size := part(value)
	if len(r.found) > said && r.found.HasErrors() || !sized(size.Section) {
		return size, true
	}
	if size.Shape != section.Round {
		r.fail(n.value, `write the size without doubt, or give the length the doubt`,
			"%q: only a round size can be in doubt", text)
		return size, true
	}
	low, high := size.Width, size.Width
	sizes := r.tradeSizes()
	d := Doubt{Path: PathText(r.path...), Kind: quantity.KindSize, Text: text, Shape: EvenShape,
		Middle: size.Width}
	switch w.Form {
	case quantity.About:
		i := nearestSize(sizes, size.Width)
		low, high, d.Shape = sizes[max(0, i-1)], sizes[min(i+1, len(sizes)-1)], BellShape
	case quantity.Within:
		by, err := quantity.KindSize.Parse(w.By, r.system)
		if err != nil {
			r.unitError(n, quantity.KindSize, field{}, err)
			return size, true
		}
		low, high, d.Shape = size.Width-by, size.Width+by, BellShape
	case quantity.Between, quantity.Spanned:
		a, b := part(w.Low), part(w.High)
		low, high = a.Width, b.Width
		if w.Form == quantity.Between {
			size.Section = section.NewRound(sizes[nearestSize(sizes, (low+high)/2)])
			d.Middle = size.Width
		}
		if low > high {
			r.fail(n.value, fmt.Sprintf("write %q", w.High+" to "+w.Low),
				"%q: the range runs backwards", text)
			return size, true
		}
	}
	if !(low >= leastSize && low <= d.Middle && d.Middle <= high && high <= greatestSize) {
		r.fail(n.value, r.sizeExample(), "%q runs from %s to %s", text, quantity.KindSize.Short(low,
			r.system),
			quantity.KindSize.Short(high, r.system))
		return size, true
	}
	d.Low, d.High = low, high
	r.doubtSize(d, size.Material)
	return size, true
}

// doubtSize keeps the doubt of a round size, whose values are trade sizes.
func (r *reader) doubtSize(d Doubt, material string) {
	d.unit, d.after = quantity.Inch, " in"
	if r.system == quantity.SI {
		d.unit, d.after, d.whole = 1e-3, " mm", true
	}
	d.whole = d.whole || math.Abs(math.Mod(d.Middle/d.unit+0.5, 1)-0.5) < 1e-9
	if material != "" {
		d.after += " " + material
	}
	r.doubt(d)
}

// unknownSizes gives ducts of unknown size the trade size that suits their register.
//
// A branch has about 0.7 of its register's nominal face (our choice; 10x4 in has 6 in, 10x6 in 7
// in, 12x6 in 8 in).
func (c *checker) unknownSize(ref *lineRef) bool {
	if !c.isUnknown(ref.table, ref.Name, "size") {
		return false
	}
	o := ref.Register
	if o == nil {
		o = ref.Grille
	}
	if o == nil || !sized(o.Size) {
		c.fail(c.at(ref.table, ref.Name, "size"), `write a range, "12 to 16 in"`,
			"the size of %q cannot be unknown: it ends in no register that would show it", ref.Name)
		return true
	}
	sizes := c.tradeSizes()
	i := nearestSize(sizes, math.Sqrt(4/math.Pi*0.7*o.Size.Area()))
	ref.Size.Section = section.NewRound(sizes[i])
	c.doubtSize(Doubt{Path: PathText(ref.table, ref.Name, "size"), Kind: quantity.KindSize,
		Text: "unknown", Middle: sizes[i],
		Low: sizes[max(0, i-1)], High: sizes[min(i+1, len(sizes)-1)], Shape: EvenShape,
		Prior: ourPrior + ", by its register's face"}, "")
	return true
}

// unknownLengths sets the prior of trunks, once it is known which runs others leave.
func (c *checker) unknownLengths() {
	for _, ref := range c.order {
		path := PathText(ref.table, ref.Name, "length")
		for i := range c.doubts {
			d := &c.doubts[i]
			if d.Path == path && d.Prior != "" && ref.Register == nil && ref.Grille == nil {
				d.Middle = unknownTrunk
				ref.Length = unknownTrunk
			}
		}
	}
}

// tellDoubts makes an assumption of every middle that is solved with: the prior of what is unknown,
// and the middle of what is written with its doubt.
func (c *checker) tellDoubts() {
	for i := range c.doubts {
		d := &c.doubts[i]
		path, _ := SplitPath(d.Path)
		why := d.Prior
		if why == "" {
			why = fmt.Sprintf("the middle of %q", d.Text)
		}
		c.assume(d.MiddleText(c.system), fmt.Sprintf("%s, %s", why, d.SpanText(c.system)), path...)
	}
}

// MiddleText writes the middle of a doubt for people.
func (d *Doubt) MiddleText(system quantity.System) string { return d.value(d.Middle, system) }

// SpanText writes the span of a doubt for people: "5.0 to 30.0 ft".
func (d *Doubt) SpanText(system quantity.System) string {
	if d.Choices != nil {
		return joined(d.Choices)
	}
	return d.value(d.Low, system) + " to " + d.value(d.High, system)
}

func (d *Doubt) value(x float64, system quantity.System) string {
	switch {
	case d.Choices != nil:
		return d.Choices[min(max(int(x), 0), len(d.Choices)-1)]
	case d.Kind == quantity.Unknown:
		return strconv.FormatFloat(x, 'g', 3, 64)
	}
	return d.Kind.Short(x, system)
}

// mayDoubt reports whether the value of a setting may state a doubt.
func mayDoubt(value string) bool {
	w, err := quantity.ParseDoubt(strings.Trim(strings.TrimSpace(value), `"'`))
	amount, _ := cutAmount(strings.Trim(strings.TrimSpace(value), `"'`))
	return err != nil || w.Form != quantity.Certain || amount != ""
}

// The table of tolerances has two names: [doubt], and [spread] as older files call it.
const (
	doubtTable  = "doubt"
	spreadTable = "spread"
)

// doubtTables brings the [doubt] tables of a file and of its alternatives under the name [spread].
func (r *reader) doubtTables(root *node) {
	tables := []*node{root}
	if sets := root.child("alternative"); sets != nil {
		tables = append(tables, sets.children...)
	}
	for _, table := range tables {
		doubt := table.child(doubtTable)
		switch old := table.child(spreadTable); {
		case doubt == nil:
		case old == nil || !old.table || !doubt.table:
			delete(table.byName, doubtTable)
			doubt.name = spreadTable
			table.byName[spreadTable] = doubt
		default:
			table.without(doubtTable)
			for _, c := range doubt.children {
				if old.child(c.name) != nil {
					r.fail(c.key, "give each a name of its own", "%q is in [spread] and in [doubt]",
						c.name)
					continue
				}
				old.add(c)
			}
		}
	}
}

// elbowWords is a count of elbows in doubt: "unknown elbows", "elbows unknown", "about 2 elbows",
// "1 to 4 elbow 45".
var (
	elbowWords = regexp.MustCompile(`^(?i)(.+?)x?\s+(elbows?(?:\s.*)?)$`)
	elbowsLast = regexp.MustCompile(`^(?i)(elbows?(?:\s.*)?)\s+unknown$`)
)

// doubtfulElbows reads a count of elbows that states a doubt. Its values are whole numbers.
func (r *reader) doubtfulElbows(n *node, text string) (FittingUse, bool) {
	count, name := "", ""
	if m := elbowsLast.FindStringSubmatch(text); m != nil {
		count, name = "unknown", m[1]
	} else if m := elbowWords.FindStringSubmatch(text); m != nil {
		count, name = m[1], m[2]
	}
	w, err := quantity.ParseDoubt(strings.ReplaceAll(count, "x", ""))
	if name == "" || err == nil && w.Form == quantity.Certain {
		return FittingUse{}, false
	}
	if err != nil {
		r.doubtError(n, err)
		return FittingUse{}, true
	}
	if singular, plural := singularFitting(name); plural {
		name = singular
	}
	fail := func() (FittingUse, bool) {
		r.fail(n.value, `write "about 2 elbow", "1 to 4 elbow" or "unknown elbow"`,
			"%q is not a count of elbows", text)
		return FittingUse{}, true
	}
	number := func(text string) float64 {
		x, err := strconv.Atoi(strings.TrimSpace(text))
		if err != nil || x < 0 || x > mostCount {
			return math.NaN()
		}
		return float64(x)
	}
	d := Doubt{Path: PathText(r.path...), Text: text, Shape: EvenShape, unit: 1, whole: true,
		omitZero: true, after: "x " + name,
		least: 0, most: mostCount, item: r.item}
	switch w.Form {
	case quantity.Nothing:
		p := unknownPriors["elbows"]
		d.Middle, d.Low, d.High, d.Prior = p.middle, p.low, p.high, ourPrior
	case quantity.About:
		d.Middle = number(w.Value)
		d.Low, d.High = max(0, d.Middle-1), d.Middle+1
	case quantity.Within:
		d.Middle = number(w.Value)
		d.Low, d.High = d.Middle-number(w.By), d.Middle+number(w.By)
	default:
		d.Low, d.High = number(w.Low), number(w.High)
		d.Middle = math.Floor((d.Low + d.High) / 2)
		if w.Form == quantity.Spanned {
			d.Middle = number(w.Value)
		}
	}
	if !(d.Low >= 0 && d.Low <= d.Middle && d.Middle <= d.High && d.High <= mostCount) {
		return fail()
	}
	for _, other := range r.doubts {
		if other.Path == d.Path {
			r.fail(n.value, "put the doubt of all elbows into one",
				"the fittings of a run have one count in doubt, not two")
			return FittingUse{}, true
		}
	}
	for _, item := range r.items {
		text, _ := item.leaf.(string)
		d.items = append(d.items, text)
	}
	r.doubt(d)
	if d.Middle == 0 {
		return FittingUse{Name: StraightOn, Count: 1}, true
	}
	return FittingUse{Name: name, Count: int(d.Middle)}, true
}

// unknownTap chooses the middle tap of a blower for a machine whose tap is unknown.
func (c *checker) unknownTap(s *Stage, at []string) {
	if s.Tap != "unknown" || contains(c.taps, s.Tap) || len(c.taps) == 0 {
		return
	}
	middle := len(c.taps) / 2
	s.Tap = c.taps[middle]
	d := Doubt{Path: PathText(append(slices.Clone(at), "tap")...), Text: "unknown",
		Middle: float64(middle),
		High:   float64(len(c.taps) - 1), Shape: EvenShape, Prior: ourPrior,
		Choices: slices.Clone(c.taps)}
	c.doubt(d)
}

// unknownPart completes a filter or a coil of which only little is known: its drop, and the airflow
// of the drop, 400 cfm per ton of cooling or what the blower's size stands for.
func (c *checker) unknownPart(part string, r *Resistance) {
	if r.Drop != 0 && r.At != 0 {
		return
	}
	if !c.isUnknown("equipment", part, "at") {
		return
	}
	if r.Drop == 0 && !c.given("equipment", part, "drop") {
		p := unknownPriors[part]
		r.Drop = quantity.Pressure(p.middle)
		c.doubt(Doubt{Path: PathText("equipment", part, "drop"), Kind: quantity.KindPressure,
			Text: "not given", Middle: p.middle, Low: p.low, High: p.high,
			Shape: EvenShape, Prior: ourPrior, unit: 1, after: " Pa"})
	}
	if r.At == 0 {
		if airflow := c.usualAirflow(); airflow > 0 {
			r.At = quantity.Airflow(airflow)
			c.assume(r.At.Text(c.system), "unknown; 400 cfm per ton of cooling (common practice)",
				"equipment", part, "at")
		}
	}
}

// usualAirflow is what the blower is meant to move, m³/s: 400 cfm per ton of cooling, else the
// blower's at its least static on its middle tap; 0 where neither is known.
func (c *checker) usualAirflow() float64 {
	if m := c.job.Equipment.Cooling; m != nil && m.At(len(m.Stages)).Capacity > 0 {
		return float64(m.At(len(m.Stages)).Capacity) / quantity.TonOfCooling * airflowPerTon
	}
	if n := len(c.tapAirflow); n > 0 {
		return c.tapAirflow[n/2]
	}
	return 0
}

// unknownWants gives a zone whose want is unknown its part of the usual airflow, by the faces of
// its registers, so that runs and grilles have a measure; no verdict judges the zone by it.
func (c *checker) unknownWants(z *Zone) {
	if z.Wants != 0 || !c.isUnknown("zone", z.Name, "wants") || z.HeatLoss != 0 || z.HeatGain != 0 {
		return
	}
	z.WantsUnknown = true
	all, own := 0.0, 0.0
	for _, ref := range c.order {
		if ref.table == "supply" && ref.Register != nil && sized(ref.Register.Size) {
			all += ref.Register.Size.Area()
			if ref.Zone == z.Name {
				own += ref.Register.Size.Area()
			}
		}
	}
	if all > 0 {
		z.Wants = quantity.Airflow(own / all * c.usualAirflow())
		c.assume(z.Wants.Text(c.system),
			"unknown, so not judged; its registers' part of 400 cfm per ton (our choice)", "zone",
			z.Name, "wants")
	}
}

// unknownParts notes of which filter or coil the file knows so little that the airflow of its drop
// is ours to choose: where it calls either unknown, or the loading unknown and gives no airflow. It
// is asked before overrides are laid over the file and after.
func (r *reader) unknownParts() {
	for _, part := range []string{"filter", "coil"} {
		n, all := r.root.find("equipment", part)
		if !all || !n.table {
			continue
		}
		unknown := func(key string) bool {
			c := n.child(key)
			if c == nil {
				return false
			}
			text, _ := c.leaf.(string)
			return strings.EqualFold(strings.TrimSpace(text), "unknown")
		}
		if unknown("drop") || unknown("at") || unknown("loading") && n.child("at") == nil {
			r.unknowns = append(r.unknowns, PathText("equipment", part, "at"))
		}
	}
}
