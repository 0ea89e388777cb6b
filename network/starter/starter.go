// Package starter writes a first job file from a few answers: a small system with round sizes, commented, that reads and solves as it
// stands and is meant to be changed.
//
// Its sizes are rules of thumb (common practice: airflow by capacity, velocities by kind of duct), no design. The package opens no
// files and solves nothing.
package starter

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"spillway/network/quantity"
)

// Zone is one thermostat.
type Zone struct {
	Name  string
	Wants quantity.Airflow // 0: an equal share of what the equipment moves
}

// Answers are what the file is made from. The zero value is a house of two zones with a 3-ton system.
type Answers struct {
	Title  string
	Units  quantity.System
	Tons   float64       // nominal cooling capacity: 2, 2.5, 3, 3.5, 4 or 5; 0: 3
	Output quantity.Heat // of the furnace; 0: none
	Zones  []Zone        // two to eight; none: "day" and "night"
	Bypass bool          // with an alternative that has a weighted bypass
}

// AirflowPerTon is the usual airflow of cooling equipment, 400 cfm per ton (common practice).
const AirflowPerTon = 400 * quantity.CFM

// Sizes are the capacities there are blowers for, tons.
func Sizes() []float64 { return []float64{2, 2.5, 3, 3.5, 4, 5} }

// Errors of answers that cannot be.
var (
	ErrSize  = errors.New("the capacity must be 2, 2.5, 3, 3.5, 4 or 5 tons")
	ErrZones = errors.New("there must be two to eight zones")
	ErrNames = errors.New("zones need names of their own: one to twenty letters, digits, blanks and hyphens, beginning with a letter")
	ErrWants = errors.New("a zone must want a tenth to nine tenths of what the equipment moves, all zones together half to one and a half times as much")
	ErrTitle = errors.New("the title must be one line of up to 120 letters")
	ErrHeat  = errors.New("the heating output must lie between 5 and 30 kBtu/h (1.5 and 8.8 kW) per ton: more is beyond the usual rise of a furnace at this airflow")
)

// Check completes the answers and says what cannot be.
func (a Answers) Check() (Answers, error) {
	if a.Tons == 0 {
		a.Tons = 3
	}
	if a.Title == "" {
		a.Title = "A new job"
	}
	if len(a.Zones) == 0 {
		a.Zones = []Zone{{Name: "day"}, {Name: "night"}}
	}
	known := false
	for _, tons := range Sizes() {
		known = known || tons == a.Tons
	}
	switch {
	case !known:
		return a, fmt.Errorf("%w, not %g", ErrSize, a.Tons)
	case len(a.Zones) < 2 || len(a.Zones) > 8:
		return a, fmt.Errorf("%w, not %d", ErrZones, len(a.Zones))
	case len(a.Title) > 120 || strings.ContainsFunc(a.Title, func(r rune) bool { return r < 0x20 || r == 0x7f || r == '\uFFFD' }):
		return a, ErrTitle
	case a.Output != 0 && !(a.Output >= quantity.Heat(5000*quantity.BtuPerHour*a.Tons) && a.Output <= quantity.Heat(30_001*quantity.BtuPerHour*a.Tons)):
		return a, ErrHeat
	}
	zones := make([]Zone, len(a.Zones))
	total, moved := quantity.Airflow(0), quantity.Airflow(a.Tons*AirflowPerTon)
	taken := map[string]bool{}
	for i, z := range a.Zones {
		z.Name = strings.ToLower(strings.Join(strings.Fields(z.Name), "-"))
		if !goodName(z.Name) || taken[z.Name] {
			return a, fmt.Errorf("%w: %q", ErrNames, a.Zones[i].Name)
		}
		taken[z.Name] = true
		if z.Wants == 0 {
			z.Wants = moved / quantity.Airflow(len(a.Zones))
		}
		if !(z.Wants >= 0.1*moved && z.Wants <= 0.9*moved) {
			return a, fmt.Errorf("%w: %q", ErrWants, z.Name)
		}
		total += z.Wants
		zones[i] = z
	}
	if !(total >= 0.5*moved && total <= 1.5*moved) {
		return a, ErrWants
	}
	a.Zones = zones
	return a, nil
}

