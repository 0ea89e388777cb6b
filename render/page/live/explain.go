package live

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strings"

	"spillway/render/page/trial"
	"spillway/render/sheet"
	"spillway/solver/derive"
	"spillway/solver/state"
)

// whence asks where a number that the page shows comes from.
type whence struct {
	Alternative string    `json:"alternative"`
	State       string    `json:"state"`
	Set         []setting `json:"set"`
	Name        string    `json:"name"` // of the number
}

// because is the answer.
type because struct {
	Problem    string          `json:"problem,omitempty"`
	State      string          `json:"state"`
	Derivation json.RawMessage `json:"derivation,omitempty"` // as sheet.Derivations writes it, of this number alone
}

func (q *whence) question() *question {
	return &question{Alternative: q.Alternative, State: q.State, Set: q.Set}
}

func (q *whence) check() error {
	if len(q.Name) > longestText {
		return errors.New("a text is too long")
	}
	if strings.TrimSpace(q.Name) == "" {
		return errors.New("which number?")
	}
	return q.question().check()
}

// explain answers where a number comes from: the state is solved once more, which takes less than keeping all that was shown.
func (d *Desk) explain(w http.ResponseWriter, r *http.Request) {
	var q whence
	leave, ok := d.take(w, r, &q, q.check)
	if !ok {
		return
	}
	defer leave()
	a, err := d.whence(r.Context(), &q)
	if r.Context().Err() != nil {
		return // nobody waits
	}
	if err != nil {
		a = &because{State: q.State, Problem: trial.Problems(d.opt.Name, err).Error()}
	}
	d.reply(w, a)
}

func (d *Desk) whence(ctx context.Context, q *whence) (*because, error) {
	in, err := d.open(d.now(), q.Alternative, d.overrides(q.question()))
	if err != nil {
		return nil, err
	}
	at := slices.IndexFunc(in.States(), func(s state.CallState) bool { return s.Name == q.State })
	if at < 0 {
		return nil, fmt.Errorf("there is no call state %q", q.State)
	}
	c, err := in.Solve(ctx, in.States()[at])
	if err != nil {
		return nil, err
	}
	step, err := derive.New(c.Outcome, c.Findings).Explain(q.Name)
	if err != nil {
		return nil, err
	}
	all := sheet.NewDerivations(d.units(in.Installation))
	all.AddOne("", q.Name, step)
	return &because{State: in.States()[at].Name, Derivation: all.JSON()}, nil
}
