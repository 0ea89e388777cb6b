package calendar

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"

	"spillway/network"
	"spillway/network/quantity"
	"spillway/solver/clock"
)

// The length of a year; leap days are left out.
const (
	daysOfYear  = 365
	hoursOfYear = 24 * daysOfYear
)

// coldestDay is when the year is coldest, days after 1 January (common practice: a month after solstice).
const coldestDay = 20

// designShare is the share of the year's hours beyond a design temperature: 1 % in cooling, 99 % in
// heating.
const designShare = 0.01

// plainMean is the mean of a year for a job that only heats or only cools and gives none, °C: 52 °F (our
// choice).
const plainMean = (52.0 - 32) / 1.8

// Year runs a whole year: the hours of Options, else a synthetic one whose mean and design temperatures are
// the file's.
func (h *House) Year(opt clock.Options) (*Result, error) {
	hours, title := h.hours, "A year from a file"
	if hours == nil {
		title = "A synthetic year"
		var err error
		if hours, err = h.synthetic(); err != nil {
			return nil, err
		}
	}
	if len(hours) != hoursOfYear {
		return nil, &Error{fmt.Sprintf("a year of %d hours; it has %d", len(hours), hoursOfYear)}
	}
	if h.clock.Cooling != nil && slices.ContainsFunc(hours,
		func(x Hour) bool { return math.IsNaN(x.Dew) }) {
		h.dewPoint()
	}
	step := h.step()
	y := &yearClimate{house: h, hours: hours, perDay: int(network.Day / step), season: clock.Auto}
	switch {
	case h.clock.Heating == nil:
		y.season = clock.Cooling
	case h.clock.Cooling == nil:
		y.season = clock.Heating
	default:
		h.changeover()
	}
	opt.Step, opt.Steps, opt.Warm = step, daysOfYear*y.perDay, warmDays*y.perDay
	l, err := clock.Run(&h.clock, h.lookup, y, opt)
	if err != nil {
		return nil, err
	}
	r := h.result(title, daysOfYear, l)
	r.Hours = hours
	return r, nil
}

// changeover tells how the house goes from heating to cooling.
func (h *House) changeover() {
	if h.job.Panel.Changeover == nil {
		h.note(quantity.Time(defaultChangeover).Text(h.job.Units),
			"of rest between heating and cooling, first come first served (common practice: 5 to 20 min)", "panel", "changeover")
	}
	if h.gapAsked() {
		h.note(quantity.TemperatureSpan(leastGap).Text(h.job.Units),
			"least distance from a heating to a cooling set point, which thermostats that change over keep (common practice)", "zone", "*", "cool")
	}
}

// yearClimate is a year hour by hour.
type yearClimate struct {
	house  *House
	hours  []Hour
	perDay int
	season clock.Season
}

func (y *yearClimate) At(k int, into *clock.Interval) {
	k = (k + daysOfYear*y.perDay) % (daysOfYear * y.perDay)
	day := k / y.perDay
	at := float64(k%y.perDay) * network.Day / float64(y.perDay)
	hour := y.hours[24*day+int(at/3600)]
	into.Season, into.Outdoor = y.season, hour.Outdoor
	clear := hour.Sun
	if math.IsNaN(clear) {
		clear = cloudy
	}
	y.house.fill(into, at, day, clear)
	dew := hour.Dew
	if math.IsNaN(dew) {
		dew = coolest(y.hours[24*day:24*day+24]) - dewBelow
	}
	y.house.fillVapor(into, at, dew)
}

