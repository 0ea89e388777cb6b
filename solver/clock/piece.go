package clock

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/mat"
)

// modes are the temperatures of air and mass under one supply, or with the blower off, taken apart
// into exponentials. The sensors and the machine follow in closed form: see piece.
type modes struct {
	n      int
	supply *Supply   // nil: blower off
	share  []float64 // of the return air per zone
	rate   []float64 // 1/s: 2n of the zones, then of the machine, then of the sensors; all < 0
	v, vi  []float64 // eigenvectors and their inverse, 2n × 2n by rows
	heat   []float64 // modal, K/s per unit of the machine's share y
	lag    float64   // s of the machine
	// simplified is true where every zone is taken to return the air that it is given although it
	// does not.
	simplified bool
}

// errComplex reports that air circles through the zones so that temperatures would oscillate.
var errComplex = errors.New("complex rates")

// newModes decomposes the zones' equations. Where air that circles through three or more zones
// would make their temperatures oscillate, every zone is taken to return the air that it is given.
func newModes(h *House, s *Supply, lag float64) (*modes, error) {
	if s == nil {
		return apartModes(h, nil, nil, lag)
	}
	m, err := apartModes(h, s, s.Return, lag)
	if !errors.Is(err, errComplex) {
		return m, err
	}
	if m, err = apartModes(h, s, nil, lag); err == nil {
		m.simplified = true
	}
	return m, err
}

// apartModes makes the equations symmetric by the roots of the capacities where every zone returns what
// it is given; else it takes a general decomposition.
func apartModes(h *House, s *Supply, returns []float64, lag float64) (*modes, error) {
	n := len(h.Zones)
	size := 2 * n
	m := &modes{n: n, supply: s, share: make([]float64, n), rate: make([]float64, size+2), heat: make([]float64, size), lag: lag}
	a := mat.NewDense(size, size, nil)
	root := make([]float64, size)
	add := func(i, j int, x float64) { a.Set(i, j, a.At(i, j)+x) }
	for i, z := range h.Zones {
		root[i], root[n+i] = math.Sqrt(z.Air), math.Sqrt(z.Mass)
		add(i, i, -z.AirLoss-z.AirToMass)
		add(i, n+i, z.AirToMass)
		add(n+i, n+i, -z.MassLoss-z.AirToMass)
		add(n+i, i, z.AirToMass)
		for j := range h.Zones {
			if h.Between != nil {
				add(i, i, -h.Between[i][j])
				add(i, j, h.Between[i][j])
			}
		}
	}
	own := true
	if s != nil {
		own = m.blow(add, returns)
	}
	for i := range size {
		for j := range size {
			a.Set(i, j, a.At(i, j)/(root[i]*root[j]))
		}
	}
	if err := m.decompose(a, own, root); err != nil {
		return nil, err
	}
	m.rate[size] = apart(-1/lag, m.rate[:size])
	m.lag = -1 / m.rate[size]
	m.rate[size+1] = apart(-1/h.Thermostat.Lag, m.rate[:size+1])
	if s != nil {
		for k := range size {
			for i := range n {
				m.heat[k] += m.vi[k*size+i] * s.Rate[i] * s.Rise[i] / h.Zones[i].Air
			}
		}
	}
	return m, nil
}

// blow adds what the blower does: air from the mixed return into each zone, and through the house
// from the zones that are given more than they return to those that are given less. It reports
// whether every zone returns what it is given.
func (m *modes) blow(add func(i, j int, x float64), returns []float64) (own bool) {
	s, n := m.supply, m.n
	total := 0.0
	for _, g := range s.Rate {
		total += g
	}
	own = true
	over := make([]float64, n) // W/K that a zone passes on (> 0) or takes in
	lacking := 0.0
	for i, g := range s.Rate {
		m.share[i] = g / total
		if returns != nil {
			m.share[i] = returns[i]
		}
		over[i] = g - m.share[i]*total
		if math.Abs(over[i]) > 1e-9*total {
			own = false
		}
		lacking += math.Max(0, -over[i])
	}
	if own {
		for i, g := range s.Rate {
			m.share[i] = g / total
		}
	}
	for i, g := range s.Rate {
		add(i, i, -g)
		for j := range s.Rate {
			add(i, j, g*m.share[j])
		}
	}
	if own {
		return true
	}
	for i := range over {
		for j := range over {
			if over[i] > 0 && over[j] < 0 { // air from i into j
				f := over[i] * -over[j] / lacking
				add(j, i, f)
				add(j, j, -f)
			}
		}
	}
	return false
}

