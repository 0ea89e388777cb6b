package derive

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"spillway/network/diag"
)

// NotFoundError says that a text names no number, or several.
type NotFoundError struct {
	What string
	Near string   // the likeliest name; "" when there is none
	Fits []string // names that all fit
}

func (e *NotFoundError) Error() string {
	if len(e.Fits) > 0 {
		return fmt.Sprintf("%q fits %d numbers; give more of the name", diag.Visible(e.What), len(e.Fits))
	}
	if e.Near != "" {
		return fmt.Sprintf("there is no number %q; did you mean %q?", diag.Visible(e.What), diag.Visible(e.Near))
	}
	return fmt.Sprintf("there is no number %q", diag.Visible(e.What))
}

// find returns the entry that a text means.
func (x *Explainer) find(what string) (int, error) {
	asked := words(what)
	best, least := []int(nil), 1<<30
	for i := range x.entries {
		has := words(x.entries[i].name)
		if slices.Equal(asked, has) {
			return i, nil
		}
		if len(asked) == 0 || !covers(has, asked) {
			continue
		}
		switch extra := len(has) - len(asked); {
		case extra < least:
			best, least = []int{i}, extra
		case extra == least:
			best = append(best, i)
		}
	}
	switch {
	case len(best) == 1:
		return best[0], nil
	case len(best) > 1:
		err := &NotFoundError{What: what}
		for _, i := range best {
			err.Fits = append(err.Fits, x.entries[i].name)
		}
		return 0, err
	}
	names := make([]string, len(x.entries))
	for i := range x.entries {
		names[i] = x.entries[i].name
	}
	err := &NotFoundError{What: what}
	err.Near, _ = diag.Nearest(strings.Join(asked, " "), names)
	if err.Near == "" { // a misspelt word among good ones
		err.Near = x.nearestByWords(asked, names)
	}
	return 0, err
}

// nearestByWords mends single words and tries again.
func (x *Explainer) nearestByWords(asked, names []string) string {
	var known []string
	for _, n := range names {
		for _, w := range words(n) {
			if !slices.Contains(known, w) {
				known = append(known, w)
			}
		}
	}
	mended := slices.Clone(asked)
	for i, w := range mended {
		if near, ok := diag.Nearest(w, known); ok {
			mended[i] = near
		}
	}
	best, least := "", 1<<30
	for _, n := range names {
		if has := words(n); covers(has, mended) && len(has) < least {
			best, least = n, len(has)
		}
	}
	return best
}

// covers tells whether every word asked for is among those of a name, as often.
func covers(has, asked []string) bool {
	left := slices.Clone(has)
	for _, w := range asked {
		i := slices.Index(left, w)
		if i < 0 {
			return false
		}
		left = slices.Delete(left, i, i+1)
	}
	return true
}

// words takes a name apart, in small letters, with the words of the trade for quantities.
func words(text string) []string {
	var out []string
	for _, w := range strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }) {
		switch w {
		case "the", "of", "at", "in", "a", "an", "is", "what":
			continue
		case "cfm", "flow", "air":
			w = "airflow"
		case "fpm", "speed":
			w = "velocity"
		case "watts", "watt":
			w = "power"
		case "temp":
			w = "temperature"
		case "esp", "tesp":
			out = append(out, "external")
			w = "static"
		case "wants", "want":
			w = "wanted"
		case "short":
			w = "shortfall"
		case "nc":
			w = "noise"
		case "percent", "pct":
			w = "share"
		}
		out = append(out, w)
	}
	return out
}
