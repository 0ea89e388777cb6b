package clock

// rampSteps is in how many steps of constant airflow a blower changes its speed (our choice).
const rampSteps = 4

// ramp is a blower on its way from the airflow of one stage to that of another: burner or
// compressor run at the new stage at once, the airflow follows in even steps.
type ramp struct {
	from, to *Supply // nil: none on its way
	done     int
	next     float64 // s, of the next step
	mixed    map[rampKey]*Supply
}

type rampKey struct {
	from, to *Supply
	step     int
}

// begin starts from the supply that runs and returns the first step.
func (p *ramp) begin(r *run, to *Supply) *Supply {
	p.from, p.to, p.done, p.next = r.supply, to, 0, r.t+r.side.Ramp/rampSteps
	return p.at(r, 0)
}

// step takes the next step when it is due.
func (p *ramp) step(r *run) bool {
	if p.to == nil || r.t < p.next-instant {
		return false
	}
	p.done, p.next = p.done+1, p.next+r.side.Ramp/rampSteps
	s := p.to
	if p.done < rampSteps {
		s = p.at(r, p.done)
	} else {
		p.to = nil
	}
	r.swap(s, true)
	r.supply = s
	return true
}

// at is the supply in the middle of a step: the ducts' shares of the capacity and of the air
// between those of both ends, the capacity that of the new stage.
func (p *ramp) at(r *run, step int) *Supply {
	key := rampKey{p.from, p.to, step}
	if s := p.mixed[key]; s != nil {
		return s
	}
	f := (float64(step) + 0.5) / rampSteps
	a, b := p.from, p.to
	mix := func(x, y float64) float64 { return (1-f)*x + f*y }
	both := func(x, y []float64) []float64 {
		if len(x) != len(y) || y == nil {
			return y
		}
		out := make([]float64, len(y))
		for i := range y {
			out[i] = mix(x[i], y[i])
		}
		return out
	}
	s := &Supply{Rate: both(a.Rate, b.Rate), Return: both(a.Return, b.Return),
		Airflow: both(a.Airflow, b.Airflow),
		Output:  b.Output, Input: b.Input, Blower: mix(a.Blower,
			b.Blower), Latent: b.Latent, Coil: mix(a.Coil, b.Coil),
		Contact: mix(a.Contact, b.Contact), Surface: mix(a.Surface, b.Surface),
		NextPass: b.NextPass}
	// A rise is inverse to the airflow: what mixes is the capacity over it.
	inverse := func(x, y float64) float64 {
		if x*y <= 0 {
			return mix(x*b.Output/a.Output, y)
		}
		return b.Output / mix(a.Output/x, b.Output/y)
	}
	s.Guards = make([]float64, len(b.Guards))
	for i := range b.Guards {
		s.Guards[i] = inverse(a.Guards[i], b.Guards[i])
	}
	s.Rise = make([]float64, len(b.Rise))
	for i := range b.Rise {
		if s.Rate[i] > 0 {
			s.Rise[i] = mix(a.Rate[i]*a.Rise[i]/a.Output,
				b.Rate[i]*b.Rise[i]/b.Output) * b.Output / s.Rate[i]
		}
	}
	if a.Lag > 0 && b.Lag > 0 {
		s.Lag = 1 / mix(1/a.Lag, 1/b.Lag)
	}
	if _, err := r.modesOf(s); err != nil {
		s = b
	}
	p.mixed[key] = s
	return s
}
