package sheet

import (
	"io"
	"math"

	"spillway/network/quantity"
	"spillway/render/internal/jsonout"
	"spillway/solver/state"
	"spillway/solver/verdict"
	"spillway/solver/zoning"
)

// JSON writes a sheet as one JSON document, the machine interface of the program. With compact it takes one line, so that
// many jobs make JSON lines; otherwise every element, node and register has a line of its own.
//
// Keys never change their meaning; new ones may be added. Their endings name the unit:
//
//	units "ip":  _cfm  _inwc  _fpm  _f  _ft   _inwc_per_100ft  _lb_ft3  _w_per_cfm    _cfm_per_ton  _kbtu_h
//	units "si":  _l_s  _pa    _m_s  _c  _m    _pa_per_m        _kg_m3   _w_per_l_s    _l_s_per_kw   _kw
//
// (a temperature difference ends in _f or _c as well; power in _w and time in _s in both). Airflow is standard air unless the
// key says _actual. A number that does not apply, or that this version does not compute, is null; a time that never ends is null
// too, with the word "never" in the key named beside it. Numbers have six
// significant digits, but for the ledger and the blower's airflow: those are rounded to a millionth of a cfm or l/s so that the
// printed paths add up to the printed airflow of the blower, and wanted plus surplus too.
//
// With ip, in this order:
//
//	spillway     version            job, file, alternative, units
//	assumptions  path, value, why   what was assumed where the file is silent
//	states       one object for each call state:
//	  name, mode, weather, calling, stage, stages, sentence
//	  certificate  mass_residual_cfm at mass_node, pressure_residual_inwc at pressure_element, gap_w, flow_bound_cfm at
//	               flow_element (widest half-interval in which a true airflow lies), energy_residual_w of the energy_total_w that is moved, iterations,
//	               unique
//	  blower       tap, airflow_cfm, airflow_actual_cfm, external_static_inwc, power_w, power_w_per_cfm, airflow_cfm_per_ton,
//	               off_table, operating_points (airflow_cfm, static_inwc, stable)
//	  ledger       blower_cfm, wanted_cfm (what the calling registers get, each up to its want), asked_cfm (what they want),
//	               surplus_cfm, paths (to, kind, airflow_cfm, damper, position): kind is wanted, calling, bleed, bypass, dump or
//	               leakage; all but wanted are surplus
//	  equipment    computed (false: the supply temperature was given or assumed, and nothing that follows from a capacity is known),
//	               entering_f, leaving_f, recirculated (share of the air in the machine that has just left it), bypass_share (of
//	               the blower's air), unmixed (share of it that is taken to arrive unmixed), unmixed_low and unmixed_high (its band),
//	               temperature_rise_f (negative in cooling),
//	               entering_wet_bulb_f, leaving_humidity_ratio (mass of water per mass of dry air), output_kbtu_h,
//	               rated_kbtu_h, sensible_share, fan_heat_kbtu_h;
//	               heating: least_rise_f and greatest_rise_f of the plate, limit ("never", "reached" or "unknown"),
//	               limit_opens_f, limit_given (false: a default of ours), limit_sensor_f (where its sensor would settle),
//	               limit_sensor_low_f and limit_sensor_high_f (at the ends of the band), limit_band ("never" or "reached" over the whole
//	               band, or "depends"), limit_flips_at (the unmixed share above which it trips; null), time_to_limit_s, burner_duty;
//	               cooling: frost (the evaporating temperature comes down to freezing, which is not yet ice: "never", "reached",
//	               "later": at rest, but not within the course, or "unknown"), evaporating_f and evaporating_second_f (two
//	               estimates), coldest_strip_f (the colder, less what unmixed air takes away), coldest_strip_low_f and
//	               coldest_strip_high_f (at the mixed and the unmixed end of the band), frost_margin_f (above freezing), time_to_frost_s (of
//	               cooling to freezing: ice takes half an hour to two hours of unbroken running and melts in any off-period), dry;
//	               course (t_s, supply_f, entering_f, critical_f): from the start of the call; critical is the limit's sensor
//	               in heating, coldest_strip in cooling; a coil free of ice is computed
//	  elements     name, kind, side, line, zone, room, from, to, airflow_cfm (negative against from → to), airflow_within_cfm
//	               (the true airflow is certified to lie that close), surplus_cfm, velocity_fpm, drop_inwc, friction_inwc_per_100ft,
//	               temperature_f (of the air in it, mean along its way; of a blower at its inlet; of the surroundings where nothing moves),
//	               density_lb_ft3 (by which the flow is solved: of air that hardly moves nearer that of the surroundings)
//	  nodes        name, kind, static_inwc, total_inwc, temperature_f
//	  registers    name, element, zone, room, calling, dump, airflow_cfm, wanted_cfm, face_velocity_fpm, static_inwc,
//	               temperature_f, dew_point_f (of the room), sweats (the air is below it), noise_nc (at the listener), noise_low_nc and
//	               noise_high_nc (its band), noise_below (noise_nc is under NC 15, the lowest curve; every noise beyond the curves,
//	               under 15 or over 70, is null), noise_text (the same in words: "22 (<15 to 34)"), noise_from (what is heard most:
//	               register, grille, a damper or a takeoff), noise_band_hz (governs), noise_dba (null under 0),
//	               noise_outlet_nc and noise_duct_nc (the outlet's own, and what comes down the duct), noise_catalogue_nc (in
//	               the 10 dB room of makers' sheets), noise_rated (a maker's rating is behind it), screen_low_nc, screen_nc,
//	               screen_high_nc and screen_beyond (always null: velocity tables are limits for rooms and give no noise of a
//	               register), throw_ft (to 50 fpm, 0.25 m/s, or to what is in the way: throw_end is ceiling, wall, floor or "", and
//	               throw_end_fpm the air's speed there), throw_free_ft (as if nothing were in the way), throw_beyond (how it differs past
//	               the range of the temperature's correction, or ""), throw_middle_ft and throw_fast_ft (100 and 150 fpm), reach_ft (the distance to cross), pattern, pattern_given, least_throw (share of the reach),
//	               short_throw, horizontal, attached (to the ceiling), separation_ft (from it; null when it does not), jet_drop_ft (as if free, at
//	               three quarters of the reach; null where it is past any room), clearance_ft (above people), dumping (why, or ""), draught_fpm, draught_effective_f
//	  grilles      name, element, zone, room, airflow_cfm, face_velocity_fpm, noise as of registers
//	  rooms        name, zone, all that opens into the room at one listener: noise_nc, noise_below, noise_low_nc, noise_high_nc,
//	               noise_band_hz, noise_dba, noise_rc, screen_low_nc, screen_nc, screen_high_nc (null), loudest, noise_text,
//	               noise_from, face_velocity_fpm (of the loudest)
//	  zones        name, calling, airflow_cfm, wanted_cfm, shortfall_cfm, return_cfm, pressure_inwc,
//	               drift_f_per_h (warmer is positive; satisfied zones only, while the call runs), drift_end_f (from the
//	               setpoint, if such calls went on for call_duty of the time and the zone never called), calls_itself ("never" or
//	               "reached") and time_to_call_s: when it is call_band_f off and calls by itself, swing ("never" or "reached") and
//	               time_to_swing_s of a drift of swing_f, supply_f, delivered_kbtu_h and load_kbtu_h (sensible, negative in
//	               cooling), neutral_bleed_cfm (would just carry the load), shortfall_judged_by ("air", or "heat" of a zone that gets the heat
//	               it needs; null unless it calls), bleed_ratio (its airflow over that of all calling zones), held_f (how far it can be held from
//	               its set point, away from the machine, before it calls itself; negative: driven past it), least_neutral_bleed_cfm (carries a
//	               fifth of its design load); the last three of satisfied zones only
//	  zoning       caller_share (part of the heat or cold of the call that calling zones get), natural_share (the same with every zone
//	               damper open), kept (part of the possible zoning: 1 all, 0 none; null where every zone calls)
//	  dampers      name, element, position (0 shut, 1 open), blade_deg (from open), moved, calling, airflow_cfm, drop_inwc
//	  ports        name, at, static_inwc
//	  findings     check, where, level (ok, caution, fault), value, limit, unit, source, remedy, bounds ("at most" or "at least"),
//	               margin (on the good side of the limit; negative when it is passed), safety, what (the quantity, where the check does not
//	               say it: of a formula outside its range; "least mixed": at the unmixed end of the band), low and high (the band of value,
//	               where it is judged with one; a noise beyond the curves is null, and so is its margin), mixing (null, or of a value that
//	               depends on how recirculated air mixes: value_mixed and value_unmixed at the ends unmixed_low and unmixed_high of the
//	               band, flips_at: the share above which the fault's limit is passed, null where mixing does not decide it), class (safety, equipment, code,
//	               zoning, comfort, guideline, rule of thumb: the gravest first); worst first
//	  notes        what to know of this solution
//	  ranges       formulas of ducts and coil that are used outside the range of their source: element, where, quantity, value, low, high, unit,
//	               formula, held (the end of the range was used; else its form goes on), may_move_cfm (the airflow there, roughly),
//	               matters (it is among the findings)
//	house        one object for each weather of which all call states were solved: weather, mode, zones (name, least_share and greatest_share of
//	             the house's load that can be held), cases of diversity (zones: name, load_share of its design load, load_kbtu_h, over_kbtu_h
//	             that it gets beyond its load at the best mixture of calls, past_f its set point, lack_kbtu_h that it misses), findings
//	digest       states_at_fault, and what is found in all call states by its cause: causes, gravest first, and notes (what no size or setting
//	             mends). Each: kind ("surplus into a zone", "runs of a zone", "shared duct", "machine", "zone short", "zoning given away",
//	             "place"), title, part, level, class, harm (of the worst finding, in units that compare across checks), most (the greatest airflow
//	             of the zone over its want, of surplus; else null), state (of the worst finding; null of a weather), states, places, faults and cautions
//	             (findings behind it), worst (as in findings)
func JSON(w io.Writer, s *Sheet, compact bool) error {
	m := tradeOf(s.Units)
	name := "ip"
	if s.Units == quantity.SI {
		name = "si"
	}
	states := make(list, len(s.Reports))
	for i, r := range s.Reports {
		states[i] = stateObject(r, m, s.Units)
	}
	assumed := make(list, len(s.Assumptions))
	for i, a := range s.Assumptions {
		assumed[i] = object{{"path", a.Path}, {"value", a.Value}, {"why", a.Why}}
	}
	document := object{{"spillway", s.Version}, {"job", s.title()}, {"file", s.File}, {"alternative", s.Job.Alternative},
		{"units", name}, {"assumptions", assumed}, {"states", states}, {"house", houseList(s.Houses,
			m)},
		{"digest", digestObject(s, m)}}
	_, err := w.Write(append(jsonout.Append(nil, document, jsonout.Layout{Compact: compact}), '\n'))
	return err
}

