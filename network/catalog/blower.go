package catalog

import "strconv"

// BlowerKind is how the motor of a blower behaves.
type BlowerKind uint8

const (
	// MultiTap is a permanent-split-capacitor motor: airflow and power fall with static.
	MultiTap BlowerKind = iota
	// ConstantTorque holds the torque of its motor: airflow falls a little, power rises.
	ConstantTorque
	// ConstantAirflow holds its airflow to the limit of speed or power.
	ConstantAirflow
)

// String returns the word for the kind as job files write it.
func (k BlowerKind) String() string {
	switch k {
	case MultiTap:
		return "multi-tap"
	case ConstantTorque:
		return "constant torque"
	case ConstantAirflow:
		return "constant airflow"
	}
	return "unknown"
}

// BlowerPoint is one column of a blower table.
type BlowerPoint struct {
	Static  float64 // external static pressure, Pa
	Airflow float64 // volume flow of standard air, m³/s
	Power   float64 // electric, W
}

// BlowerTap is the curve of one tap: Static rises and Airflow falls, both strictly.
type BlowerTap struct {
	Name   string
	Points []BlowerPoint
}

// Blower is a generic blower: the shape of its curves is that of one published table (see Source), it is no product.
type Blower struct {
	Row
	Kind BlowerKind
	// Tons is the cooling capacity that it is made for, in tons of 3.517 kW.
	Tons float64
	// Taps in order from the highest: "high", "medium-high", "medium", "medium-low", "low", those that the machine has.
	Taps []BlowerTap
}

// LookupBlower returns the generic blower of that name: "generic psc 2.5 ton", "generic constant torque 3 ton", "generic
// constant airflow 3 ton", in sizes 2, 2.5, 3, 3.5, 4 and 5 ton. Sizes other than that of the table have its airflow and
// power in proportion to the capacity. The caller owns the slices of the row.
func LookupBlower(name string) (Blower, bool) {
	wanted := normalise(name)
	for i := range blowerModels {
		for _, tons := range blowerSizes {
			if blowerModels[i].name(tons) == wanted {
				return blowerModels[i].size(tons), true
			}
		}
	}
	return Blower{}, false
}

// blowerSizes are the sizes on offer, tons.
var blowerSizes = [...]float64{2, 2.5, 3, 3.5, 4, 5}

func blowerNames() []string {
	list := make([]string, 0, len(blowerModels)*len(blowerSizes))
	for i := range blowerModels {
		for _, tons := range blowerSizes {
			list = append(list, blowerModels[i].name(tons))
		}
	}
	return list
}

// blowerModel is a printed table, from 0.1 in. of water in steps of 0.1.
type blowerModel struct {
	word   string
	kind   BlowerKind
	tons   float64
	source string // always our choice: see blowerModels
	taps   []tapTable
}

type tapTable struct {
	name string
	cfm  [10]float64
	watt [10]float64
}

func (m *blowerModel) name(tons float64) string {
	return "generic " + m.word + " " + strconv.FormatFloat(tons, 'g', -1, 64) + " ton"
}

// size makes the row of one size.
func (m *blowerModel) size(tons float64) Blower {
	scale := tons / m.tons
	b := Blower{
		Row:  Row{Name: m.name(tons), Source: ourChoice(m.source)},
		Kind: m.kind, Tons: tons,
		Taps: make([]BlowerTap, len(m.taps)),
	}
	if scale != 1 {
		b.Source = ourChoice("scaled from " + m.name(m.tons) + " in proportion to capacity; " + m.source)
	}
	for i := range m.taps {
		t := &m.taps[i]
		points := make([]BlowerPoint, len(t.cfm))
		for k := range points {
			points[k] = BlowerPoint{
				Static:  float64(k+1) / 10 * inwc,
				Airflow: t.cfm[k] * scale * cfm,
				Power:   t.watt[k] * scale,
			}
		}
		b.Taps[i] = BlowerTap{Name: t.name, Points: points}
	}
	return b
}
