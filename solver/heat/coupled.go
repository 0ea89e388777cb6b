package heat

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"spillway/solver/air"
	"spillway/solver/air/bracket"
)

// coupled is the memory of the device balance: what each device exchanges must be what it would exchange with the air
// that reaches it when it does.
//
//	x = G(x),  x = (heat₁/scale, water₁ · L/scale, heat₂/scale, …)
//
// with L the heat of vaporisation, so that all unknowns are of one size.
type coupled struct {
	x, g, trial, trialG, step []float64
	jacobian                  *mat.Dense
	lu                        mat.LU
	scale                     float64

	// solved are the devices of the latest balance that was reached, whose x, scale and slopes the next sets out from.
	solved []int
}

// Restart makes the next Solve set out from nothing, so that its answer does not depend, within the tolerances, on what was solved before.
func (s *Solver) Restart() { s.coupled.solved = nil }

// SetOut makes the next Solve set out from what the devices exchange in another solver's latest balance, as from its own: of a network that
// differs little, with devices in the same branches.
func (s *Solver) SetOut(from *Solver) {
	c, f := &s.coupled, &from.coupled
	if f.solved == nil || f.jacobian == nil {
		s.Restart()
		return
	}
	c.solved = append(c.solved[:0], f.solved...)
	k := len(f.x)
	c.x, c.g, c.trial, c.trialG, c.step = resize(c.x, k), resize(c.g, k), resize(c.trial, k), resize(c.trialG, k), resize(c.step, k)
	copy(c.x, f.x)
	c.scale = f.scale
	if c.jacobian == nil || c.jacobian.RawMatrix().Rows != k {
		c.jacobian = mat.NewDense(k, k, nil)
	}
	c.jacobian.Copy(f.jacobian)
	c.lu.Factorize(c.jacobian)
}

const (
	newtonSteps  = 30
	perturbation = 1e-6 // relative, of the finite-difference Jacobian
	// converged is the residual at which iteration stops, below the tolerance a Solution must meet.
	converged = 1e-12
	// bracketSweeps bounds the fallback when several devices feed each other.
	bracketSweeps = 100
)

// balanceDevices finds the devices' exchange and leaves the network carried at it.
func (s *Solver) balanceDevices(n *Network) error {
	if len(s.devices) == 0 {
		return s.carry(n)
	}
	c := &s.coupled
	warm := slices.Equal(c.solved, s.devices)
	c.solved = c.solved[:0]
	if warm && s.newton(n, true) == nil {
		return s.balanced()
	}
	if err := s.idle(n); err != nil {
		return err
	}
	if s.newton(n, false) != nil {
		if err := s.bracketDevices(n); err != nil {
			return err
		}
	}
	return s.balanced()
}

// balanced writes down how well a balance is met.
func (s *Solver) balanced() error {
	c := &s.coupled
	s.solution.Certificate.DeviceResidual = distance(c.x, c.g) / math.Max(norm(c.g), 1e-300)
	c.solved = append(c.solved[:0], s.devices...)
	return nil
}

// idle sets out from devices that give nothing. The scale is the greatest exchange with the air of an idle network.
func (s *Solver) idle(n *Network) error {
	if err := s.carry(n); err != nil {
		return err
	}
	c := &s.coupled
	k := 2 * len(s.devices)
	c.x, c.g, c.trial, c.trialG, c.step = resize(c.x, k), resize(c.g, k), resize(c.trial, k), resize(c.trialG, k), resize(c.step, k)
	if c.jacobian == nil || c.jacobian.RawMatrix().Rows != k {
		c.jacobian = mat.NewDense(k, k, nil)
	}
	c.scale = 0
	for _, b := range s.devices {
		q, w, err := s.exchange(n, b)
		if err != nil {
			return fmt.Errorf("branch %d: %w", b, err)
		}
		c.scale = math.Max(c.scale, math.Max(math.Abs(q), math.Abs(w)*air.VaporisationHeat))
	}
	if c.scale == 0 {
		c.scale = 1
	}
	clear(c.x)
	return nil
}

// exchange asks the device of branch b about the air that reaches it now.
func (s *Solver) exchange(n *Network, b int) (heat, water float64, err error) {
	br := &n.Branches[b]
	heat, water, err = br.Device.Exchange(s.atDevice(n, b), math.Abs(br.MassFlow), n.Pressure)
	if err == nil && !(finite(heat) && finite(water)) {
		err = badInput("device exchange of %g W and %g kg/s", heat, water)
	}
	return heat, water, err
}

// respond carries the network at exchange x and writes what the devices would then exchange.
func (s *Solver) respond(n *Network, x, g []float64) error {
	s.coupled.apply(s, n, x)
	if err := s.carry(n); err != nil {
		return err
	}
	for i, b := range s.devices {
		q, w, err := s.exchange(n, b)
		if err != nil {
			return fmt.Errorf("branch %d: %w", b, err)
		}
		g[2*i], g[2*i+1] = q/s.coupled.scale, w*air.VaporisationHeat/s.coupled.scale
	}
	s.solution.Certificate.Iterations++
	return nil
}

func (c *coupled) apply(s *Solver, n *Network, x []float64) {
	for i, b := range s.devices {
		s.deviceHeat[b] = n.Branches[b].Heat + x[2*i]*c.scale
		s.deviceWater[b] = x[2*i+1] * c.scale / air.VaporisationHeat
	}
}

