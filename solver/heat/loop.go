package heat

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"spillway/network/quantity"
	"spillway/solver/internal/formula"

	"spillway/solver/air/bracket"
)

// Metal is a lump of metal that exchanges heat with the air passing it: a furnace's heat exchanger, the metal of a coil.
type Metal struct {
	Capacity    float64 // J/K
	Conductance float64 // W/K between metal and air
}

// effectiveness of the exchange with a stream of a capacity rate: e = 1 − exp(−UA/(m cp)).
func (m Metal) effectiveness(capacityRate float64) float64 {
	return -math.Expm1(-m.Conductance / capacityRate)
}

// Figures of a typical exchanger: 7 Btu/°F of steel at 64,000 Btu/h, and metal 300 °F above the air.
const (
	steel, steelAt, metalExcess = 7.0, 64000.0, 300.0
	perBtuPerF, perBtuPerHour   = 1899.10, 0.29307107
)

// TypicalExchanger is the heat exchanger of a gas furnace of an output in W: 7 Btu/°F of steel at 64,000 Btu/h and
// metal about 300 °F above the air. Our estimate from memory, good to a factor of 1.5; an assumption to show.
func TypicalExchanger(output float64) Metal {
	return Metal{Capacity: output * steel * perBtuPerF / (steelAt * perBtuPerHour), Conductance: output / (metalExcess * 5.0 / 9)}
}

var outputSymbol = formula.Symbol{Name: "Q", Kind: quantity.KindLoad, Low: 1e3, High: 60e3}

// ExchangerConductance is that of TypicalExchanger.
func ExchangerConductance() *formula.Formula {
	return &formula.Formula{Name: formula.Write("metal about # °F above the air (our estimate from memory)", metalExcess),
		Text: formula.Write("Q / (# * 5 / 9)", metalExcess), Result: formula.Symbol{Name: "Ux", Kind: quantity.KindConductance},
		In: []formula.Symbol{outputSymbol}, Eval: func(in []float64) float64 { return TypicalExchanger(in[0]).Conductance }}
}

// ExchangerCapacity is that of TypicalExchanger.
func ExchangerCapacity() *formula.Formula {
	return &formula.Formula{Name: "7 Btu/°F of steel at 64,000 Btu/h (our estimate from memory, good to a factor of 1.5)",
		Text:   formula.Write("Q * # * # / (# * #)", steel, perBtuPerF, steelAt, perBtuPerHour),
		Result: formula.Symbol{Name: "C", Kind: quantity.KindHeatCapacity},
		In:     []formula.Symbol{outputSymbol}, Eval: func(in []float64) float64 { return TypicalExchanger(in[0]).Capacity }}
}

// Room is the zone that returns the air, as two nodes: the fast one (air, furniture, surfaces) and the mass behind it.
type Room struct {
	Fast, Mass  float64 // J/K; Mass 0: none
	Between     float64 // W/K between the two
	Conductance float64 // W/K from the fast node to outdoors
	Outdoor     float64 // °C
	Gain        float64 // W into the fast node
}

// Loop is the time course of a furnace with recirculation: the heat exchanger's metal, the metal of a coil behind it,
// and the room. Humidity plays no part. Flow and share are constant.
//
//	C dT_m/dt  = Q − e m cp (T_m − T_e')          exchanger; T_e' entering air behind the fan
//	C_c dT_c/dt = e_c m cp (T_1 − T_c)             coil metal; T_1 air leaving the exchanger
//	C_f dT_r/dt = (1 − r) m cp (T_s − T_r) − K (T_r − T_M) − UA (T_r − T_out) + G
//	C_M dT_M/dt = K (T_r − T_M)
//
// with the mixing T_e = (1 − r) T_r + r T_s at every instant: the transit of the loop, a second or two, is neglected, and
// so are losses of the bypass duct. The system is linear with constant coefficients and is advanced by the matrix
// exponential, without a step-size error. Its single-metal case has the time constant
//
//	τ = C/(m cp) (1/e + r/(1 − r))
type Loop struct {
	MassFlow     float64 // kg/s of dry air
	SpecificHeat float64 // J/(kg·K)
	Share        float64 // recirculated, by mass, 0 to below 1
	Output       float64 // W of the burner into the metal
	FanHeat      float64 // W before the exchanger
	Exchanger    Metal
	Coil         Metal   // zero: none
	Return       float64 // °C: of the room at the start, and throughout when Room is nil
	Start        float64 // K that exchanger and coil are warmer than Return at the start
	Room         *Room
	// Strip is the SensorShare of recirculated air that has not mixed: the limit's sensor behind the exchanger reads
	// T_1 + Strip (T_s − T_e). 0 is perfect mixing.
	Strip float64
}

