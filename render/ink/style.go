package ink

import (
	"strings"

	"spillway/render/palette"
)

// Theme says for what ground a picture is made.
type Theme int

// Themes.
const (
	Auto  Theme = iota // light, dark where the reader prefers it, grey in print
	Light              // light only
	Dark               // dark only
	Print              // grey only
)

// StyleSheet makes a style sheet out of rules, one a line, in which "@name" as the whole value of a property is a colour of the
// palette. Every rule is set below root (".sw"). Each colour is written twice, as itself and as a variable: viewers and editors that
// know no variables keep the first, browsers take the second, which a page or a dark screen may set.
func StyleSheet(root, rules string, t Theme) string {
	base := palette.Light()
	switch t {
	case Dark:
		base = palette.Dark()
	case Print:
		base = palette.Print()
	}
	hex := map[string]string{}
	for _, v := range base.Variables() {
		hex[v.Name] = v.Colour.Hex()
	}
	var b strings.Builder
	b.WriteByte('\n')
	for _, rule := range strings.Split(strings.TrimSpace(rules), "\n") {
		if strings.HasPrefix(rule, "/*") || rule == "" {
			continue
		}
		b.WriteString(root + " " + colours(rule, hex) + "\n")
	}
	if t == Auto {
		b.WriteString("@media screen and (prefers-color-scheme:dark){" + root + "{" + palette.Dark().CSS() + "}}\n")
		b.WriteString("@media print{" + root + "{" + palette.Print().CSS() + "}}\n")
	}
	return b.String()
}

// colours replaces "prop:@name" by the colour itself and the variable.
func colours(rule string, hex map[string]string) string {
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
		out = append(out, prop+":"+hex[name], prop+":var("+name+","+hex[name]+")")
	}
	return rule[:open+1] + strings.Join(out, ";") + "}"
}
