package schematic

import (
	_ "embed"
	"strconv"
	"strings"

	"spillway/render/palette"
)

//go:embed style.css
var shapes string

// styleSheet is the style of a picture. Every colour is written twice, as itself and as a variable: viewers and editors that
// know no variables keep the first, browsers take the second, which a page or a dark screen may set.
func styleSheet(t Theme) string {
	base := palette.Light()
	switch t {
	case Dark:
		base = palette.Dark()
	case Print:
		base = palette.Print()
	}
	names := map[string]string{}
	for _, v := range base.Variables() {
		names[v.Name] = v.Colour.Hex()
	}
	var b strings.Builder
	for _, rule := range strings.Split(strings.TrimSpace(shapes), "\n") {
		if strings.HasPrefix(rule, "/*") || rule == "" {
			continue
		}
		b.WriteString(".sw " + colours(rule, names) + "\n")
	}
	for i := range classes {
		n := strconv.Itoa(i)
		b.WriteString(".sw .s" + n + colours("{fill:@s"+n+"}", names) + "\n")
	}
	if t == Auto {
		b.WriteString("@media screen and (prefers-color-scheme:dark){.sw{" + palette.Dark().CSS() + "}}\n")
		b.WriteString("@media print{.sw{" + palette.Print().CSS() + "}}\n")
	}
	return "\n" + b.String()
}

// colours replaces "prop:@name" by the colour itself and the variable.
func colours(rule string, names map[string]string) string {
	open := strings.IndexByte(rule, '{')
	body := strings.TrimSuffix(rule[open+1:], "}")
	var out []string
	for _, d := range strings.Split(body, ";") {
		prop, value, ok := strings.Cut(d, ":@")
		if !ok {
			out = append(out, d)
			continue
		}
		name := "--sw-" + value
		out = append(out, prop+":"+names[name], prop+":var("+name+","+names[name]+")")
	}
	return rule[:open+1] + strings.Join(out, ";") + "}"
}