func stateObject(r *Report, m trade, sys quantity.System) object {
	o := r.Outcome
	calling := o.State.Calling
	if calling == nil {
		calling = []string{}
	}
	notes := o.Notes
	if notes == nil {
		notes = []string{}
	}
	a := newAccount(o, m.airflow.factor()/ledgerScale)
	one := func(of state.Subject, more ...member) object {
		return append(fieldObject(o, of, 0, &a, sys), more...)
	}
	all := func(of state.Subject) list { return fieldList(o, of, &a, sys) }
	zones := all(state.OfZone)
	zoned := zoning.Of(o)
	for i := range zones {
		zones[i] = append(zones[i], member{"shortfall_judged_by", judgedBy(o, i)})
		zones[i] = append(zones[i], zoneZoning(&zoned.Zones[i], m)...)
	}
	return object{
		{"name", o.State.Name}, {"mode", string(o.State.Mode)}, {"weather", o.State.Weather},
		{"calling", calling}, {"stage", o.State.Stage}, {"stages", o.State.Stages},
		{"sentence", Sentence(o, sys)},
		{"certificate", one(state.OfCertificate)},
		{"blower", one(state.OfBlower, member{"operating_points", all(state.OfPoint)})},
		{"ledger", one(state.OfLedger, member{"paths", all(state.OfPath)})},
		{"equipment", one(state.OfEquipment, member{"course", all(state.OfMoment)})},
		{"elements", all(state.OfElement)}, {"nodes", all(state.OfNode)},
		{"registers", all(state.OfRegister)}, {"grilles", all(state.OfGrille)},
		{"rooms", all(state.OfRoom)}, {"zones", zones}, {"zoning", zoningObject(&zoned)}, {"dampers", all(state.OfDamper)},
		{"ports", all(state.OfPort)},
		{"findings", findingList(r.Findings, m)}, {"notes", notes}, {"ranges", rangeList(o, m)},
	}
}

