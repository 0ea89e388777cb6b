package independent_test

import "math"

// A cooling coil by bypass factor and apparatus dew point, thermal.md 3.3: rated at 80 °F with a
// wet bulb of 67 °F, 95 °F outdoors and 400 cfm per ton of standard air at sea level; the capacity
// curve is the generic packaged unit's, thermal.md 3.2.
type coil struct{ total, sensible, flow, contact float64 } // W, share, kg/s of dry air, kg/s

func newCoil(total, sensible float64) coil {
	c := coil{total: total, sensible: sensible, flow: 400 * total / (12000 * btuh) * cfm * rhoS}
	in := fromWetBulb(celsius(80), celsius(67), sea)
	// Of the heat, the sensible part cools the air at its humidity; the rest condenses at its
	// temperature.
	out := fromEnthalpy(in.enthalpy()-total/c.flow, 0)
	wet := bisect(0, in.w, func(w float64) float64 { return air{in.t, w}.enthalpy() - (in.enthalpy() - (1-sensible)*total/c.flow) })
	out = fromEnthalpy(in.enthalpy()-total/c.flow, wet)
	// The surface: saturated air on the line through entering and leaving.
	surface := bisect(-5, out.t-0.01, func(t float64) float64 {
		line := in.w - (in.w-out.w)/(in.t-out.t)*(in.t-t)
		return -(humidityAt(saturation(t), sea) - line) * -1
	})
	h := air{surface, humidityAt(saturation(surface), sea)}.enthalpy()
	bypass := (out.enthalpy() - h) / (in.enthalpy() - h)
	c.contact = -c.flow * math.Log(bypass)
	return c
}

// leave is the air behind the coil.
func (c coil) leave(in air, flow, outdoor, p float64) air {
	w, o := in.wetBulb(p), outdoor
	ff := flow / c.flow
	curve := (0.942587793 + 0.009543347*w + 0.00068377*w*w - 0.011042676*o + 0.000005249*o*o - 0.00000972*w*o) * (0.8 + 0.2*ff)
	heat := c.total * curve
	bypass := math.Exp(-c.contact / flow)
	hSurface := in.enthalpy() - heat/flow/(1-bypass)
	surface := bisect(-40, 40, func(t float64) float64 {
		over := saturation
		if t < 0.01 {
			over = iceSaturation
		}
		return air{t, humidityAt(over(t), p)}.enthalpy() - hSurface
	})
	dew := humidityAt(saturation(surface), p)
	hOut := in.enthalpy() - heat/flow
	if dew >= in.w {
		return fromEnthalpy(hOut, in.w)
	}
	return fromEnthalpy(hOut, in.w-(1-bypass)*(in.w-dew))
}

// mix is the air of streams that meet, by dry air.
func mix(streams ...stream) air {
	var flow, h, w float64
	for _, s := range streams {
		flow += s.flow
		h += s.flow * s.enthalpy()
		w += s.flow * s.w
	}
	return fromEnthalpy(h/flow, w/flow)
}

type stream struct {
	air
	flow float64
}