// synthetic is a year of a season's wave, warm and cold spells, and the day's range:
//
//	x = A season(day) + spells + range · (0.536 − f(hour));   T = mean + x + b (x² − mean of x²)
//
// with A and b such that one hour in a hundred is above the cooling design temperature and one below that
// of heating. The spells are an autoregressive deviate from a fixed seed: the same job has the same year.
func (h *House) synthetic() ([]Hour, error) {
	year := h.job.Year
	units := h.job.Units
	spread, swing := float64(year.Range), float64(year.Swing)
	if year.Range == 0 {
		spread = yearRange
		h.note(quantity.TemperatureSpan(spread).Text(units), "from the lowest to the highest temperature of a usual day (our choice)", "year", "range")
	}
	if year.Swing == 0 {
		swing = yearSwing
		h.note(quantity.TemperatureSpan(swing).Text(units), "of a day's mean about the season's, warm and cold spells (from memory: 4 to 8 °F)", "year", "swing")
	}
	rest, season := make([]float64, hoursOfYear), make([]float64, hoursOfYear)
	spells := spells(swing)
	for k := range rest {
		day, part := k/24, float64(k%24)/24
		season[k] = -math.Cos(2 * math.Pi * (float64(k)/24 - coldestDay) / daysOfYear)
		rest[k] = spells[day] + part*(spells[(day+1)%daysOfYear]-spells[day]) + spread*(meanShape-dailyShape[k%24])
	}
	var cold, hot *float64
	if w := h.design(network.Heating); w != nil {
		x := float64(*w.Outdoor)
		cold = &x
	}
	if w := h.design(network.Cooling); w != nil {
		x := float64(*w.Outdoor)
		hot = &x
	}
	mean := math.NaN()
	if year.Mean != nil {
		mean = float64(*year.Mean)
	} else if cold == nil || hot == nil {
		mean = plainMean
		h.note(quantity.Temperature(mean).Text(units), "of the year, a temperate place (our choice)", "year", "mean")
	}
	a, b, mean, err := fitYear(season, rest, mean, cold, hot)
	if err != nil {
		return nil, err
	}
	if year.Mean == nil && cold != nil && hot != nil {
		h.note(quantity.Temperature(mean).Text(units), "of the year, midway between the design temperatures (our choice)", "year", "mean")
	}
	square := 0.0
	for k := range rest {
		x := a*season[k] + rest[k]
		square += x * x / hoursOfYear
	}
	hours := make([]Hour, hoursOfYear)
	for k := range hours {
		x := a*season[k] + rest[k]
		hours[k] = Hour{Outdoor: mean + x + b*(x*x-square), Sun: math.NaN(), Dew: math.NaN()}
	}
	return hours, nil
}

// meanShape is the mean of dailyShape.
const meanShape = 0.53625

// spells is the deviate of each day's mean, K, from its season's: autoregressive, of mean zero.
func spells(swing float64) []float64 {
	r := rand.New(rand.NewPCG(1, 365))
	out := make([]float64, daysOfYear)
	x, sum := 0.0, 0.0
	for k := -30; k < daysOfYear; k++ {
		x = carried*x + math.Sqrt(1-carried*carried)*r.NormFloat64()
		if k >= 0 {
			out[k] = swing * x
			sum += out[k] / daysOfYear
		}
	}
	for k := range out {
		out[k] -= sum
	}
	return out
}

// fitYear finds the season's amplitude and the bend with which the year has its design temperatures, and
// the mean where it is NaN: then there is no bend. With one design temperature there is none either.
func fitYear(season, rest []float64, mean float64, cold, hot *float64) (a, b, at float64, err error) {
	x := make([]float64, len(rest))
	ends := func(a float64) (low, high, square float64) {
		square = 0
		for k := range x {
			x[k] = a*season[k] + rest[k]
			square += x[k] * x[k] / float64(len(x))
		}
		slices.Sort(x)
		return x[int(designShare*float64(len(x)))], x[int((1-designShare)*float64(len(x)))], square
	}
	// excess is how far the year's spread is beyond what it should be, growing with a.
	var excess func(a float64) float64
	switch {
	case cold != nil && hot != nil && math.IsNaN(mean):
		excess = func(a float64) float64 { low, high, _ := ends(a); return high - low - (*hot - *cold) }
	case cold != nil && hot != nil:
		excess = func(a float64) float64 {
			low, high, square := ends(a)
			b = (*hot - mean - high) / (high*high - square)
			return *cold - mean - low - b*(low*low-square)
		}
	case cold != nil:
		excess = func(a float64) float64 { low, _, _ := ends(a); return *cold - mean - low }
	case hot != nil:
		excess = func(a float64) float64 { _, high, _ := ends(a); return mean + high - *hot }
	default:
		return 0, 0, 0, &Error{"the job has no weather to make a year of"}
	}
	low, high := 0.0, 40.0
	if excess(low) > 0 || excess(high) < 0 {
		return 0, 0, 0, &Error{"no year has this mean between these design temperatures: correct the mean under [year], or the range and the swing of its days"}
	}
	for range 40 {
		if a = (low + high) / 2; excess(a) > 0 {
			high = a
		} else {
			low = a
		}
	}
	excess(a)
	if math.IsNaN(mean) {
		least, most, _ := ends(a)
		return a, 0, (*hot + *cold - least - most) / 2, nil
	}
	if math.Abs(b) > 0.015 { // a day twice as far from the mean as another must be warmer still
		return 0, 0, 0, &Error{"the mean under [year] is too far from the middle of the design temperatures"}
	}
	return a, b, mean, nil
}