func goodName(name string) bool {
	if name == "" || len(name) > 20 || name[0] < 'a' || name[0] > 'z' {
		return false
	}
	return !strings.ContainsFunc(name, func(r rune) bool {
		return !(r >= 'a' && r <= 'z' || r >= '0' && r <= '9' || r == '-')
	})
}

// File writes the job file. Errors: answers that Check refuses.
func File(answers Answers) ([]byte, error) {
	a, err := answers.Check()
	if err != nil {
		return nil, err
	}
	w := &writer{Answers: a}
	w.head()
	w.equipment()
	w.zones()
	w.supply()
	w.returns()
	w.rest()
	return []byte(w.text.String()), nil
}

// writer holds the text while it grows, and the words for quantities in the system of the file.
type writer struct {
	Answers
	text strings.Builder
}

func (w *writer) line(format string, args ...any) { fmt.Fprintf(&w.text, format+"\n", args...) }

// airflow of the whole system.
func (w *writer) airflow() float64 { return w.Tons * AirflowPerTon }

// pick is the text for the system of the file.
func (w *writer) pick(ip, si string) string {
	if w.Units == quantity.SI {
		return si
	}
	return ip
}

// flow prints an airflow, rounded to 5 cfm or 5 l/s.
func (w *writer) flow(q float64) string {
	if w.Units == quantity.SI {
		return strconv.Itoa(int(math.Max(1, math.Round(q/quantity.LitrePerS/5)))*5) + " l/s"
	}
	return strconv.Itoa(int(math.Max(1, math.Round(q/quantity.CFM/5)))*5) + " cfm"
}

// length prints a length given in feet, rounded to half a metre.
func (w *writer) length(feet float64) string {
	if w.Units == quantity.SI {
		return strconv.FormatFloat(math.Round(feet*quantity.Foot*2)/2, 'f', -1, 64) + " m"
	}
	return strconv.FormatFloat(feet, 'f', -1, 64) + " ft"
}

// round prints the size of a round duct for an airflow at a velocity in fpm, rounded up to a size that is made.
func (w *writer) round(q, fpm float64) string {
	diameter := math.Sqrt(4 * q / (fpm * quantity.FPM) / math.Pi)
	if w.Units == quantity.SI {
		for _, mm := range []float64{100, 125, 150, 160, 200, 250, 315, 355, 400, 450, 500, 560} {
			if diameter <= mm/1000*1.02 {
				return fmt.Sprintf("%g mm", mm)
			}
		}
		return "630 mm"
	}
	for _, inch := range []float64{4, 5, 6, 7, 8, 9, 10, 12, 14, 16, 18, 20, 22} {
		if diameter <= inch*quantity.Inch*1.02 {
			return fmt.Sprintf("%g in", inch)
		}
	}
	return "24 in"
}

// register prints the size of a supply register for an airflow.
func (w *writer) register(q float64) string {
	cfm := q / quantity.CFM
	switch {
	case cfm <= 70:
		return w.pick("8x4 in", "200x100 mm")
	case cfm <= 100:
		return w.pick("10x4 in", "250x100 mm")
	case cfm <= 140:
		return w.pick("10x6 in", "250x150 mm")
	}
	return w.pick("12x6 in", "300x150 mm")
}

// grille prints the size of a return grille for an airflow at 300 fpm of its face, at least 6 in. high.
func (w *writer) grille(q float64) string {
	height := math.Max(6, 2*math.Ceil(q/(300*quantity.FPM)/(20*quantity.SquareInch)/2))
	if w.Units == quantity.SI {
		return fmt.Sprintf("500x%d mm", int(height*25))
	}
	return fmt.Sprintf("20x%d in", int(height))
}
