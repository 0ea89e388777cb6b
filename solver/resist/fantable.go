package resist

import (
	"errors"
	"fmt"
	"math"
	"slices"
)

// FanRow is one point of a blower's table at one speed tap, for standard air.
type FanRow struct {
	Static float64 // rise of static pressure across the rated cabinet, Pa
	Flow   float64 // volume flow at the inlet, m³/s
	Watts  float64 // electrical input, W; zero in every row when not known
}

// FanTable is a blower's table at one tap. It does not matter whether the maker listed flow against static (houses) or
// static against flow (industry), nor which way the rows run: a row is a pair.
type FanTable []FanRow

// numberedRow remembers the place of a row in the table as given, counted from 1.
type numberedRow struct {
	FanRow
	number int
}

// sorted returns the rows ordered by a key, ties in table order.
func (t FanTable) sorted(key func(FanRow) float64) []numberedRow {
	rows := make([]numberedRow, len(t))
	for i, row := range t {
		rows[i] = numberedRow{row, i + 1}
	}
	slices.SortStableFunc(rows, func(a, b numberedRow) int {
		switch x, y := key(a.FanRow), key(b.FanRow); {
		case x < y:
			return -1
		case x > y:
			return 1
		}
		return 0
	})
	return rows
}

// checkNumbers reports what is wrong with single rows.
func (t FanTable) checkNumbers() error {
	var problems []error
	if len(t) < 2 {
		problems = append(problems, fmt.Errorf("fan table: needs at least 2 rows, has %d", len(t)))
	}
	for i, row := range t {
		switch {
		case math.IsNaN(row.Static) || math.IsInf(row.Static, 0):
			problems = append(problems, fmt.Errorf("fan table: row %d: static is not a number", i+1))
		case !(row.Flow >= 0) || math.IsInf(row.Flow, 0):
			problems = append(problems, fmt.Errorf("fan table: row %d: flow must be zero or more, not %g m³/s", i+1, row.Flow))
		case !(row.Watts >= 0) || math.IsInf(row.Watts, 0):
			problems = append(problems, fmt.Errorf("fan table: row %d: watts must be zero or more, not %g", i+1, row.Watts))
		}
	}
	return errors.Join(problems...)
}

// Check says whether the table suits a Fan: at least two rows, no static listed twice, and flow that never rises as
// static rises (level is allowed, see Fan). The error names every offending pair of rows, counted from 1.
func (t FanTable) Check() error {
	if err := t.checkNumbers(); err != nil {
		return err
	}
	var problems []error
	rows := t.sorted(func(r FanRow) float64 { return r.Static })
	for i := 1; i < len(rows); i++ {
		a, b := rows[i-1], rows[i]
		switch {
		case a.Static == b.Static:
			problems = append(problems, fmt.Errorf("fan table: rows %d and %d have the same static, %g Pa", a.number, b.number, a.Static))
		case b.Flow > a.Flow:
			problems = append(problems, fmt.Errorf("fan table: rows %d and %d: flow rises from %g to %g m³/s while static rises from %g to %g Pa",
				a.number, b.number, a.Flow, b.Flow, a.Static, b.Static))
		}
	}
	return errors.Join(problems...)
}

// hasWatts tells whether any row carries a power.
func (t FanTable) hasWatts() bool {
	for _, row := range t {
		if row.Watts > 0 {
			return true
		}
	}
	return false
}
