package catalog

import (
	"slices"
	"strconv"
	"strings"
)

// FittingNames lists the names to suggest for a fitting, in order. LookupFitting reads more: every angle and radius. The
// slice is the caller's.
func FittingNames() []string { return slices.Clone(fittingNames) }

// LookupFitting reads the name of a fitting as a tradesman writes it. ok is false when a word is not known or a number is
// out of range.
//
//	elbow [ANGLE] [smooth | stamped | N-piece | gored | pleated | mitred | vanes | double vanes | flex] [rRATIO] [hard way | easy way]
//	transition [ANGLE]       narrowing or widening, ANGLE between the walls; abrupt transition
//	bellmouth [rRATIO]       in a wall; projecting bellmouth stands free
//	screen SHARE             wire screen; SHARE is its free area, "70%" or "0.7"
//	orifice SHARE            thin plate
//	plenum takeoff, flush entry, projecting entry, exit, boot 90, straight boot, end cap, capped wye
//
// Words may come in any order. ANGLE is in degrees up to 180 (a mitred elbow: 90), 90 by default (a transition: 30). An
// elbow of less than LeastBareAngle needs the unit, "elbow 10 deg", since "elbow 2" is more likely a count.
// RATIO is the centre-line radius over the diameter, or over the width in the plane of the bend: "r1.0", 1.5 by default
// (seven pieces: 2.5; a bellmouth: 0.1). "smooth" in a rectangular duct is the radius elbow. A bend in a rectangular duct
// turns in the plane of the first size of the section unless "hard way" (the larger side) or "easy way" is said.
func LookupFitting(name string) (fitting Fitting, ok bool) {
	if f, found := find(fixedFittings, name); found {
		return f, true
	}
	words := joinDegrees(strings.Fields(normalise(name)))
	for i, w := range words {
		if read, known := fittingFamilies(w); known {
			return read(slices.Concat(words[:i], words[i+1:]))
		}
	}
	return Fitting{}, false
}

// fittingFamilies returns the reader for the word that names the family.
func fittingFamilies(word string) (func(words []string) (Fitting, bool), bool) {
	switch word {
	case "elbow", "ell", "bend":
		return readElbow, true
	case "transition", "reducer", "increaser", "contraction", "expansion", "enlargement":
		return readTransition, true
	case "bellmouth":
		return readBellmouth, true
	case "screen":
		return func(words []string) (Fitting, bool) { return readShare(words, "screen", ScreenFitting, screenSource) }, true
	case "orifice":
		return func(words []string) (Fitting, bool) { return readShare(words, "orifice", OrificeFitting, plateSource) }, true
	}
	return nil, false
}

// readElbow reads the words of an elbow other than "elbow" itself.
func readElbow(words []string) (Fitting, bool) {
	f := Fitting{Kind: SmoothElbow}
	styled, vanes, double := false, false, false
	style := func(kind FittingKind, pieces int) bool {
		if styled {
			return false
		}
		styled, f.Kind, f.Pieces = true, kind, pieces
		return true
	}
	for _, w := range words {
		good := true
		switch w {
		case "smooth", "radius":
			good = style(SmoothElbow, 0)
		case "stamped":
			good = style(StampedElbow, 0)
		case "gored", "adjustable":
			good = style(GoredElbow, DefaultPieces)
		case "pleated":
			good = style(PleatedElbow, 0)
		case "mitred", "mitered", "mitre", "miter", "square":
			good = style(MitredElbow, 0)
		case "flex", "flexible":
			good = style(FlexElbow, 0)
		case "vanes", "vaned", "vane":
			vanes = true
		case "double":
			double = true
		case "single", "thickness", "with", "way":
		case "hard":
			good = f.Way == InPlan
			f.Way = HardWay
		case "easy":
			good = f.Way == InPlan
			f.Way = EasyWay
		default:
			good = readElbowNumber(w, &f, style)
		}
		if !good {
			return Fitting{}, false
		}
	}
	if vanes {
		if styled && f.Kind != MitredElbow {
			return Fitting{}, false
		}
		f.Kind, f.Double = VanedElbow, double
	} else if double {
		return Fitting{}, false
	}
	return f.finishElbow()
}

// readElbowNumber reads "5-piece", "5-gore", "r1.5" or an angle.
func readElbowNumber(word string, f *Fitting, style func(FittingKind, int) bool) bool {
	for _, suffix := range []string{"-piece", "-gore"} {
		if digits, found := strings.CutSuffix(word, suffix); found {
			pieces, err := strconv.Atoi(digits)
			return err == nil && slices.Contains([]int{3, 4, 5, 7}, pieces) && style(GoredElbow, pieces)
		}
	}
	if number, found := strings.CutPrefix(word, "r"); found {
		ratio, ok := readNumber(strings.TrimPrefix(number, "/d"), 0.5, 10)
		ok = ok && f.Ratio == 0
		f.Ratio = ratio
		return ok
	}
	angle, ok := readAngle(word)
	if !ok || f.Angle != 0 || angle < LeastBareAngle && !hasDegrees(word) {
		return false
	}
	f.Angle = angle
	return true
}

