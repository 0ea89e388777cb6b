package sheet

import (
	"io"

	"spillway/solver/diagnose"
)

// FitJSON writes a fit as one JSON document. Readings and what is expected of them are in their own SI unit (Pa, m³/s, m/s, °C, K, dB,
// W), as "si_unit" says, and in the report's unit as "printed".
//
//	spillway, job, file, alternative, units, readings_file
//	readings    name, state, kind, at, value, sigma, instrument, instrument_source, expected, as_built_sigma, off (standard deviations), printed,
//	            printed_expected, unit, bad (chance), leave_one_out (standard deviations), tolerance, passes
//	fits        whether the first hypothesis explains the readings
//	hypotheses  rank, causes (kind, where, severity, low, high, means), weight, prior, ln_evidence, chi2, bic, expected (per reading)
//	twins       ranks that the readings cannot tell from the first
//	next        kind, at, state, expected (per hypothesis), hypotheses (ranks), sigma, apart, value
//	knowledge   singular_values, determined, parameters (name, known_sigma), together
//	remedy      state, airflow, airflow_after, static, static_after, surplus, surplus_after, shortfall, shortfall_after, face_velocity, face_velocity_after (SI)
//	priors      kind, where, odds, why, means: everything that was thought of
func FitJSON(w io.Writer, head *Sheet, f *Fitted) error {
	t := tradeOf(head.Units)
	var readings list
	for i, r := range f.Readings.List {
		m := t.measureOfReading(r.Kind)
		tolerance := diagnose.Tolerance(r.Kind, f.Result.Base[i], f.Result.Sigma[i], f.Result.AsBuilt[i])
		readings = append(readings, object{{"name", r.Name}, {"state", r.State}, {"kind", string(r.Kind)}, {"at", r.Place.Name}, {"value", r.Value}, {"sigma", r.Sigma},
			{"instrument", r.Instrument.Name}, {"instrument_source", r.Instrument.Source.String()}, {"expected", f.Result.Base[i]}, {"as_built_sigma", f.Result.AsBuilt[i]}, {"off", f.Result.Off[i]},
			{"si_unit", r.Kind.Quantity().SI()}, {"printed", m.of(r.Value)}, {"printed_expected", m.of(f.Result.Base[i])}, {"unit", m.label}, {"bad", f.Result.Bad[i]}, {"leave_one_out", f.Result.Left[i]},
			{"tolerance", tolerance}, {"passes", !Fails(f, i)}})
	}
	var hypotheses list
	for k := range min(f.Top, len(f.Result.Hypotheses)) {
		h := &f.Result.Hypotheses[k]
		var causes, expected list
		for n, c := range h.Causes {
			cause := &f.Bench.Causes()[c]
			causes = append(causes, object{{"kind", string(cause.Kind)}, {"where", cause.Where}, {"severity", h.Severities[n]}, {"low", h.Low[n]}, {"high", h.High[n]}, {"means", cause.Means}})
		}
		for i, v := range h.Expected {
			expected = append(expected, object{{"name", f.Readings.List[i].Name}, {"value", v}})
		}
		hypotheses = append(hypotheses, object{{"rank", k + 1}, {"causes", causes}, {"weight", h.Weight}, {"prior", h.Prior}, {"ln_evidence", h.Evidence}, {"chi2", h.Chi2}, {"bic", h.BIC}, {"expected", expected}})
	}
	var twins, next list
	for _, k := range f.Result.Twins {
		twins = append(twins, object{{"rank", k + 1}})
	}
	for k := range min(5, len(f.Next)) {
		n := &f.Next[k]
		var expected list
		for i, v := range n.Expected {
			expected = append(expected, object{{"rank", n.Hypotheses[i] + 1}, {"value", v}})
		}
		next = append(next, object{{"kind", string(n.Kind)}, {"at", n.Place.Name}, {"state", n.State}, {"expected", expected}, {"sigma", n.Sigma}, {"apart", n.Apart}, {"value", n.Value}})
	}
	var priors list
	for _, c := range f.Bench.Causes() {
		priors = append(priors, object{{"kind", string(c.Kind)}, {"where", c.Where}, {"odds", c.Odds}, {"why", c.Why}, {"means", c.Means}})
	}
	o := append(studyObject(head), object{{"readings_file", f.File}, {"readings", readings}, {"fits", f.Result.Fits}, {"hypotheses", hypotheses}, {"twins", twins}, {"next", next},
		{"knowledge", knowledgeObject(f.Knowledge)}, {"remedy", remedyList(f.Remedy)}, {"priors", priors}}...)
	return writeObject(w, o)
}

func knowledgeObject(k *diagnose.Knowledge) any {
	if k == nil {
		return nil
	}
	var values, parameters, together list
	for _, s := range k.Singular {
		values = append(values, object{{"value", s}})
	}
	for i, n := range k.Names {
		parameters = append(parameters, object{{"name", n}, {"known_sigma", k.Known[i]}})
	}
	for _, p := range k.Together {
		together = append(together, object{{"one", k.Names[p[0]]}, {"other", k.Names[p[1]]}})
	}
	return object{{"determined", k.Determined}, {"singular_values", values}, {"parameters", parameters}, {"together", together}}
}

func remedyList(r *diagnose.Remedy) any {
	if r == nil {
		return nil
	}
	var states list
	for _, s := range r.States {
		states = append(states, object{{"state", s.State}, {"airflow", s.Airflow}, {"airflow_after", s.AirflowAfter}, {"static", s.Static}, {"static_after", s.StaticAfter},
			{"surplus", s.Surplus}, {"surplus_after", s.SurplusAfter}, {"shortfall", s.Shortfall}, {"shortfall_after", s.AfterShort}, {"face_velocity", s.LoudestFace}, {"face_velocity_after", s.FaceAfter}})
	}
	return states
}
