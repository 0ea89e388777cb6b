package derive_test

import (
	"bufio"
	"bytes"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network/networktest"
	"spillway/network/quantity"
	"spillway/solver/derive"
	"spillway/solver/state"
	"spillway/solver/state/statetest"
	"spillway/solver/verdict"
)

// Every number of an outcome can be explained under its name, or testdata/excused.txt says why not. An
// excuse for a number that can be explained, or that is gone, fails too.
func TestEveryFieldIsExplainedOrExcused(t *testing.T) {
	explained, known := map[string]bool{}, map[string]bool{}
	look := func(job, alternative string, states ...string) {
		solver := statetest.Solver(t, networktest.Graph(t, job, alternative))
		for _, name := range states {
			o := statetest.SolveBy(t, solver, name)
			findings := verdict.Judge(o)
			x := derive.New(o, findings)
			for of := range state.Subjects {
				for _, f := range state.Fields(of) {
					if f.Form != state.Number {
						continue
					}
					id := subjects[of] + " " + f.Key + f.Kind.Suffix(quantity.SI)
					known[id] = true
					for at := range o.Count(of) {
						explained[id] = explained[id] || x.Has(o.Name(state.Ref{Field: f.ID, At: at}))
					}
				}
			}
		}
	}
	look("two-floor", "bypass-to-plenum", "heating: loft", "design-cooling: loft")
	look("three-zone", "", "cooling stage 1: studio", "heating stage 1: studio")

	data, err := os.ReadFile("testdata/excused.txt")
	require.NoError(t, err)
	excused := map[string]bool{}
	lines := bufio.NewScanner(bytes.NewReader(data))
	for lines.Scan() {
		id, why, ok := strings.Cut(lines.Text(), ": ")
		require.True(t, ok && why != "", lines.Text())
		excused[id] = true
		assert.True(t, known[id], "%s is excused and does not exist", id)
		assert.False(t, explained[id], "%s is excused and is explained", id)
	}
	for id := range known {
		assert.True(t, explained[id] || excused[id], "%s has no derivation", id)
	}
}

var subjects = [state.Subjects]string{
	state.OfBlower: "blower", state.OfEquipment: "equipment", state.OfLedger: "ledger", state.OfCertificate: "certificate",
	state.OfPoint: "point", state.OfMoment: "moment", state.OfPath: "path", state.OfElement: "element", state.OfNode: "node",
	state.OfRegister: "register", state.OfGrille: "grille", state.OfRoom: "room", state.OfZone: "zone",
	state.OfDamper: "damper", state.OfPort: "port",
}