// Sample is the loop at one instant, °C.
type Sample struct {
	Time      float64 // s
	Entering  float64 // mixed, before fan and exchanger
	Leaving   float64 // behind the exchanger
	Supply    float64 // behind the coil, to the zones and the bypass
	Sensor    float64 // the limit's
	Exchanger float64
	Coil      float64 // equals Leaving where there is none
	Room      float64
	Mass      float64
	Firing    bool
}

// Nodes of the state vector.
const (
	exchangerNode = iota
	coilNode
	roomNode
	massNode
	loopNodes
)

// reading is a linear function of the state: weights and a constant.
type reading struct {
	weight   [loopNodes]float64
	constant float64
}

func (r reading) of(x [loopNodes]float64) float64 {
	sum := r.constant
	for i, w := range r.weight {
		sum += w * x[i]
	}
	return sum
}

// combine is a·r + b·s.
func combine(a float64, r reading, b float64, s reading) reading {
	out := reading{constant: a*r.constant + b*s.constant}
	for i := range out.weight {
		out.weight[i] = a*r.weight[i] + b*s.weight[i]
	}
	return out
}

func node(i int) reading { r := reading{}; r.weight[i] = 1; return r }

// linearLoop is the loop as dx/dt = A x + b (+ fire when the burner is on).
type linearLoop struct {
	a                                 [loopNodes]reading // row i: dx_i/dt
	fire                              float64            // K/s on the exchanger
	entering, leaving, supply, sensor reading
	start                             [loopNodes]float64
	fastest                           float64 // s, shortest time scale
	hasCoil                           bool
}

func (l *Loop) linear() (*linearLoop, error) {
	c := l.MassFlow * l.SpecificHeat
	switch {
	case !(c > 0) || math.IsInf(c, 0):
		return nil, badInput("loop with %g kg/s of %g J/(kg·K)", l.MassFlow, l.SpecificHeat)
	case !(l.Share >= 0 && l.Share < 1):
		return nil, badInput("recirculated share %g outside 0 to 1", l.Share)
	case !finite(l.Output) || !finite(l.FanHeat) || !finite(l.Return) || !finite(l.Start):
		return nil, badInput("loop of %g W and %g W of fan from %g °C, metal %g K warmer", l.Output, l.FanHeat, l.Return, l.Start)
	case !(l.Exchanger.Capacity > 0 && l.Exchanger.Conductance > 0):
		return nil, badInput("heat exchanger of %g J/K and %g W/K", l.Exchanger.Capacity, l.Exchanger.Conductance)
	case !(l.Coil.Capacity >= 0 && l.Coil.Conductance >= 0):
		return nil, badInput("coil metal of %g J/K and %g W/K", l.Coil.Capacity, l.Coil.Conductance)
	case !(l.Strip >= 0 && l.Strip <= 1):
		return nil, badInput("strip's share %g outside 0 to 1", l.Strip)
	}
	if l.Room != nil {
		if err := l.Room.check(); err != nil {
			return nil, err
		}
	}
	s := &linearLoop{hasCoil: l.Coil.Capacity > 0 && l.Coil.Conductance > 0}
	e, ec := l.Exchanger.effectiveness(c), 0.0
	if s.hasCoil {
		ec = l.Coil.effectiveness(c)
	}
	room := reading{constant: l.Return}
	if l.Room != nil {
		room = node(roomNode)
	}
	r, fan := l.Share, reading{constant: l.FanHeat / c}
	// T_e = (1 − r) T_r + r T_s with T_s = (1 − e_c) T_1 + e_c T_c and T_1 = (1 − e)(T_e + fan) + e T_m, solved for T_e.
	fixed := combine(1-ec, combine(1-e, fan, e, node(exchangerNode)), ec, node(coilNode))
	closing := 1 - r*(1-ec)*(1-e)
	s.entering = combine((1-r)/closing, room, r/closing, fixed)
	behindFan := combine(1, s.entering, 1, fan)
	s.leaving = combine(1-e, behindFan, e, node(exchangerNode))
	s.supply = combine(1-ec, s.leaving, ec, node(coilNode))
	s.sensor = combine(1, s.leaving, l.Strip, combine(1, s.supply, -1, s.entering))

	k := e * c / l.Exchanger.Capacity
	s.a[exchangerNode] = combine(-k, node(exchangerNode), k, behindFan)
	s.fire = l.Output / l.Exchanger.Capacity
	s.fastest = 1 / k
	if s.hasCoil {
		k := ec * c / l.Coil.Capacity
		s.a[coilNode] = combine(k, s.leaving, -k, node(coilNode))
		s.fastest = math.Min(s.fastest, 1/k)
	}
	if l.Room != nil {
		s.addRoom(l.Room, (1-r)*c)
	}
	s.start = [loopNodes]float64{l.Return + l.Start, l.Return + l.Start, l.Return, l.Return}
	return s, nil
}

