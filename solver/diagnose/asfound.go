package diagnose

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"spillway/network"
	"spillway/network/quantity"
)

// Settings are the settings PATH=VALUE with which the job file says that a fault is there, each
// with its span where the readings leave one: the severity is mid, from low to high for 95 %. There
// are none for a fault that the file has no key for, such as a torn run.
func (c *Cause) Settings(g *network.Graph, mid, low, high float64) []string {
	job := g.Job
	share := func(x float64) string { return shortest(100*x) + " %" }
	pressure := func(x float64) string { return quantity.KindPressure.Format(x, job.Units) }
	switch c.Kind {
	case LoadedFilter:
		return loading(job.Equipment.Filter, "filter", mid, low, high)
	case FouledCoil:
		return loading(job.Equipment.Coil, "coil", mid, low, high)
	case WrongTap:
		is, used, _ := strings.Cut(c.Where, " instead of ")
		var set []string
		for _, m := range []struct {
			mode    string
			machine *network.Machine
		}{{"cooling", job.Equipment.Cooling}, {"heating", job.Equipment.Heating},
			{"fan", job.Equipment.Fan}} {
			if m.machine != nil && len(m.machine.Stages) == 0 && m.machine.Tap == used {
				set = append(set, network.PathText("equipment", m.mode, "tap")+"="+is)
			}
		}
		return set
	case ShutDamper, SlippedDamper, StopOff:
		if job.DamperNamed(c.Where) == network.None {
			return nil
		}
		key := "stop"
		if c.Kind == ShutDamper {
			key = "open"
		}
		return []string{network.PathText("damper", c.Where, key) + "=" +
			spanned(mid, low, high, share)}
	case WeightOff:
		id := job.LineNamed(strings.TrimSuffix(c.Where, " damper"))
		if id == network.None {
			return nil
		}
		l := job.Line(id)
		var set []string
		for _, p := range []struct {
			key string
			at  float64
		}{{"opens-at", float64(l.OpensAt)}, {"fully-open-at", float64(l.FullyOpenAt)}} {
			if p.at > 0 {
				set = append(set, network.PathText(string(l.Table), l.Name, p.key)+"="+
					spanned(mid*p.at, low*p.at, high*p.at, pressure))
			}
		}
		return set
	}
	return nil
}

// loading is the loading of a filter or coil that has times the drop that the job gives it.
func loading(part *network.Resistance, name string, mid, low, high float64) []string {
	if part == nil {
		return nil
	}
	was := float64(part.Loading)
	if was == 0 {
		was = 1
	}
	return []string{network.PathText("equipment", name, "loading") + "=" +
		spanned(was*mid, was*low, was*high, shortest)}
}

// spanned writes a value with its span, and without one where the ends are written as the middle.
func spanned(mid, low, high float64, text func(float64) string) string {
	low, high = min(low, mid), max(high, mid)
	if text(low) == text(mid) && text(high) == text(mid) {
		return text(mid)
	}
	return fmt.Sprintf("%s (%s to %s)", text(mid), text(low), text(high))
}

// shortest writes a number to two digits, or to whole ones: a reading knows no more.
func shortest(x float64) string {
	if math.Abs(x) >= 10 {
		return strconv.FormatFloat(math.Round(x), 'f', -1, 64)
	}
	rounded, _ := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 2, 64), 64)
	return strconv.FormatFloat(rounded, 'f', -1, 64)
}
