package sheet

import (
	"encoding/json"
	"math"
	"spillway/network/quantity"
	"spillway/render/internal/jsonout"
	"strconv"
	"strings"

	"spillway/render/columns"
)

// JSON is all of it for a page's script, the cases in the order in which they were put in:
//
//	cases    their names
//	units    of quantities: [SI unit, unit of the trade, its factor, its offset, decimals]; the trade's label is null where it is the same
//	numbers  columns of numbers with one for each case, as columns.Numbers writes them
//	nodes    [name, symbol, unit, value, trade, equation, words, from, lines, inputs]: each from value on one for all cases,
//	         one for each case as columns.Texts writes them, or {"n": column of numbers}; inputs are [symbol, node]
//	names    number → [node, as printed with its unit]
//
// A value in the unit of the trade is worked out by the script from the value in SI, which has six digits; trade says by how much its
// sixth digit then has to be put right, or is the text itself. As printed is "" where rounding the trade's value gives it. So a page holds
// each number once and still shows just what Explain prints.
func (d *Derivations) JSON() []byte {
	w := &packer{d: d, units: map[quantity.Kind]int{}, known: map[string]int{}}
	nodes := make([]string, len(d.nodes))
	for k, n := range d.nodes {
		nodes[k] = w.node(n)
	}
	names := make([]string, len(d.order))
	for k, name := range d.order {
		names[k] = quotedJSON(clean(name)) + ":" + w.name(d.names[name])
	}
	cases := make([]string, len(d.cases))
	for i, c := range d.cases {
		cases[i] = quotedJSON(c)
	}
	join := func(list []string) string { return strings.Join(list, ",\n") }
	return []byte(`{"cases":[` + strings.Join(cases, ",") + "],\n\"units\":[" + join(w.labels) + "],\n\"numbers\":[" + join(w.columns) +
		"],\n\"nodes\":[" + join(nodes) + "],\n\"names\":{" + join(names) + "}}\n")
}

// packer writes columns.
type packer struct {
	d       *Derivations
	units   map[quantity.Kind]int
	labels  []string
	known   map[string]int // columns of numbers by what they hold
	columns []string
}

func (w *packer) unit(q quantity.Kind) int {
	if at, ok := w.units[q]; ok {
		return at
	}
	m := w.d.t.measureOf(q)
	label := "null"
	if w.d.t.differs(q) {
		label = quotedJSON(m.label)
	}
	w.units[q] = len(w.labels)
	w.labels = append(w.labels, "["+quotedJSON(q.SI())+","+label+","+strconv.FormatFloat(m.factor(), 'g', -1, 64)+","+strconv.FormatFloat(m.kind.Offset(m.sys), 'g', -1, 64)+
		","+strconv.Itoa(m.decimals)+","+quotedJSON(m.label)+"]")
	return w.units[q]
}

func (w *packer) node(n *derivationNode) string {
	var b strings.Builder
	b.WriteString("[" + quotedJSON(n.name) + "," + quotedJSON(n.symbol) + "," + strconv.Itoa(w.unit(n.quantity)))
	for i, column := range n.texts {
		b.WriteByte(',')
		switch i {
		case valueText:
			b.WriteString(w.numbers(column))
		case tradeText:
			m := w.d.t.measureOf(n.quantity)
			b.WriteString(w.column(column, func(at int) string { return tradeCorrection(m, n.texts[valueText][at], column[at]) }))
		case linesText:
			b.WriteString(w.column(column, func(at int) string {
				if column[at] == "" {
					return "[]"
				}
				return column[at]
			}))
		default:
			b.WriteString(w.column(column, func(at int) string { return quotedJSON(column[at]) }))
		}
	}
	b.WriteByte(',')
	b.WriteString(w.column(n.inputs, func(at int) string { return n.inputs[at] }))
	b.WriteByte(']')
	return b.String()
}

func (w *packer) name(n *derivationName) string {
	for len(n.step) < len(w.d.cases) {
		n.step, n.printed = append(n.step, -1), append(n.printed, "")
	}
	steps := w.column(n.printed, func(at int) string { return strconv.Itoa(n.step[at]) })
	printed := w.column(n.printed, func(at int) string {
		if n.step[at] < 0 {
			return `""`
		}
		node := w.d.nodes[n.step[at]]
		trade := node.texts[tradeText][at]
		if trade == "" {
			trade = node.texts[valueText][at]
		} else {
			trade, _, _ = strings.Cut(trade, " ")
		}
		m := w.d.t.measureOf(node.quantity)
		if text, ok := fixedText(trade, m.decimals); ok && n.printed[at] == strings.TrimSuffix(text+" "+m.label, " ") {
			return `""`
		}
		return quotedJSON(n.printed[at])
	})
	return "[" + steps + "," + printed + "]"
}