// Ledger airflows are whole millionths of a cfm or l/s.
const (
	ledgerScale  = 1e6
	ledgerPlaces = 6
)

// fieldObject holds the fields of one subject of an outcome, in their order. Airflows that the
// ledger rounds are taken from it.
func fieldObject(o *state.Outcome, of state.Subject, at int, a *account, sys quantity.System) object {
	fields := state.Fields(of)
	out := make(object, len(fields), len(fields)+1)
	for i := range fields {
		f := &fields[i]
		out[i] = member{f.Key + f.Kind.Suffix(sys), fieldValue(f, f.Get(o, at), sys)}
		if whole, ok := a.rounded(f.ID, at); ok {
			out[i].value = fixed(decimal(whole, ledgerPlaces))
		}
	}
	return out
}

// fieldList holds an object for each of a subject.
func fieldList(o *state.Outcome, of state.Subject, a *account, sys quantity.System) list {
	out := make(list, o.Count(of))
	for i := range out {
		out[i] = fieldObject(o, of, i, a, sys)
	}
	return out
}

// fieldValue is a value as JSON has it; nil where the question does not arise.
func fieldValue(f *state.Field, v state.Value, sys quantity.System) any {
	switch {
	case f.Form == state.Truth && math.IsNaN(v.Num), f.Form == state.Word && v.Text == "":
		return nil
	case f.Form == state.Truth:
		return v.Num == 1
	case f.Form != state.Number:
		return v.Text
	case f.Kind.Suffix(sys) == "": // a share, not a percentage
		return v.Num
	}
	return measureIn(f.Kind, sys).paper(v.Num)
}

