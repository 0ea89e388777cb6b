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
		if t.Of == "" {
			c.fail(c.name("spread", t.Name), example, "the tolerance %q does not say of what", t.Name)
			continue
		}
		coefficient := strings.HasPrefix(t.Of, "coefficients.")
		if coefficient && !contains(Coefficients(), t.Of) {
			c.unknown(at("of"), "kind of coefficient", t.Of, Coefficients())
		}
		ways := 0
		for _, given := range []bool{t.From != "" || t.To != "", t.By != "", t.Share != 0} {
			if given {
				ways++
			}
		}
		switch {
		case ways == 0 && ScatterKnown(t.Of):
			if t.Shape == "" {
				t.Shape = BellShape // the catalogue has standard deviations
			}
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
