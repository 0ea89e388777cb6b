package network

import (
	"regexp"
	"strconv"
	"strings"

	"spillway/network/quantity"
)

// Choice is what one may set: a row PATH = RANGE of [choose]. It is what is moved where a question
// does not say.
type Choice struct {
	Name string // the path, "damper.main.stop"; * for any name
	// Range is what it may be: "0 to 60 %", "0 to 60 % step 5 %", "low, medium or high".
	Range string `toml:"range,short"`

	From, To string   `toml:"-"` // the ends of a range, each with its unit
	Step     string   `toml:"-"` // of a range, "" where it gives none
	List     []string `toml:"-"` // instead of From and To
}

var stepWord = regexp.MustCompile(`\s+step\s+`)

// choices reads the ranges of [choose]. Whether a path leads to a value shows when it is moved.
func (c *checker) choices() {
	const example = `write "damper.main.stop" = "0 to 60 %", with " step 5 %" if need be, ` +
		`or "low, medium or high"`
	for i := range c.job.Choose {
		choice := &c.job.Choose[i]
		at := c.at("choose", choice.Name)
		if _, ok := SplitPath(choice.Name); !ok || !strings.Contains(choice.Name, ".") {
			c.fail(c.name("choose", choice.Name),
				`write the path in quotes: "damper.main.stop" = "0 to 60 %"`,
				"%q is not the path of a value", choice.Name)
			continue
		}
		text := strings.TrimSpace(choice.Range)
		ends := stepWord.Split(text, 2)
		w, err := quantity.ParseDoubt(ends[0])
		switch {
		case err == nil && w.Form == quantity.Between:
			choice.From, choice.To = w.Low, w.High
			low, _ := leadNumber(w.Low)
			high, _ := leadNumber(w.High)
			if low >= high && unitOf(w.Low) == unitOf(w.High) {
				c.fail(at, example, "%q: the range runs backwards", text)
				continue
			}
			if len(ends) < 2 {
				continue
			}
			choice.Step = strings.TrimSpace(ends[1])
			step, ok := leadNumber(choice.Step)
			unit := unitOf(choice.Step)
			if !ok || !(step > 0) || step > high-low || unit != "" && unit != unitOf(w.High) {
				c.fail(at, example,
					"%q: a step above zero, within the range and in its unit is meant", text)
			}
		case err == nil && w.Form == quantity.Certain && strings.Contains(text, ","),
			strings.Contains(text, " or "):
			for item := range strings.SplitSeq(strings.ReplaceAll(text, " or ", ","), ",") {
				if item = strings.TrimSpace(item); item != "" {
					choice.List = append(choice.List, item)
				}
			}
			if len(choice.List) < 2 {
				c.fail(at, example, "%q leaves nothing to choose", text)
			}
		default:
			c.fail(at, example, "%q is not a range", text)
		}
	}
}

// unitOf is what stands behind the number that a text begins with.
func unitOf(text string) string {
	return strings.TrimSpace(strings.TrimLeft(strings.TrimSpace(text), "+-.0123456789"))
}

// Steps is how many values a range with a step has, both ends among them; 0 where it gives no step.
func (c *Choice) Steps() int {
	step, ok := leadNumber(c.Step)
	if !ok || c.Step == "" {
		return 0
	}
	low, _ := leadNumber(c.From)
	high, _ := leadNumber(c.To)
	n, _ := strconv.Atoi(strconv.FormatFloat((high-low)/step, 'f', 0, 64))
	return n + 1
}
