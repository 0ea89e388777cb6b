package network

import (
	"math"
	"strconv"
	"strings"

	"spillway/network/quantity"
)

// tolerances checks the [spread] table. Whether a path leads to a value shows when the spread is asked for.
func (c *checker) tolerances() {
	for i := range c.job.Spread {
		t := &c.job.Spread[i]
		at := func(key string) span { return c.at("spread", t.Name, key) }
		const example = `write of = "damper.main.stop" and by = "5 deg", from = "0 %" and to = "10 %", or share = "20 %"`
		if t.Of == "" && t.Range != "" {
			t.Of = t.Name
		}
		if t.Of == "" {
			c.fail(c.name("spread", t.Name), example, "the tolerance %q does not say of what", t.Name)
			continue
		}
		if t.Range != "" {
			c.toleranceRange(t)
		}
		coefficient := strings.HasPrefix(t.Of, "coefficients.")
		if coefficient && !contains(Coefficients(), t.Of) {
			c.unknown(at("of"), "kind of coefficient", t.Of, Coefficients())
		}
		ways := 0
		for _, given := range []bool{t.From != "" || t.To != "", t.By != "", t.Share != 0,
			t.Factor != [2]float64{}} {
			if given {
				ways++
			}
		}
		switch {
		case ways == 0 && ScatterKnown(t.Of):
			if t.Shape == "" {
				t.Shape = BellShape // the catalogue has standard deviations
			}
		case ways == 0 && t.Range != "": // reported
		case ways == 0:
			c.fail(c.name("spread", t.Name), example, "the tolerance %q does not say how far", t.Name)
		case ways > 1:
			c.fail(c.name("spread", t.Name), example, "the tolerance %q says more than one way how far", t.Name)
		case (t.From == "") != (t.To == ""):
			c.fail(c.name("spread", t.Name), "give both ends", "the tolerance %q has one end only", t.Name)
		case coefficient && t.Share == 0:
			c.fail(c.name("spread", t.Name), `write share = "20 %"`, "the tolerance %q is of coefficients, which vary by a share", t.Name)
		case t.Share >= 1:
			c.fail(at("share"), `write share = "20 %"`, "a share of %s either way takes the value through zero", quantity.Fraction(t.Share).Text(c.system))
		}
		for key, text := range map[string]string{"from": t.From, "to": t.To, "by": t.By} {
			if first, _, _ := strings.Cut(strings.TrimSpace(text), " "); first != "" {
				if x, err := strconv.ParseFloat(first, 64); math.IsInf(x, 0) || math.IsNaN(x) {
					_ = err // an overflow is infinite too
					c.fail(at(key), example, "%q is no finite number", text)
				}
			}
		}
		switch t.Shape {
		case "":
			t.Shape = EvenShape
		case EvenShape, BellShape:
		default:
			c.unknown(at("shape"), "shape", t.Shape, []string{EvenShape, BellShape})
		}
	}
}

// toleranceRange reads what a tolerance says in one text.
func (c *checker) toleranceRange(t *Tolerance) {
	const example = `write "10 to 30 ft", "x 0.8 to 1.3", "+- 5 deg" or "+- 20 %"`
	at := c.at("spread", t.Name, "range")
	text := strings.TrimSpace(t.Range)
	if rest, ok := cutTimes(text); ok {
		var ends [2]float64
		w, err := quantity.ParseDoubt(rest)
		if err == nil && w.Form == quantity.Between {
			low, errLow := strconv.ParseFloat(w.Low, 64)
			high, errHigh := strconv.ParseFloat(w.High, 64)
			if errLow == nil && errHigh == nil && low > 0 && low < high && high <= 100 {
				ends = [2]float64{low, high}
			}
		}
		if ends == [2]float64{} {
			c.fail(at, `write "x 0.8 to 1.3"`, "%q is not a range of factors", text)
		}
		t.Factor = ends
		return
	}
	for _, word := range []string{"+-", "+/-", "±"} {
		by, ok := strings.CutPrefix(text, word)
		if !ok {
			continue
		}
		if t.Shape == "" {
			t.Shape = BellShape
		}
		if share, err := quantity.KindFraction.Parse(by, c.system); err == nil &&
			!bladePath(t.Of) && strings.Contains(by, "%") {
			t.Share = quantity.Fraction(share)
		} else {
			t.By = strings.TrimSpace(by)
		}
		return
	}
	w, err := quantity.ParseDoubt(text)
	if err != nil || w.Form != quantity.Between {
		c.fail(at, example, "%q does not say how far", text)
		return
	}
	t.From, t.To = w.Low, w.High
}

// cutTimes takes the sign of a factor off the front.
func cutTimes(text string) (rest string, ok bool) {
	for _, sign := range []string{"x ", "X ", "× ", "×", "times "} {
		if rest, ok := strings.CutPrefix(text, sign); ok {
			return strings.TrimSpace(rest), true
		}
	}
	return text, false
}

// bladePath reports whether a path leads to the position of a blade, of which per cent are no share
// of the value.
func bladePath(path string) bool {
	for _, key := range []string{".stop", ".open", ".balance", ".position"} {
		if strings.HasSuffix(path, key) {
			return true
		}
	}
	return false
}
