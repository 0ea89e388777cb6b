package palette

import (
	"fmt"
	"strings"
)

// Classes is the number of steps of the scale in pictures: as many as a reader can tell apart beside a legend.
const Classes = 10

// Changes is the number of steps of the scale of changes: much less, less, a little less, as before, a little more, more, much more.
const Changes = 7

// Theme is one set of colours: for white paper, a dark screen, or print.
type Theme struct {
	Paper  Colour // behind everything
	Ink    Colour // text and outlines
	Faint  Colour // captions; still readable text on Paper
	Line   Colour // thin rules and outlines that carry no meaning of their own
	Edge   Colour // the outline of a coloured shape, so that a light one shows on paper
	Panel  Colour // boxes: equipment, symbols
	Still  Colour // a shape without a value on the scale
	Accent Colour // what the picture wants seen first
	Halo   Colour // beside Accent, so that it shows on every step of the scale

	CallTint, CallEdge Colour // ground and frame of what is asking
	RestTint, RestEdge Colour // ground and frame of what is at rest
	Asked              Colour // a share that was asked for, as a plain area beside hatched ones

	Good, Caution, Fault Colour // findings, as text on Paper

	// Scale has little at 0 and much at Classes−1; little is near Paper, much is far from it.
	Scale [Classes]Colour

	// Change has much less at 0, no change in the middle and much more at Changes−1: orange and purple, which no common form of colour
	// blindness confuses (scheme PuOr of seven classes of ColorBrewer 2.0, Brewer 2013, from memory; the dark one is our choice).
	Change [Changes]Colour
}

// Light is the theme for white paper: little is light, much is dark.
func Light() Theme {
	t := Theme{
		Paper: Colour{255, 255, 255}, Ink: Colour{22, 27, 34}, Faint: Colour{82, 90, 101}, Line: Colour{176, 183, 192},
		Edge: Colour{64, 72, 84}, Panel: Colour{253, 253, 252}, Still: Colour{214, 219, 225}, Accent: Colour{144, 36, 6}, Halo: Colour{255, 255, 255},
		CallTint: Colour{232, 243, 238}, CallEdge: Colour{26, 122, 94},
		RestTint: Colour{244, 244, 242}, RestEdge: Colour{150, 152, 150}, Asked: Colour{26, 122, 94},
		Good: Colour{21, 108, 76}, Caution: Colour{138, 86, 0}, Fault: Colour{176, 24, 32},
	}
	for i := range t.Scale {
		t.Scale[i] = Cividis(1 - float64(i)/(Classes-1))
	}
	t.Change = [Changes]Colour{{179, 88, 6}, {241, 163, 64}, {254, 224, 182}, {247, 247, 247}, {216, 218, 235}, {153, 142, 195}, {84, 39, 136}}
	return t
}

// Dark is the theme for a dark screen: little is dark, much is light.
func Dark() Theme {
	t := Theme{
		Paper: Colour{18, 22, 28}, Ink: Colour{236, 239, 243}, Faint: Colour{166, 174, 185}, Line: Colour{74, 82, 93},
		Edge: Colour{158, 167, 180}, Panel: Colour{30, 36, 44}, Still: Colour{66, 74, 85}, Accent: Colour{255, 148, 100}, Halo: Colour{14, 17, 22},
		CallTint: Colour{20, 46, 41}, CallEdge: Colour{72, 190, 150},
		RestTint: Colour{29, 32, 37}, RestEdge: Colour{112, 118, 126}, Asked: Colour{72, 190, 150},
		Good: Colour{92, 205, 156}, Caution: Colour{240, 186, 80}, Fault: Colour{255, 128, 124},
	}
	for i := range t.Scale {
		t.Scale[i] = Cividis(float64(i) / (Classes - 1))
	}
	t.Change = [Changes]Colour{{253, 184, 99}, {196, 118, 42}, {112, 78, 46}, {66, 74, 85}, {80, 72, 116}, {146, 131, 200}, {206, 193, 247}}
	return t
}

// Print is the theme for grey print: the scale keeps its luminance and loses its hue, tints go.
func Print() Theme {
	t := Light()
	grey := func(c Colour) Colour {
		y := 0.299*float64(c.R) + 0.587*float64(c.G) + 0.114*float64(c.B) // Rec. ITU-R BT.601 luma
		return Colour{uint8(y + 0.5), uint8(y + 0.5), uint8(y + 0.5)}
	}
	for i := range t.Scale {
		// The darkest steps are lifted a little: solid black eats toner and hides the hatch.
		t.Scale[i] = mix(grey(t.Scale[i]), Colour{255, 255, 255}, 0.12)
	}
	for _, c := range []*Colour{&t.Ink, &t.Faint, &t.Line, &t.Edge, &t.Panel, &t.Still, &t.RestEdge} {
		*c = grey(*c)
	}
	// In grey the two sides of a change look alike: the sign stands in the numbers.
	t.Change = [Changes]Colour{{104, 104, 104}, {160, 160, 160}, {212, 212, 212}, {247, 247, 247}, {212, 212, 212}, {160, 160, 160}, {104, 104, 104}}
	t.Accent = Colour{0, 0, 0}
	t.CallTint, t.RestTint = Colour{255, 255, 255}, Colour{246, 246, 246}
	t.CallEdge = Colour{0, 0, 0}
	t.Asked = Colour{164, 164, 164}
	return t
}

// Variable is one colour by the name it has in style sheets.
type Variable struct {
	Name   string // with the leading dashes
	Colour Colour
}

// Variables lists the theme's colours by their names in style sheets, in a fixed order: --sw-paper, --sw-ink, … --sw-s0 … --sw-s9.
func (t Theme) Variables() []Variable {
	v := []Variable{
		{"--sw-paper", t.Paper}, {"--sw-ink", t.Ink}, {"--sw-faint", t.Faint}, {"--sw-line", t.Line}, {"--sw-edge", t.Edge},
		{"--sw-panel", t.Panel}, {"--sw-still", t.Still}, {"--sw-accent", t.Accent}, {"--sw-halo", t.Halo},
		{"--sw-call-tint", t.CallTint}, {"--sw-call-edge", t.CallEdge}, {"--sw-rest-tint", t.RestTint}, {"--sw-rest-edge", t.RestEdge}, {"--sw-asked", t.Asked},
		{"--sw-good", t.Good}, {"--sw-caution", t.Caution}, {"--sw-fault", t.Fault},
	}
	for i, c := range t.Scale {
		v = append(v, Variable{fmt.Sprintf("--sw-s%d", i), c})
	}
	for i, c := range t.Change {
		v = append(v, Variable{fmt.Sprintf("--sw-d%d", i), c})
	}
	return v
}

// CSS returns the theme as declarations for one rule, "--sw-paper:#ffffff;…".
func (t Theme) CSS() string {
	var b strings.Builder
	for _, v := range t.Variables() {
		fmt.Fprintf(&b, "%s:%s;", v.Name, v.Colour.Hex())
	}
	return b.String()
}
