package sheet

import (
	"io"
	"strconv"
	"strings"

	"spillway/render/internal/jsonout"
)

// object is a JSON object whose members keep their order. Key names depend on the system of units, which struct tags cannot
// say.
type object []member

type member struct {
	key   string
	value any
}

// list is a JSON array of objects.
type list []object

func (o object) Len() int                   { return len(o) }
func (o object) Member(i int) (string, any) { return o[i].key, o[i].value }
func (l list) Len() int                     { return len(l) }
func (l list) Object(i int) jsonout.Object  { return l[i] }

// fixed is a number that is printed exactly as it stands: the rounded airflows of a ledger.
type fixed = jsonout.Raw

// writeObject writes a document over several lines.
func writeObject(w io.Writer, o object) error {
	_, err := w.Write(append(jsonout.Append(nil, o, jsonout.Layout{}), '\n'))
	return err
}

// figure is a number for a spreadsheet, as JSON has it.
func figure(x float64) string { return string(jsonout.AppendNumber(nil, x)) }

// decimal prints whole·10⁻ᵖˡᵃᶜᵉˢ exactly, without trailing zeros.
func decimal(whole int64, places int) string {
	digits := strconv.FormatInt(whole, 10)
	sign := ""
	if whole < 0 {
		sign, digits = "-", digits[1:]
	}
	if len(digits) <= places {
		digits = strings.Repeat("0", places-len(digits)+1) + digits
	}
	point := len(digits) - places
	fraction := strings.TrimRight(digits[point:], "0")
	if fraction != "" {
		fraction = "." + fraction
	}
	return sign + digits[:point] + fraction
}
