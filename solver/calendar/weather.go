package calendar

import (
	"math"

	"spillway/network"
	"spillway/solver/clock"
)

// Hour is one hour of a year's weather.
type Hour struct {
	Outdoor float64 // °C
	Sun     float64 // share of a clear sky's sun, 0 to 1; NaN: usual
	Dew     float64 // °C, dew point; NaN: by the day's lowest temperature
}

// dailyShape is how far each hour, from 0 h, is below the day's highest temperature, as a share of the
// day's range (ASHRAE, 2009 and later, second-hand).
var dailyShape = [24]float64{.82, .88, .92, .95, .98, 1, .98, .91, .74, .55, .38, .23, .13, .05, 0, 0, .06, .14, .24, .39, .50, .59, .68, .75}

// plugShape is the share of a day's internal gains in each hour from 0 h (a national laboratory's
// residential schedule of plug loads, by an open file).
var plugShape = [24]float64{.035, .033, .032, .031, .032, .033, .037, .042, .043, .043, .043, .044, .045, .045, .044, .046, .048, .052, .053, .050, .047, .045, .040, .036}

// peakHour is the internal gain at 16 h, when gains of cooling are computed, over the mean.
const peakHour = 24 * .048

// Usual ranges of a day, K, and the weather of a year, where the file gives none (our choice).
const (
	summerRange = 20 * degree
	winterRange = 12 * degree
	yearRange   = 18 * degree
	yearSwing   = 6 * degree // of a day's mean about the season's; 4 to 8 °F (from memory)
	// carried is the share of a day's deviate that the next one keeps (from memory: 0.6 to 0.7).
	carried = 0.65
	// cloudy is the share of clear sun that a usual day has (from memory: 0.5 to 0.7).
	cloudy = 0.6
)

// sunWindow is when the sun stands on a wall, h, and its peak in winter over that in summer (clear sky,
// 40° north, computed from the ASHRAE clear-sky coefficients of 1985).
type sunWindow struct{ from, to, winter float64 }

var sunWindows = map[string]sunWindow{
	"all": {7, 18, 753. / 693}, "north": {6, 19, 24. / 56}, "east": {6, 13, 171. / 245}, "south": {8, 17, 287. / 147}, "west": {11, 19, 171. / 245},
}

// sunOn is the sun on a zone at an hour of the day, over its clear summer peak; day 0 is 1 January.
func sunOn(faces string, day, hour int) float64 {
	w := sunWindows[faces]
	h := float64(hour) + 0.5
	if h <= w.from || h >= w.to {
		return 0
	}
	summer := (1 - math.Cos(2*math.Pi*float64(day)/365)) / 2
	return (summer + (1-summer)*w.winter) * math.Sin(math.Pi*(h-w.from)/(w.to-w.from))
}

// fill gives an interval the set points and gains of an hour.
func (h *House) fill(into *clock.Interval, at float64, day int, clear float64) {
	hour := int(at/3600) % 24
	for i := range h.zones {
		z := &h.zones[i]
		heat, _ := network.Setpoint(z.heat, at)
		cool, _ := network.Setpoint(z.cool, at)
		switch into.Set[i] = float64(heat); into.Season {
		case clock.Cooling:
			into.Set[i] = float64(cool)
		case clock.Auto:
			into.Cool[i] = max(float64(cool), float64(heat)+leastGap)
		}
		sun := clear * z.sun * sunOn(z.faces, day, hour)
		into.ToAir[i] = z.gains*24*plugShape[hour] + sunToAir*sun
		into.ToMass[i] = (1 - sunToAir) * sun
	}
}

// gapAsked reports whether some set point of cooling is too near to that of heating for a
// thermostat that changes over by itself.
func (h *House) gapAsked() bool {
	for _, z := range h.zones {
		for at := 0.0; at < network.Day; at += 900 {
			heat, _ := network.Setpoint(z.heat, at)
			cool, _ := network.Setpoint(z.cool, at)
			if float64(cool-heat) < leastGap-1e-9 {
				return true
			}
		}
	}
	return false
}

// step is the length of the climate's steps, s: an hour, or less where a set point changes between hours.
func (h *House) step() float64 {
	step := 3600.0
	for _, z := range h.zones {
		for _, list := range [][]network.Scheduled{z.heat, z.cool} {
			for _, s := range list {
				for math.Mod(float64(s.From), step) != 0 {
					step -= 900
					for math.Mod(3600, step) != 0 {
						step -= 900
					}
				}
			}
		}
	}
	return step
}

// designDay is a weather row of the file as a day that repeats.
type designDay struct {
	house  *House
	season clock.Season
	row    *network.Weather
	spread float64 // K
	clear  float64
	day    int
	steps  int // a day
}

func (d *designDay) At(k int, into *clock.Interval) {
	k = ((k % d.steps) + d.steps) % d.steps
	at := float64(k) * network.Day / float64(d.steps)
	into.Season, into.Outdoor = d.season, d.outdoor(int(at/3600))
	d.house.fill(into, at, d.day, d.clear)
	lowest := float64(*d.row.Outdoor)
	if d.season == clock.Cooling {
		lowest -= d.spread
	}
	d.house.fillVapor(into, at, lowest-dewBelow)
}

// outdoor is the temperature of an hour: the row's is the highest of a cooling day and the lowest of a
// heating day.
func (d *designDay) outdoor(hour int) float64 {
	if d.season == clock.Cooling {
		return float64(*d.row.Outdoor) - dailyShape[hour]*d.spread
	}
	return float64(*d.row.Outdoor) + (1-dailyShape[hour])*d.spread
}
