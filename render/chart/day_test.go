package chart_test

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network/quantity"
	"spillway/render/chart"
)

// inventedDay is a day of plain numbers: a zone that is set back at night and calls every other hour.
func inventedDay() *chart.Day {
	d := &chart.Day{Title: `The limit opens <twice> & "never" again.`, Under: "A day, invented", Units: quantity.IP, Trips: []float64{6.5, 18.25}, Tolerance: 1}
	z := chart.DayZone{Name: "loft <b>"}
	for k := range 1440 {
		set := 20.0
		if k >= 360 && k < 1320 {
			set = 22
		}
		on := k/60%2 == 0
		z.Air, z.Set, z.Calling = append(z.Air, set+math.Sin(float64(k)/60)), append(z.Set, set), append(z.Calling, on)
		d.Burning = append(d.Burning, on)
		asked := 0.0
		if on {
			asked = 400 * quantity.CFM
		}
		d.Asked, d.Surplus = append(d.Asked, asked), append(d.Surplus, asked/2)
	}
	d.Zones = []chart.DayZone{z}
	return d
}

// A day is well-formed SVG with a stop for every trip, a bar for every call, and bars of airflow as high as
// the air is much.
func TestDay(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, chart.WriteDay(&b, inventedDay(), chart.Options{Prefix: "x y"}))
	svg := b.String()
	decoder := xml.NewDecoder(strings.NewReader(svg))
	for {
		if _, err := decoder.Token(); errors.Is(err, io.EOF) {
			break
		} else {
			require.NoError(t, err)
		}
	}
	assert.Contains(t, svg, "The limit opens &lt;twice&gt;")
	assert.Contains(t, svg, "The machine is stopped 2 times, first at 6:30.")
	assert.Equal(t, 2, strings.Count(svg, `class="rule fault"`))
	assert.Contains(t, svg, "<title>stopped at 18:15</title>")
	assert.Equal(t, 3, strings.Count(svg, `class="band neutral"`), "set points at night, by day, at night")
	assert.Equal(t, 12, strings.Count(svg, `class="rest"`), "runs of the machine")

	// Each of 24 half hours with air has 400 cfm asked for and half as much surplus: twice as high.
	heights := func(attr string) (all []float64) {
		for _, m := range regexp.MustCompile(`height="([0-9.]+)"[^>]*`+attr).FindAllStringSubmatch(svg, -1) {
			h, err := strconv.ParseFloat(m[1], 64)
			require.NoError(t, err)
			if h > 20 {
				all = append(all, h)
			}
		}
		return all
	}
	asked, surplus := heights(`class="asked"`), heights(`fill="url\(#x-y-hatch\)"`)
	require.Len(t, asked, 24)
	require.Len(t, surplus, 24)
	assert.InDelta(t, 2*surplus[0], asked[0], 0.2)

	var again bytes.Buffer
	require.NoError(t, chart.WriteDay(&again, inventedDay(), chart.Options{Prefix: "x y"}))
	assert.Equal(t, svg, again.String())
}