// judgedBy is what decides whether a zone is short; nil for one that does not call.
func judgedBy(o *state.Outcome, zone int) any {
	switch {
	case !o.Zones[zone].Calling:
		return nil
	case verdict.HeatDecides(o, zone):
		return "heat"
	}
	return "air"
}

func findingList(findings []verdict.Finding, m trade) list {
	out := make(list, len(findings))
	for i, f := range findings {
		unit := m.forQuantity(f.Quantity)
		value, low, high, margin := unit.paper(f.Value), unit.paper(f.Low), unit.paper(f.High), m.forQuantity(f.Quantity.Difference()).of(f.Margin)
		if !f.HasBand() {
			low, high = math.NaN(), math.NaN()
		}
		if math.IsNaN(value) {
			margin = value
		}
		out[i] = object{
			{"check", f.Check}, {"where", f.Where}, {"level", string(f.Level)}, {"value", value}, {"limit", unit.of(f.Limit)},
			{"unit", unit.plain}, {"source", f.Source}, {"remedy", f.Remedy},
			{"bounds", f.Bounds.String()}, {"margin", margin}, {"safety", f.Safety},
			{"what", f.What}, {"low", low}, {"high", high}, {"mixing", mixedObject(&f, m)}, {"class", string(f.Class)},
		}
	}
	return out
}

// mixedObject is what a finding knows of mixing; nil where mixing plays no part.
func mixedObject(f *verdict.Finding, m trade) any {
	if f.Mixed == (verdict.Mixed{}) {
		return nil
	}
	unit := m.forQuantity(f.Quantity)
	flip := f.Mixed.Flip
	if flip == 0 {
		flip = math.NaN()
	}
	return object{{"value_mixed", unit.of(f.Mixed.Low)}, {"value_unmixed", unit.of(f.Mixed.High)},
		{"unmixed_low", f.Mixed.From}, {"unmixed_high", f.Mixed.To}, {"flips_at", flip}}
}
