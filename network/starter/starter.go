// Package starter writes a first job file from a few answers: a small system with round sizes, in
// rows and commented, that reads and solves as it stands and is meant to be changed.
//
// Its sizes are rules of thumb (common practice: airflow by capacity, velocities by kind of duct),
// not a design. The package opens no files and solves nothing.
package starter

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"spillway/network/quantity"
)

// Zone is one thermostat and what is known of it. What is 0 is not known.
type Zone struct {
	Name       string
	Wants      quantity.Airflow // 0: its share of what the equipment moves, by gain, floor or count
	Floor      quantity.Area
	Loss, Gain quantity.Heat
	Up         quantity.Length // from the equipment to the zone's ducts; negative below
	Rooms      []string        // a register each; none: as many as the airflow takes
	// Stop is how far the zone's damper stays open while only others call, 0 to 1.
	Stop float64
}

// Answers are what the file is made from. The zero value is a house of two zones with a 3-ton system.
type Answers struct {
	Title  string
	Units  quantity.System
	Tons   float64       // nominal cooling capacity: 2, 2.5, 3, 3.5, 4 or 5; 0: 3
	Output quantity.Heat // of the heating; 0: none
	Heater string        // "furnace" ("" too), "heat pump" or "electric"
	Ducts  string        // where the ducts run: "inside" ("" too), "attic" or another place of the job file
	Zones  []Zone        // two to eight; none: "day" and "night"
	Bypass bool          // a weighted bypass is installed
	// Remarks stand in the head of the file: what was tried, what is still wrong.
	Remarks []string
}

// AirflowPerTon is the usual airflow of cooling equipment, 400 cfm per ton (common practice).
const AirflowPerTon = 400 * quantity.CFM

// Sizes are the capacities there are blowers for, tons.
func Sizes() []float64 { return []float64{2, 2.5, 3, 3.5, 4, 5} }

// Heaters are the kinds of heating.
func Heaters() []string { return []string{"furnace", "heat pump", "electric"} }

// Errors of answers that cannot be.
var (
	ErrSize  = errors.New("the capacity must be 2, 2.5, 3, 3.5, 4 or 5 tons")
	ErrZones = errors.New("there must be two to eight zones")
	ErrNames = errors.New("zones and rooms need names of their own: one to twenty letters, " +
		"digits, blanks and hyphens, beginning with a letter")
	ErrWants = errors.New("a zone must want a tenth to nine tenths of what the equipment moves, " +
		"all zones together half to one and a half times as much")
	ErrTitle = errors.New("the title must be one line of up to 120 characters")
	ErrHeat  = errors.New("the heating output must be 5 to 30 kBtu/h (1.5 to 8.8 kW) per ton: " +
		"more is beyond the usual rise at this airflow")
	ErrHeater = errors.New("the heating must be furnace, heat pump or electric")
	ErrDucts  = errors.New("ducts run inside or in the attic, crawlspace, basement or garage")
	ErrLoads  = errors.New("a zone's floor, loss and gain must be positive and of a house's size, " +
		"its height at most 30 ft")
	ErrRooms = errors.New("a zone has at most twelve rooms")
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
	if a.Heater == "" {
		a.Heater = "furnace"
	}
	if a.Ducts == "" {
		a.Ducts = "inside"
	}
	perTon := a.Output / quantity.Heat(quantity.BtuPerHour*a.Tons)
	switch {
	case !slices.Contains(Sizes(), a.Tons):
		return a, fmt.Errorf("%w, not %g", ErrSize, a.Tons)
	case len(a.Zones) < 2 || len(a.Zones) > 8:
		return a, fmt.Errorf("%w, not %d", ErrZones, len(a.Zones))
	case len(a.Title) > 120 || strings.ContainsFunc(a.Title, func(r rune) bool {
		return r < 0x20 || r == 0x7f || r == '\uFFFD'
	}):
		return a, ErrTitle
	case a.Output != 0 && !(perTon >= 5000 && perTon <= 30_001):
		return a, ErrHeat
	case !slices.Contains(Heaters(), a.Heater):
		return a, fmt.Errorf("%w, not %q", ErrHeater, a.Heater)
	case !slices.Contains([]string{"inside", "attic", "crawlspace", "basement", "garage"}, a.Ducts):
		return a, fmt.Errorf("%w, not %q", ErrDucts, a.Ducts)
	}
	return a, a.checkZones()
}