// finishElbow fills in what the name left out, checks the range of the table and writes the name in full.
func (f Fitting) finishElbow() (Fitting, bool) {
	if f.Angle == 0 {
		f.Angle = 90
	}
	if f.Kind == MitredElbow && f.Angle > 90 {
		return Fitting{}, false
	}
	ratioGiven := f.Ratio != 0
	if ratioGiven && (f.Kind == StampedElbow || f.Kind == PleatedElbow || f.Kind == MitredElbow || f.Kind == VanedElbow) {
		return Fitting{}, false // these have no choice of radius
	}
	if !ratioGiven {
		f.Ratio = DefaultBendRatio
		if f.Pieces == 7 {
			f.Ratio = 2.5
		}
	}
	style := ""
	switch f.Kind {
	case SmoothElbow:
		style, f.Source = "smooth", published(smoothSource)
	case GoredElbow:
		style, f.Source = strconv.Itoa(f.Pieces)+"-piece", published(goredSource)
	case StampedElbow:
		style, f.Source = "stamped", published(handbook09)
	case PleatedElbow:
		style, f.Source = "pleated", published(pleatedSource)
	case MitredElbow:
		style, f.Source = "mitred", published(mitredSource)
	case VanedElbow:
		style, f.Source = "vanes", memory(vanedSource)
		if f.Double {
			style = "double vanes"
		}
	case FlexElbow:
		style, f.Source = "flex", ourChoice(flexSource)
	}
	f.Name = "elbow " + formatNumber(f.Angle) + " " + style
	if f.Angle < LeastBareAngle {
		f.Name = "elbow " + formatNumber(f.Angle) + " deg " + style
	}
	if ratioGiven {
		f.Name += " r" + formatRatio(f.Ratio)
	}
	switch f.Way {
	case HardWay:
		f.Name += " hard way"
	case EasyWay:
		f.Name += " easy way"
	}
	return f, true
}

func readTransition(words []string) (Fitting, bool) {
	f := Fitting{Row: Row{Name: "transition", Source: published(changeSource)}, Kind: TransitionFitting}
	for _, w := range words {
		angle, isAngle := readAngle(w)
		switch {
		case f.Angle != 0:
			return Fitting{}, false
		case w == "abrupt", w == "sudden":
			f.Angle = 180
		case isAngle:
			f.Angle = angle
		default:
			return Fitting{}, false
		}
	}
	switch f.Angle {
	case 0:
		f.Angle = DefaultTransitionAngle
	case 180:
		f.Name = "abrupt transition"
	default:
		f.Name += " " + formatNumber(f.Angle)
	}
	return f, true
}

func readBellmouth(words []string) (Fitting, bool) {
	f := Fitting{Row: Row{Name: "bellmouth", Source: published(mouthSource)}, Kind: BellmouthEntry, Ratio: DefaultBellmouthRatio, Flush: true}
	given := ""
	for _, w := range words {
		number, isRatio := strings.CutPrefix(w, "r")
		ratio, inRange := readNumber(number, 0, 1)
		switch {
		case w == "projecting", w == "free":
			f.Flush, f.Name = false, "projecting bellmouth"
		case isRatio && inRange && given == "":
			f.Ratio, given = ratio, " r"+formatRatio(ratio)
		default:
			return Fitting{}, false
		}
	}
	f.Name += given
	return f, true
}

// readShare reads a screen or an orifice; the free area has no usual value, so it must be given.
func readShare(words []string, name string, kind FittingKind, source string) (Fitting, bool) {
	text, percent := strings.CutSuffix(strings.Join(words, ""), "%")
	share, err := strconv.ParseFloat(text, 64)
	if percent {
		share /= 100
	}
	if err != nil || !(share >= 0.01 && share <= 1) {
		return Fitting{}, false
	}
	return Fitting{Row: Row{Name: name + " " + formatNumber(100*share) + "%", Source: memory(source)}, Kind: kind, FreeArea: share}, true
}

// LeastBareAngle is the least angle of an elbow, in degrees, that may be written without its unit (our choice: the trade
// makes no elbow of less than 15 degrees, and nobody counts so many on one run).
const LeastBareAngle = 15

func readAngle(word string) (float64, bool) {
	word = strings.TrimSuffix(strings.TrimSuffix(word, "°"), "deg")
	return readNumber(word, 1, 180)
}

func hasDegrees(word string) bool {
	return strings.HasSuffix(word, "°") || strings.HasSuffix(word, "deg")
}

// joinDegrees joins a number with the word for degrees behind it: "10 deg" becomes "10deg".
func joinDegrees(words []string) []string {
	var out []string
	for _, w := range words {
		if len(out) > 0 && (w == "deg" || w == "degree" || w == "degrees" || w == "°") {
			if _, err := strconv.ParseFloat(out[len(out)-1], 64); err == nil {
				out[len(out)-1] += "deg"
				continue
			}
		}
		out = append(out, w)
	}
	return out
}

func readNumber(text string, low, high float64) (float64, bool) {
	x, err := strconv.ParseFloat(text, 64)
	return x, err == nil && x >= low && x <= high
}

// formatRatio writes a ratio with a decimal, as the trade does: r1.0.
func formatRatio(x float64) string {
	if text := formatNumber(x); strings.ContainsAny(text, ".e") {
		return text
	}
	return formatNumber(x) + ".0"
}

func formatNumber(x float64) string { return strconv.FormatFloat(x, 'g', 6, 64) }