// column writes one text for all cases where they agree, else one for each. A column that ends early goes on as it ended.
func (w *packer) column(texts []string, written func(at int) string) string {
	list := make([]string, len(w.d.cases))
	for i := range list {
		list[i] = written(min(i, len(texts)-1))
	}
	return columns.Texts(list)
}

// numbers writes a column of printed numbers.
func (w *packer) numbers(texts []string) string {
	texts = append([]string{}, texts...)
	same := true
	for len(texts) < len(w.d.cases) {
		texts = append(texts, texts[len(texts)-1])
	}
	for _, t := range texts {
		same = same && t == texts[0]
	}
	if same {
		return quotedJSON(texts[0])
	}
	key, ok := columns.Numbers(texts)
	if !ok {
		return w.column(texts, func(at int) string { return quotedJSON(texts[at]) })
	}
	at, ok := w.known[key]
	if !ok {
		at = len(w.columns)
		w.known[key] = at
		w.columns = append(w.columns, key)
	}
	return `{"n":` + strconv.Itoa(at) + "}"
}

// sixDigits are the six leading digits of a number as a whole one and the power of ten of the last of them; false where a script may
// round it otherwise (a tie) or write it otherwise.
func sixDigits(v float64) (mantissa, place int, ok bool) {
	if size := math.Abs(v); v == 0 || math.IsNaN(v) || size < 1e-4 || size >= 1e9 {
		return 0, 0, v == 0
	}
	long := strconv.FormatFloat(v, 'e', 20, 64)
	if strings.Contains(long, "5000000000000e") {
		return 0, 0, false
	}
	digits, power, _ := strings.Cut(strconv.FormatFloat(v, 'e', jsonout.Significant-1, 64), "e")
	mantissa, err := strconv.Atoi(strings.Replace(digits, ".", "", 1))
	if err != nil {
		return 0, 0, false
	}
	place, err = strconv.Atoi(power)
	return mantissa, place - jsonout.Significant + 1, err == nil
}

// tradeCorrection is by how much the sixth digit of a value in the unit of the trade is off when it is worked out from the six digits of
// the value in SI, or the text where that is not all.
func tradeCorrection(m measure, si, trade string) string {
	if trade == "" {
		return "0"
	}
	text, _, _ := strings.Cut(trade, " ")
	v, err := strconv.ParseFloat(si, 64)
	t, err2 := strconv.ParseFloat(text, 64)
	if err != nil || err2 != nil {
		return quotedJSON(text)
	}
	own, place, ok := sixDigits(m.of(v))
	meant, at, ok2 := sixDigits(t)
	switch {
	case !ok || !ok2 || own == 0 != (meant == 0):
		return quotedJSON(text)
	case own == 0:
		return "0"
	case place != at:
		return quotedJSON(text)
	}
	return strconv.Itoa(meant - own)
}

// fixedText rounds a printed number to decimals, half away from zero by its printed digits, with commas between thousands: what the
// page's script does.
func fixedText(text string, decimals int) (string, bool) {
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		return "", false
	}
	m, place, ok := sixDigits(v)
	if !ok {
		return "", false
	}
	sign := ""
	if m < 0 {
		sign, m = "-", -m
	}
	drop := -decimals - place
	if drop > 8 {
		m = 0
	} else if drop > 0 {
		by := int(math.Pow10(drop))
		m = (m + by/2) / by
	} else {
		if drop < -9 {
			return "", false
		}
		m *= int(math.Pow10(-drop))
	}
	if m == 0 {
		sign = ""
	}
	out := strconv.Itoa(m)
	if decimals > 0 {
		for len(out) <= decimals {
			out = "0" + out
		}
		out = out[:len(out)-decimals] + "." + out[len(out)-decimals:]
	}
	return quantity.Grouped(sign + out), true
}

func quotedJSON(s string) string {
	data, err := json.Marshal(s)
	if err != nil {
		return `""` // a string can always be written
	}
	return string(data)
}