// newton solves x = G(x) with a finite-difference Jacobian and a step that is halved until the residual falls. With slopes at hand from a
// solution near by it uses them as long as they serve.
func (s *Solver) newton(n *Network, slopes bool) error {
	c := &s.coupled
	if err := s.respond(n, c.x, c.g); err != nil {
		return err
	}
	residual := distance(c.x, c.g)
	for range newtonSteps {
		if residual <= converged*norm(c.g) {
			return nil // the network is carried at x: the latest response was to it
		}
		if !slopes {
			if err := s.differentiate(n); err != nil {
				return err
			}
			c.lu.Factorize(c.jacobian)
		}
		for i := range c.step {
			c.step[i] = c.g[i] - c.x[i]
		}
		v := mat.NewVecDense(len(c.step), c.step)
		if err := c.lu.SolveVecTo(v, false, v); err != nil {
			return fmt.Errorf("%w: %w", ErrNoSteadyState, err)
		}
		better, before := false, residual
		for length := 1.0; length > 1e-4; length /= 2 {
			for i := range c.trial {
				c.trial[i] = c.x[i] + length*c.step[i]
			}
			if s.respond(n, c.trial, c.trialG) != nil {
				continue
			}
			if r := distance(c.trial, c.trialG); r < residual*(1-1e-4*length) || r <= converged*norm(c.trialG) {
				c.x, c.trial, c.g, c.trialG = c.trial, c.x, c.trialG, c.g
				residual, better = r, true
				break
			}
		}
		if !better && !slopes {
			break
		}
		slopes = slopes && residual < before/10
	}
	if residual <= deviceTolerance/10*norm(c.g) {
		return s.respond(n, c.x, c.g)
	}
	return fmt.Errorf("%w: device balance stops at %g of the exchange", ErrNoSteadyState, residual)
}

// differentiate fills the Jacobian of x − G(x).
func (s *Solver) differentiate(n *Network) error {
	c := &s.coupled
	copy(c.trial, c.x)
	for j := range c.x {
		c.trial[j] += perturbation
		if err := s.respond(n, c.trial, c.trialG); err != nil {
			c.trial[j] -= 2 * perturbation
			if err := s.respond(n, c.trial, c.trialG); err != nil {
				return err
			}
		}
		d := c.trial[j] - c.x[j]
		c.trial[j] = c.x[j]
		for i := range c.x {
			slope := -(c.trialG[i] - c.g[i]) / d
			if i == j {
				slope++
			}
			c.jacobian.Set(i, j, slope)
		}
	}
	return nil
}

// bracketDevices is the fallback: device by device, its heat is bracketed, and inside that its water, with the whole
// network carried at each trial. What a device gives changes the air it is given back in the sense that lowers its
// exchange, so each of the two scalar functions falls through zero once. Several devices are swept until they agree.
func (s *Solver) bracketDevices(n *Network) error {
	c := &s.coupled
	for i := range c.x {
		c.x[i] = 0
	}
	for range bracketSweeps {
		for i := range s.devices {
			if err := s.bracketDevice(n, i); err != nil {
				return err
			}
		}
		if err := s.respond(n, c.x, c.g); err != nil {
			return err
		}
		if distance(c.x, c.g) <= deviceTolerance/10*norm(c.g) {
			return nil
		}
	}
	return fmt.Errorf("%w: device balance is off by %g of the exchange after %d sweeps", ErrNoSteadyState, distance(c.x, c.g), bracketSweeps)
}

func (s *Solver) bracketDevice(n *Network, i int) error {
	c := &s.coupled
	var failed error
	excess := func(at int) func(float64) float64 {
		return func(x float64) float64 {
			c.x[at] = x
			if failed = s.respond(n, c.x, c.g); failed != nil {
				return math.NaN()
			}
			return c.g[at] - x
		}
	}
	water := excess(2*i + 1)
	balanceWater := func() error {
		_, err := rootFromZero(water, &failed)
		return err
	}
	heat := func(x float64) float64 {
		c.x[2*i] = x
		if failed = balanceWater(); failed != nil {
			return math.NaN()
		}
		return excess(2 * i)(x)
	}
	if _, err := rootFromZero(heat, &failed); err != nil {
		return fmt.Errorf("%w: branch %d finds no balance with the air it recirculates: %w", ErrNoSteadyState, s.devices[i], err)
	}
	return nil
}

// rootFromZero finds the root of f, which falls through zero between 0 and about f(0). The far end is drawn in while f
// cannot be evaluated there and pushed out while the sign does not change. f is left evaluated at the root.
func rootFromZero(f func(float64) float64, failed *error) (float64, error) {
	first := f(0)
	if *failed != nil || first == 0 {
		return 0, *failed
	}
	near, far := 0.0, first
	for range 200 {
		y := f(far)
		if *failed != nil {
			far = near + (far-near)/2
			if math.Abs(far-near) < 1e-9 {
				return 0, *failed
			}
			continue
		}
		if y == 0 || math.Signbit(y) != math.Signbit(first) {
			root, err := bracket.Root(f, near, far, 1e-15)
			if err != nil {
				return 0, err
			}
			f(root)
			return root, *failed
		}
		near, far = far, far+(far-near)
	}
	return 0, fmt.Errorf("%w between %g and %g", bracket.ErrNoSignChange, near, far)
}

func distance(a, b []float64) float64 {
	worst := 0.0
	for i := range a {
		worst = math.Max(worst, math.Abs(a[i]-b[i]))
	}
	return worst
}

func norm(a []float64) float64 {
	worst := 0.0
	for _, x := range a {
		worst = math.Max(worst, math.Abs(x))
	}
	return worst
}