func (m *modes) decompose(a *mat.Dense, symmetric bool, root []float64) error {
	size := 2 * m.n
	m.v, m.vi = make([]float64, size*size), make([]float64, size*size)
	if symmetric {
		s := mat.NewSymDense(size, nil)
		for i := range size {
			for j := i; j < size; j++ {
				s.SetSym(i, j, (a.At(i, j)+a.At(j, i))/2)
			}
		}
		var e mat.EigenSym
		if !e.Factorize(s, true) {
			return errors.New("the zones' equations have no eigenvalues")
		}
		e.Values(m.rate[:size])
		var u mat.Dense
		e.VectorsTo(&u)
		for i := range size {
			for k := range size {
				m.v[i*size+k] = u.At(i, k) / root[i]
				m.vi[k*size+i] = u.At(i, k) * root[i]
			}
		}
	} else {
		var e mat.Eigen
		if !e.Factorize(a, mat.EigenRight) {
			return errors.New("the zones' equations have no eigenvalues")
		}
		var u mat.CDense
		e.VectorsTo(&u)
		re := mat.NewDense(size, size, nil)
		for k, l := range e.Values(nil) {
			if imag(l) != 0 {
				return errComplex
			}
			m.rate[k] = real(l)
			for i := range size {
				re.Set(i, k, real(u.At(i, k)))
			}
		}
		var inverse mat.Dense
		if err := inverse.Inverse(re); err != nil {
			return err
		}
		for i := range size {
			for k := range size {
				m.v[i*size+k] = re.At(i, k) / root[i]
				m.vi[k*size+i] = inverse.At(k, i) * root[i]
			}
		}
	}
	for _, r := range m.rate[:size] {
		if !(r < 0) {
			return errors.New("a zone loses no heat at all")
		}
	}
	return nil
}

// gap is how far apart two rates are kept, as a share: nearer ones would need terms in t e^(rate t).
// No lag of a machine or a sensor is known to a ten-thousandth.
const gap = 1e-4

// apart moves a rate away from others that it nearly equals.
func apart(rate float64, others []float64) float64 {
	for range len(others) + 1 {
		near := false
		for _, r := range others {
			near = near || math.Abs(rate-r) < gap*math.Abs(r)
		}
		if !near {
			break
		}
		rate *= 1 + 2.5*gap
	}
	return rate
}

// piece is the course of everything from now on, until something changes. Rows of w are sums over
// the rates of modes; see package doc for the equations.
type piece struct {
	m       *modes
	n       int
	base    []float64 // °C, where air and mass would end
	w       []float64 // 2n × (2n+1): weights of the zones' rates, then of the machine's
	share   float64   // y in the end: 1 burner on, 0 off
	swing   float64   // y now less that
	sensor  []float64 // n × (2n+2), weights of the sensors
	settled []float64 // °C, where the sensors would end
	modal   []float64 // scratch
}

func newPiece(n int) *piece {
	size := 2 * n
	return &piece{n: n, base: make([]float64, size), w: make([]float64, size*(size+1)), sensor: make([]float64, n*(size+2)),
		settled: make([]float64, n), modal: make([]float64, 3*size)}
}

// begin sets out from x with the drive b (K/s per node), offsets of the sensors and the machine on or
// off.
func (p *piece) begin(m *modes, x *point, b, offset []float64, share float64) {
	n, size := p.n, 2*p.n
	p.m, p.share, p.swing = m, share, x.share-share
	end, follow, own := p.modal[:size], p.modal[size:2*size], p.modal[2*size:]
	machine := m.rate[size]
	for k := range size {
		row := m.vi[k*size : (k+1)*size]
		z, drive := 0.0, 0.0
		for i, v := range row {
			z += v * x.node[i]
			drive += v * b[i]
		}
		end[k] = -(drive + m.heat[k]*share) / m.rate[k]
		follow[k] = m.heat[k] / (machine - m.rate[k]) * p.swing
		own[k] = z - end[k] - follow[k]
	}
	for i := range size {
		row := m.v[i*size : (i+1)*size]
		w := p.w[i*(size+1) : (i+1)*(size+1)]
		base, machine := 0.0, 0.0
		for k, v := range row {
			base += v * end[k]
			machine += v * follow[k]
			w[k] = v * own[k]
		}
		p.base[i], w[size] = base, machine
	}
	sensor := m.rate[size+1]
	for i := range n {
		w, s := p.w[i*(size+1):(i+1)*(size+1)], p.sensor[i*(size+2):(i+1)*(size+2)]
		p.settled[i] = p.base[i] + offset[i]
		own := x.sensor[i] - p.settled[i]
		for k := range w {
			s[k] = w[k] / (1 - m.rate[k]/sensor)
			own -= s[k]
		}
		s[size+1] = own
	}
}

// point is the state of the house at one time.
type point struct {
	node   []float64 // °C, air then mass
	sensor []float64 // °C
	share  float64   // y
}

// at is the state after t seconds; e is scratch of the length of the rates.
func (p *piece) at(t float64, x *point, e []float64) {
	size := 2 * p.n
	for k, r := range p.m.rate {
		e[k] = math.Exp(r * t)
	}
	for i := range size {
		x.node[i] = p.base[i] + dot(p.w[i*(size+1):(i+1)*(size+1)], e)
	}
	for i := range p.n {
		x.sensor[i] = p.settled[i] + dot(p.sensor[i*(size+2):(i+1)*(size+2)], e)
	}
	x.share = p.share + p.swing*e[size]
}

// integral adds up t seconds: of the nodes (K·s) into nodes, of the machine's share (s) as result.
func (p *piece) integral(t float64, nodes, e []float64) (share float64) {
	size := 2 * p.n
	for k, r := range p.m.rate {
		e[k] = math.Expm1(r*t) / r
	}
	for i := range size {
		nodes[i] = p.base[i]*t + dot(p.w[i*(size+1):(i+1)*(size+1)], e)
	}
	return p.share*t + p.swing*e[size]
}

func dot(a, b []float64) float64 {
	s := 0.0
	for i, x := range a {
		s += x * b[i]
	}
	return s
}
