package verdict

import "spillway/solver/state"

// Mixed is what a finding knows of a value that depends on how well recirculated air mixes. The zero value: it does not.
type Mixed struct {
	Low, High float64 // the value at the mixed and at the unmixed end of the band
	From, To  float64 // that band, shares of the recirculated air that arrive unmixed; one and the same where the job gives it
	// Flip is the share above which the fault's limit is passed; 0 where mixing does not decide that.
	Flip float64
}

// leastMixed names a value at the unmixed end of its band.
const leastMixed = "least mixed"

// mixed judges a value that depends on mixing, by the value at the usual figure and at both ends of its band. It is a fault only where even the
// mixed end is one; where the band reaches into the fault it is a caution: of the usual value if that is past a limit, else of the unmixed
// end.
func (j *judge) mixed(l *Limit, usual, high state.FieldID, m Mixed, remedy string) {
	read := func(field state.FieldID) Finding {
		return l.judge("", j.o.At(state.Ref{Field: field}).Num, remedy).of(field, 0, state.NoField)
	}
	f := read(usual)
	switch {
	case f.Level == Fault && !l.passes(m.Low, l.Fault):
		f.Level = Caution
	case f.Level != Fault && l.passes(m.High, l.Fault):
		f = read(high)
		f.Level, f.What = Caution, leastMixed
	}
	if !(m.Flip > 0) {
		m.Flip = 0
	}
	if j.o.Equipment.Recirculated > 0 {
		f.Mixed = m
	}
	j.found = append(j.found, f)
}
