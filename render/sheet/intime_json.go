package sheet

import (
	"encoding/csv"
	"io"
	"math"

	"spillway/network/quantity"
	"spillway/render/internal/jsonout"
	"spillway/solver/calendar"
)

// TimeJSON writes a run as one document:
//
//	spillway, job, file, alternative, units, simulated, weather, days
//	states    name, hours, share, calls, median_call_s, longest_call_s; longest_settled_s, longest_recovery_s, to_limit_s,
//	          limit_trips, limit_trips_in_recovery
//	zones     name, mean_temperature_f, degree_hours_short, degree_hours_over, recovery_s; lowest_temperature_f,
//	          highest_temperature_f, calls, recoveries_not_reached, mean_humidity, most_humid (0 to 1; null
//	          where nothing cools), humid_hours (above 60 %)
//	machine   starts, limit_trips, limit_trips_in_recovery, cut_outs, iced_hours, gas_kbtu, compressor_kwh, blower_kwh; on_hours,
//	          busiest_hour_starts, lost_kwh, most_ice_kg, water_drained_kg, water_given_back_kg
//	fates     kind, share
//	balance_error, unsolved_hours, failures (state, reason, count), states_solved, interpolation_error, half_mass and double_mass (a
//	machine each)
//
// States share the whole time; limit_trips count all, those in recovery among them, and those of a state its cut-outs too. With units = "si" temperatures end in _c, degree
// hours are in K·h, and gas is gas_kwh.
func TimeJSON(w io.Writer, head *Sheet, run *InTime, oneLine bool) error {
	r := run.Result
	l := r.Ledger
	m := tradeOf(head.Units)
	states := list{}
	for i := range l.States {
		s := &l.States[i]
		recovery, otherwise := timeTrips(s)
		states = append(states, object{{"name", r.Name(s.Call)}, {"hours", s.Hours() / anHour}, {"share", s.Hours() / l.Time}, {"calls", len(s.Visits)},
			{"median_call_s", s.Median(always)}, {"longest_call_s", s.Longest(always)}, {"longest_settled_s", s.Longest(settled)}, {"longest_recovery_s", s.Longest(recovering)},
			{"to_limit_s", r.ToGuard(s.Call)}, {"limit_trips", recovery + otherwise}, {"limit_trips_in_recovery", recovery}})
	}
	zones := list{}
	for i := range l.Zones {
		z := &l.Zones[i]
		zones = append(zones, object{{"name", r.Job.Zones[i].Name}, {"mean_temperature" + m.temperature.key, m.temperature.of(z.Mean)}, {"degree_hours_short", m.span.of(z.Short) / anHour},
			{"degree_hours_over", m.span.of(z.Over) / anHour}, {"recovery_s", longestRecovery(z)}, {"lowest_temperature" + m.temperature.key, m.temperature.of(z.Low)},
			{"highest_temperature" + m.temperature.key, m.temperature.of(z.High)}, {"calls",
				len(z.Calls)}, {"recoveries_not_reached", z.Unreached}, {"mean_humidity",
				unlessZero(z.MeanHumidity)},
			{"most_humid", unlessZero(z.MostHumid)}, {"humid_hours", z.Humid / anHour}})
	}
	fates := list{}
	for k, share := range fateShares(r) {
		fates = append(fates, object{{"kind", string(calendar.Fates[k])}, {"share", share}})
	}
	failures := list{}
	for _, f := range l.Failures {
		failures = append(failures, object{{"state", r.Name(f.Call)}, {"reason", f.Err.Error()}, {"count", f.Count}})
	}
	what := "day"
	if r.Days > 1 {
		what = "year"
	}
	o := append(studyObject(head), member{"simulated", what}, member{"weather", r.Title}, member{"days", r.Days}, member{"states", states}, member{"zones", zones},
		member{"machine", timeMachineObject(r, head.Units)}, member{"fates", fates}, member{"balance_error", l.Balance()}, member{"unsolved_hours", l.Unsolved / anHour},
		member{"failures", failures}, member{"states_solved", r.Solved}, member{"interpolation_error", r.Error})
	if run.Light != nil && run.Heavy != nil {
		o = append(o, member{"half_mass", timeMachineObject(run.Light, head.Units)}, member{"double_mass", timeMachineObject(run.Heavy, head.Units)})
	}
	_, err := w.Write(append(jsonout.Append(nil, o, jsonout.Layout{Compact: oneLine}), '\n'))
	return err
}