// checkZones gives every zone its name as the file has it and the airflow that it wants.
func (a *Answers) checkZones() error {
	a.Zones = slices.Clone(a.Zones)
	moved := quantity.Airflow(a.Tons * AirflowPerTon)
	shares := sharesOf(a.Zones)
	total := quantity.Airflow(0)
	taken := map[string]bool{"trunk": true, "drop": true, "relief": true}
	name := func(text string) (string, error) {
		n := strings.ToLower(strings.Join(strings.Fields(text), "-"))
		if !goodName(n) || taken[n] {
			return "", fmt.Errorf("%w: %q", ErrNames, text)
		}
		taken[n] = true
		return n, nil
	}
	for i := range a.Zones {
		z := &a.Zones[i]
		var err error
		if z.Name, err = name(z.Name); err != nil {
			return err
		}
		taken[z.Name+"-trunk"], taken[z.Name+"-grille"] = true, true
	}
	for i := range a.Zones {
		z := &a.Zones[i]
		if len(z.Rooms) > 12 {
			return fmt.Errorf("%w: %q", ErrRooms, z.Name)
		}
		z.Rooms = slices.Clone(z.Rooms)
		delete(taken, z.Name) // a room may have its zone's name
		for k := range z.Rooms {
			var err error
			if z.Rooms[k], err = name(z.Rooms[k]); err != nil {
				return err
			}
		}
		taken[z.Name] = true
		if z.Wants == 0 {
			z.Wants = quantity.Airflow(shares[i]) * moved
		}
		if !(z.Wants >= 0.1*moved && z.Wants <= 0.9*moved) {
			return fmt.Errorf("%w: %q", ErrWants, z.Name)
		}
		if !(z.Floor >= 0 && z.Floor <= 2000 && z.Loss >= 0 && z.Loss <= 60e3 && z.Gain >= 0 &&
			z.Gain <= 60e3 && math.Abs(float64(z.Up)) <= 30*quantity.Foot) {
			return fmt.Errorf("%w: %q", ErrLoads, z.Name)
		}
		total += z.Wants
	}
	if !(total >= 0.5*moved && total <= 1.5*moved) {
		return ErrWants
	}
	return nil
}

// sharesOf is each zone's share of the air: by the gains if all are known, else by the floors, else
// alike.
func sharesOf(zones []Zone) []float64 {
	shares := make([]float64, len(zones))
	for _, of := range []func(z *Zone) float64{
		func(z *Zone) float64 { return float64(z.Gain) },
		func(z *Zone) float64 { return float64(z.Floor) },
		func(*Zone) float64 { return 1 },
	} {
		sum, all := 0.0, true
		for i := range zones {
			shares[i] = of(&zones[i])
			sum, all = sum+shares[i], all && shares[i] > 0
		}
		if all {
			for i := range shares {
				shares[i] /= sum
			}
			return shares
		}
	}
	return shares
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

// duct prints the size of a trunk for an airflow at a velocity in fpm: round up to 16 in, else
// rectangular and a foot high.
func (w *writer) duct(q, fpm float64) string {
	area := q / (fpm * quantity.FPM)
	if area <= math.Pi/4*math.Pow(16*quantity.Inch, 2)*1.02 {
		return w.round(q, fpm)
	}
	if w.Units == quantity.SI {
		return fmt.Sprintf("%.0fx300", math.Ceil(area/0.3/0.05)*50)
	}
	return fmt.Sprintf("%.0fx12", 2*math.Ceil(area/quantity.Foot/(2*quantity.Inch)))
}

// register prints the size of a supply register for an airflow.
func (w *writer) register(q float64) string {
	cfm := q / quantity.CFM
	switch {
	case cfm <= 70:
		return w.pick("10x4", "250x100")
	case cfm <= 105:
		return w.pick("10x6", "250x150")
	}
	return w.pick("12x6", "300x150")
}

// grille prints the size of a return grille for an airflow at 250 fpm of its face, at least 6 in.
// high.
func (w *writer) grille(q float64) string {
	height := math.Max(6, 2*math.Ceil(q/(250*quantity.FPM)/(20*quantity.SquareInch)/2))
	if w.Units == quantity.SI {
		return fmt.Sprintf("500x%d", int(height*25))
	}
	return fmt.Sprintf("20x%d", int(height))
}