// ReadHours reads a year hour by hour from CSV with a line of heads: "temperature_f" or "temperature_c",
// and "sun" if it is known, in % of a clear sky's, and "dew_point_f" or "dew_point_c". Other
// columns are passed over. It takes 8,760 rows from 1 January, 0 to 1 h, or 8,784, of which 29
// February is left out. Errors name the line.
func ReadHours(data []byte) ([]Hour, error) {
	in := csv.NewReader(bytes.NewReader(bytes.TrimPrefix(data, []byte("\ufeff"))))
	in.TrimLeadingSpace = true
	heads, err := in.Read()
	if err != nil {
		return nil, fmt.Errorf("line 1: %w", csvCause(err))
	}
	temperature, sun, dew, metric, dewMetric := -1, -1, -1, false, false
	for i, head := range heads {
		switch strings.ToLower(strings.TrimSpace(head)) {
		case "temperature_f":
			temperature, metric = i, false
		case "temperature_c":
			temperature, metric = i, true
		case "sun":
			sun = i
		case "dew_point_f":
			dew, dewMetric = i, false
		case "dew_point_c":
			dew, dewMetric = i, true
		}
	}
	if temperature < 0 {
		return nil, fmt.Errorf(`line 1: no column is called "temperature_f" or "temperature_c"`)
	}
	var hours []Hour
	for {
		row, err := in.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		line, _ := in.FieldPos(0)
		if err != nil {
			return nil, csvCause(err)
		}
		number := func(column int, least, most float64) (float64, error) {
			x, err := strconv.ParseFloat(strings.TrimSpace(row[column]), 64)
			if err != nil || !(x >= least && x <= most) {
				return 0, fmt.Errorf("line %d: %s is %q; write a number from %g to %g", line, strings.TrimSpace(heads[column]), row[column], least, most)
			}
			return x, nil
		}
		hour := Hour{Sun: math.NaN(), Dew: math.NaN()}
		degrees := func(column int, metric bool) (float64, error) {
			if metric {
				return number(column, -60, 60)
			}
			x, err := number(column, -76, 140)
			return float64(quantity.FromFahrenheit(x)), err
		}
		hour.Outdoor, err = degrees(temperature, metric)
		if err == nil && dew >= 0 {
			hour.Dew, err = degrees(dew, dewMetric)
		}
		if err == nil && sun >= 0 {
			if hour.Sun, err = number(sun, 0, 120); err == nil {
				hour.Sun /= 100
			}
		}
		if err != nil {
			return nil, err
		}
		hours = append(hours, hour)
	}
	const february29 = 24 * (31 + 28)
	if len(hours) == hoursOfYear+24 {
		hours = slices.Delete(hours, february29, february29+24)
	}
	if len(hours) != hoursOfYear {
		return nil, fmt.Errorf("%d hours; a year has %d", len(hours), hoursOfYear)
	}
	return hours, nil
}

// csvCause is what is wrong with a line, without the library's name for the column.
func csvCause(err error) error {
	var parse *csv.ParseError
	if errors.As(err, &parse) {
		return fmt.Errorf("line %d: %w", parse.Line, parse.Err)
	}
	return err
}