// unlessZero is a number, NaN for zero.
func unlessZero(x float64) float64 {
	if x == 0 {
		return math.NaN()
	}
	return x
}

func timeMachineObject(r *calendar.Result, sys quantity.System) object {
	l := r.Ledger
	h, c := &l.Heating, &l.Cooling
	gas, compressor := 0.0, c.Input/kWh
	if r.Fuel {
		gas = h.Input
	} else {
		compressor += h.Input / kWh
	}
	fuel := member{"gas_kbtu", gas / kBtu}
	if sys == quantity.SI {
		fuel = member{"gas_kwh", gas / kWh}
	}
	return object{{"starts", starts(r)}, {"limit_trips", h.Opening[0] + h.Opening[1]}, {"limit_trips_in_recovery", h.Opening[1]}, {"cut_outs", h.CutOuts + c.CutOuts},
		{"iced_hours", c.Iced / anHour}, fuel, {"compressor_kwh", compressor}, {"blower_kwh", (h.Blower + c.Blower) / kWh}, {"on_hours", (h.On + c.On) / anHour},
		{"busiest_hour_starts", max(h.Busiest(), c.Busiest())}, {"lost_kwh",
			(h.Lost + c.Lost) / kWh}, {"most_ice_kg", c.MostIce},
		{"water_drained_kg", c.Water}, {"water_given_back_kg", c.Evaporated}}
}

// TimeCSV writes runs as one table: alternative, kind (state, zone, machine, fate), name, quantity, value, unit. A number that does not
// apply has no row.
func TimeCSV(w io.Writer, heads []*Sheet, runs []*InTime) error {
	out := csv.NewWriter(w)
	_ = out.Write([]string{"alternative", "kind", "name", "quantity", "value", "unit"}) // the error stays in the writer
	for k, run := range runs {
		r := run.Result
		m := tradeOf(heads[k].Units)
		row := func(kind, name, what string, value float64, unit string) {
			if !math.IsNaN(value) && !math.IsInf(value, 0) {
				_ = out.Write([]string{guard(heads[k].Job.Alternative), kind, guard(name), what, figure(value), unit})
			}
		}
		for i := range r.Ledger.States {
			s := &r.Ledger.States[i]
			name := r.Name(s.Call)
			recovery, otherwise := timeTrips(s)
			row("state", name, "hours", s.Hours()/anHour, "h")
			row("state", name, "share", s.Hours()/r.Ledger.Time, "")
			row("state", name, "calls", float64(len(s.Visits)), "")
			row("state", name, "median call", s.Median(always), "s")
			row("state", name, "longest call", s.Longest(always), "s")
			row("state", name, "longest settled call", s.Longest(settled), "s")
			row("state", name, "limit trips in recovery", float64(recovery), "")
			row("state", name, "limit trips settled", float64(otherwise), "")
		}
		for i := range r.Ledger.Zones {
			z := &r.Ledger.Zones[i]
			name := r.Job.Zones[i].Name
			row("zone", name, "mean temperature", m.temperature.of(z.Mean), m.temperature.plain)
			row("zone", name, "degree hours short", m.span.of(z.Short)/anHour, m.span.plain+"h")
			row("zone", name, "degree hours over", m.span.of(z.Over)/anHour, m.span.plain+"h")
			row("zone", name, "recovery", longestRecovery(z), "s")
		}
		for _, x := range timeMachineObject(r, heads[k].Units) {
			value, ok := x.value.(float64)
			if n, whole := x.value.(int); whole {
				value, ok = float64(n), true
			}
			if ok {
				row("machine", "", x.key, value, "")
			}
		}
		for n, share := range fateShares(r) {
			row("fate", string(calendar.Fates[n]), "share", share, "")
		}
		row("run", "", "days", r.Days, "d")
		row("run", "", "balance error", r.Ledger.Balance(), "")
	}
	out.Flush()
	return out.Error()
}