func (r *Room) check() error {
	if !(r.Fast > 0) || !(r.Mass >= 0 && r.Between >= 0 && r.Conductance >= 0) || !finite(r.Outdoor) || !finite(r.Gain) {
		return badInput("room of %g and %g J/K, %g and %g W/K, %g °C outdoors, %g W", r.Fast, r.Mass, r.Between, r.Conductance, r.Outdoor, r.Gain)
	}
	return nil
}

func (s *linearLoop) addRoom(room *Room, delivered float64) {
	row := combine(delivered, s.supply, -delivered-room.Conductance, node(roomNode))
	row.constant += room.Conductance*room.Outdoor + room.Gain
	rate := delivered + room.Conductance
	if room.Mass > 0 {
		row = combine(1, row, room.Between, combine(1, node(massNode), -1, node(roomNode)))
		s.a[massNode] = combine(room.Between/room.Mass, node(roomNode), -room.Between/room.Mass, node(massNode))
		rate += room.Between
		if room.Between > 0 {
			s.fastest = math.Min(s.fastest, room.Mass/room.Between)
		}
	}
	s.a[roomNode] = combine(1/room.Fast, row, 0, row)
	s.fastest = math.Min(s.fastest, room.Fast/rate)
}

// propagator advances the state by a fixed time: x → P x + p.
type propagator struct {
	p      [loopNodes][loopNodes]float64
	offset [loopNodes]float64
}

// over is the exact propagator over a time, from the exponential of the system with its constant as a further state.
func (s *linearLoop) over(time float64, firing bool) propagator {
	m := mat.NewDense(loopNodes+1, loopNodes+1, nil)
	for i, row := range s.a {
		for j, w := range row.weight {
			m.Set(i, j, w*time)
		}
		constant := row.constant
		if i == exchangerNode && firing {
			constant += s.fire
		}
		m.Set(i, loopNodes, constant*time)
	}
	var e mat.Dense
	e.Exp(m)
	var out propagator
	for i := range loopNodes {
		for j := range loopNodes {
			out.p[i][j] = e.At(i, j)
		}
		out.offset[i] = e.At(i, loopNodes)
	}
	return out
}

func (p *propagator) apply(x [loopNodes]float64) [loopNodes]float64 {
	out := p.offset
	for i := range out {
		for j, v := range x {
			out[i] += p.p[i][j] * v
		}
	}
	return out
}

func (s *linearLoop) sample(time float64, x [loopNodes]float64, l *Loop, firing bool) Sample {
	out := Sample{Time: time, Entering: s.entering.of(x), Leaving: s.leaving.of(x), Supply: s.supply.of(x), Sensor: s.sensor.of(x),
		Exchanger: x[exchangerNode], Coil: x[coilNode], Room: x[roomNode], Mass: x[massNode], Firing: firing}
	if !s.hasCoil {
		out.Coil = out.Leaving
	}
	if l.Room == nil {
		out.Room, out.Mass = l.Return, l.Return
	}
	return out
}

// crossing is the time within a step of a given length at which the sensor reaches a temperature, given that it does.
func (s *linearLoop) crossing(x [loopNodes]float64, step, temperature float64, firing bool) (float64, error) {
	return bracket.Root(func(t float64) float64 {
		p := s.over(t, firing)
		return s.sensor.of(p.apply(x)) - temperature
	}, 0, step, 1e-9*step)
}
