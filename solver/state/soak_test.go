package state_test

import (
	"cmp"
	"errors"
	"flag"
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network"
	"spillway/network/catalog"
	"spillway/network/diag"
	"spillway/solver/air"
	"spillway/solver/heat"
	"spillway/solver/state"
)

// The soak makes whole job files out of chance, each a different installation with settings far beyond the sensible, and takes them the
// whole way: read, build, solve every call state, hold the outcome against the laws of nature. Job number i of a seed is always the
// same, so a run may be stopped and taken up again:
//
//	go test ./solver/state -run Soak -soak 100000 -soak.seed 3 -soak.from 41000 -timeout 0 -v
var (
	soakJobs = flag.Int("soak", 40, "job files of the soak")
	soakSeed = flag.Uint64("soak.seed", 1, "seed of the soak")
	soakFrom = flag.Int("soak.from", 0, "number of the job to begin with")
)

func TestSoak(t *testing.T) {
	var sum tally
	begun, told := time.Now(), time.Now()
	t.Logf("seed %d, jobs %d to %d", *soakSeed, *soakFrom, *soakFrom+*soakJobs-1)
	for i := range *soakJobs {
		number := *soakFrom + i
		job := randomJob(rand.New(rand.NewPCG(*soakSeed, uint64(number))))
		before := sum.unsettled
		fault := sum.soak(job)
		if sum.unsettled > before {
			t.Logf("unsettled: -soak.seed %d -soak.from %d -soak 1: %v", *soakSeed, number, sum.last)
		}
		if fault != "" {
			t.Errorf("-soak.seed %d -soak.from %d -soak 1: %s\n%s", *soakSeed, number, fault, numbered(job))
		}
		if time.Since(told) > time.Minute {
			told = time.Now()
			t.Logf("%v after %v; next: -soak.from %d", sum, time.Since(begun).Round(time.Second), number+1)
		}
	}
	t.Log(sum)
	t.Logf("refused:%v", sum.refusals)
	t.Logf("declined:%v", sum.declines)
	assert.LessOrEqual(t, sum.refused, *soakJobs/100+2, "the job files of the soak are meant to be in order")
	assert.LessOrEqual(t, sum.declined, sum.states/2+15, "most states of the soak have an answer")
	assert.LessOrEqual(t, sum.unsettled, sum.states/2000, "every state comes to rest")
}

// tally counts what becomes of the jobs. A job is refused when the reader or the plan finds a figure in it that cannot be; a state is
// declined when its air leaves the range of a model and the error says so; it is unsettled when no solution is found and the error
// says that. None of these is wrong in silence, but each unsettled state is a weakness of the solver and is printed with -v.
type tally struct {
	jobs, refused, states, declined, unsettled int

	last error // of the state that stayed unsettled last

	refusals, declines reasons
}

// reasons counts messages, names and figures apart.
type reasons map[string]int

var namesAndFigures = regexp.MustCompile(`"[^"]*"|[-+]?[0-9][0-9.,e+-]*`)

func (r *reasons) add(message string) {
	if *r == nil {
		*r = reasons{}
	}
	(*r)[namesAndFigures.ReplaceAllString(message, "·")]++
}

// String lists them, the commonest first.
func (r reasons) String() string {
	var text strings.Builder
	messages := slices.SortedFunc(maps.Keys(r), func(a, b string) int {
		return cmp.Or(r[b]-r[a], strings.Compare(a, b))
	})
	for _, m := range messages {
		fmt.Fprintf(&text, "\n%6d  %s", r[m], m)
	}
	return text.String()
}

func (s tally) String() string {
	return fmt.Sprintf("%d jobs (%d refused), %d states solved and checked, %d declined, %d unsettled", s.jobs, s.refused, s.states, s.declined, s.unsettled)
}

// soak takes one job file the whole way and says what went wrong; "" when nothing did.
func (s *tally) soak(job string) (fault string) {
	defer func() {
		if r := recover(); r != nil {
			fault = fmt.Sprintf("panic: %v", r)
		}
	}()
	s.jobs++
	read, found := network.Read("soak.toml", []byte(job), network.Options{})
	if (read == nil) != found.HasErrors() {
		return "a job with errors, or none without"
	}
	if read == nil {
		s.refused++
		s.refusals.add(found.Errors()[0].Summary)
		return ""
	}
	g, err := network.Build(read)
	if err != nil {
		return "build: " + err.Error()
	}
	solver, err := state.New(g)
	if figures, ok := diag.As(err); ok {
		s.refused++
		s.refusals.add(figures.Errors()[0].Summary)
		return ""
	}
	if err != nil {
		return "new: " + err.Error()
	}
	for _, cs := range state.States(g) {
		o, err := solver.Solve(cs)
		switch {
		case declines(err):
			s.declined++
			_, reason, _ := strings.Cut(err.Error(), ": ")
			s.declines.add(reason)
			continue
		case err != nil:
			s.unsettled++
			s.last = err
			continue
		}
		if fault := lawBroken(o); fault != "" {
			return cs.Name + ": " + fault
		}
		s.states++
	}
	return ""
}

// declines tells whether an error only says that the air has left the range of a model: a coil that would cool it below −40 °C, a burner
// that would heat what little moves beyond 200 °C.
func declines(err error) bool {
	return errors.Is(err, heat.ErrBeyondRange) || errors.Is(err, heat.ErrNoSteadyState) || errors.Is(err, air.ErrImpossible) ||
		err != nil && strings.Contains(err.Error(), "jet: supply temperature must lie between")
}

// lawBroken says which law of nature or promise of an Outcome is not kept; "" when all are.
func lawBroken(o *state.Outcome) string {
	g := o.Graph
	scale := math.Max(o.Blower.Airflow, 1e-3) * air.StandardDensity
	net := make([]float64, len(g.Nodes))
	for i, e := range g.Elements {
		x := &o.Elements[i]
		if math.IsNaN(x.Drop + x.Flow + x.Airflow + x.Surplus + x.Low + x.High) {
			return "not a number in " + e.Name
		}
		net[e.From] -= x.Flow
		net[e.To] += x.Flow
		head := o.Nodes[e.From].Total - o.Nodes[e.To].Total + x.Lift
		if off := math.Abs(head - x.Drop); off > 1e-3 || off > o.Certificate.PressureResidual+1e-7 {
			return fmt.Sprintf("%s drops %g Pa between nodes that differ by %g; the certificate says %g at most", e.Name, x.Drop, head, o.Certificate.PressureResidual)
		}
		if x.Low > x.Airflow+1e-12 || x.High < x.Airflow-1e-12 {
			return fmt.Sprintf("%s: %g outside its interval %g to %g", e.Name, x.Airflow, x.Low, x.High)
		}
	}
	for n := range g.Nodes {
		if math.IsNaN(o.Nodes[n].Total + o.Nodes[n].Static + o.Nodes[n].Temperature) {
			return "not a number at " + g.Nodes[n].Name
		}
		if !g.Nodes[n].Known && math.Abs(net[n]) > 1e-8*scale {
			return fmt.Sprintf("mass at %s: %g kg/s", g.Nodes[n].Name, net[n])
		}
	}
	sum := 0.0
	for _, p := range o.Ledger.Paths {
		sum += p.Airflow
	}
	switch {
	case math.Abs(sum-o.Blower.Airflow) > 1e-8*scale:
		return fmt.Sprintf("the ledger has %g, the blower moves %g", sum, o.Blower.Airflow)
	case !(o.Certificate.FlowBound < 1e-3*scale):
		return fmt.Sprintf("flows are only known to %g m³/s", o.Certificate.FlowBound)
	case math.Abs(o.Equipment.EnergyResidual) > 1e-8*o.Equipment.EnergyTotal:
		return fmt.Sprintf("%g W of %g are lost", o.Equipment.EnergyResidual, o.Equipment.EnergyTotal)
	}
	return ""
}

func numbered(text string) string {
	lines := strings.Split(text, "\n")
	for i, l := range lines {
		lines[i] = fmt.Sprintf("%3d  %s", i+1, l)
	}
	return strings.Join(lines, "\n")
}

// chance draws the parts of a job.
type chance struct {
	*rand.Rand
	text strings.Builder
}

func (c *chance) line(format string, args ...any) { fmt.Fprintf(&c.text, format+"\n", args...) }

func (c *chance) one(words ...string) string { return words[c.IntN(len(words))] }

func (c *chance) likely(share float64) bool { return c.Float64() < share }

// number is drawn evenly over the orders of magnitude.
func (c *chance) number(low, high float64) float64 {
	return low * math.Pow(high/low, c.Float64())
}

func (c *chance) size() string {
	switch c.IntN(6) {
	case 0:
		return fmt.Sprintf("%dx%d in", 4+2*c.IntN(12), 4+2*c.IntN(8))
	case 1:
		return fmt.Sprintf("%d in flex", 4+c.IntN(12))
	case 2:
		height := 4 + 2*c.IntN(5)
		return fmt.Sprintf("%dx%d in oval", height+2+2*c.IntN(8), height)
	}
	return fmt.Sprintf("%d in", 3+c.IntN(22))
}

func (c *chance) percent(least float64) string {
	switch c.IntN(6) {
	case 0:
		return fmt.Sprintf("%.4g %%", max(least, 0))
	case 1:
		return "100 %"
	}
	return fmt.Sprintf("%.4g %%", max(least, c.number(0.01, 100)))
}

// fittings of a run: the kind of junction first, then bends and coefficients of up to ten thousand.
func (c *chance) fittings(first string) string {
	var list []string
	if first != "" {
		list = append(list, fmt.Sprintf("%q", first))
	}
	for range c.IntN(3) {
		switch c.IntN(4) {
		case 0:
			list = append(list, fmt.Sprintf(`"C = %.3g"`, c.number(1e-3, 1e4)))
		case 1:
			list = append(list, fmt.Sprintf(`"%.3g ft equivalent"`, c.number(0.1, 300)))
		default:
			list = append(list, `"elbow 90 smooth"`)
		}
	}
	return "[" + strings.Join(list, ", ") + "]"
}

func (c *chance) junction() string {
	return c.one("wye 45", "tee", "conical tee", "45-entry tap", "")
}

// randomJob writes a job file.
func randomJob(r *rand.Rand) string {
	c := &chance{Rand: r}
	zones := 1 + c.IntN(4)
	c.line("title = \"soak\"")
	if c.likely(0.5) {
		c.line("site.elevation = \"%d ft\"", c.IntN(9000))
	}
	hot, cold := c.weather()
	cools, heats := c.equipment()
	c.line("[weather]")
	if cools {
		c.line("%s", hot)
	}
	if heats {
		c.line("%s", cold)
	}
	c.line("[zone]")
	for z := range zones {
		c.line("z%d = { wants = \"%.4g cfm\", floor = \"%.4g ft2\", heat-loss = \"%.3g kBtu/h\", damper = \"z%d\" }", z, c.number(20, 2000), c.number(50, 4000), c.number(1, 60), z)
	}
	c.line("[damper]")
	for z := range zones {
		c.line("z%d = { blade = %q, drive = %q, stop = %q, leakage = %q }", z, c.one("round", "parallel", "opposed", "rectangular"), c.one("two-position", "modulating"),
			c.percent(0), c.one("0.01 %", "1 %", "3 %", "20 %", "class 3"))
	}
	c.line("hand = { drive = \"hand\", open = %q }", c.percent(0.5))
	c.line("flap = { drive = \"backdraft\" }")
	box := c.likely(0.3)
	c.supply(zones, box)
	c.returns()
	c.surplus(zones)
	c.house(zones)
	return c.text.String()
}

func (c *chance) weather() (hot, cold string) {
	hot = fmt.Sprintf("hot = { mode = \"cooling\", outdoor = \"%d F\", indoor = \"%d F\", humidity = \"%d %%\" }", 70+c.IntN(45), 68+c.IntN(14), 20+c.IntN(60))
	cold = fmt.Sprintf("cold = { mode = \"heating\", outdoor = \"%d F\", indoor = \"%d F\" }", -30+c.IntN(90), 60+c.IntN(15))
	return hot, cold
}

func (c *chance) equipment() (cools, heats bool) {
	names := catalog.Names(catalog.Blowers)
	blower, _ := catalog.LookupBlower(names[c.IntN(len(names))])
	tap := func() string { return blower.Taps[c.IntN(len(blower.Taps))].Name }
	c.line("[equipment]")
	heats = c.likely(0.7)
	cools = !heats || c.likely(0.8)
	if cools {
		c.line("cooling = { capacity = \"%.3g ton\", sensible = \"%d %%\", tap = %q }", blower.Tons*c.number(0.7, 1.3), 69+c.IntN(10), tap())
	}
	if heats {
		c.line("heating = { kind = %q, output = \"%.4g kBtu/h\", tap = %q }", c.one("furnace", "electric", "heat pump"), blower.Tons*c.number(5, 30), tap())
	}
	c.line("blower = { table = %q }", blower.Name)
	c.line("filter = { drop = \"%.3g inwc\", at = \"%.4g cfm\" }", c.number(0.01, 0.5), 400*blower.Tons)
	c.line("coil = { drop = \"%.3g inwc\", at = \"%.4g cfm\" }", c.number(0.05, 0.5), 400*blower.Tons)
	return cools, heats
}

func (c *chance) supply(zones int, box bool) {
	if box {
		c.line("[box]\nchest = {}")
	}
	c.line("[supply]")
	c.line("trunk = { from = \"supply plenum\", size = %q, length = \"%.3g ft\", fittings = %s }", c.size(), c.number(0.5, 100), c.fittings(""))
	from := "trunk"
	if box {
		c.line("chest-duct = { from = \"trunk\", to = \"chest\", size = %q, length = \"%.3g ft\", fittings = %s }", c.size(), c.number(0.5, 60), c.fittings(""))
		from = "chest"
	}
	for z := range zones {
		first := ""
		if !box {
			first = c.junction()
		}
		rise := ""
		if c.likely(0.3) {
			rise = fmt.Sprintf(", rise = \"%d ft\"", c.IntN(8)-3)
		}
		c.line("z%d-trunk = { from = %q, size = %q, length = \"%.3g ft\", fittings = %s, damper = \"z%d\", place = %q%s }", z, from, c.size(), c.number(8, 120),
			c.fittings(first), z, c.one("inside", "attic", "crawlspace"), rise)
		for k := range 1 + c.IntN(4) {
			extra := ""
			switch c.IntN(6) {
			case 0:
				extra = ", damper = \"hand\""
				if z > 0 || k > 0 {
					extra = fmt.Sprintf(", balance = %q", c.percent(0.5))
				}
			case 1:
				extra = ", insulation = \"R-6\""
			case 2:
				extra = ", leakage = \"class 24\""
			}
			c.line("z%d-%d = { from = \"z%d-trunk\", size = %q, length = \"%.3g ft\", fittings = %s, register = \"%dx%d in\", room = \"room %d %d\", zone = \"z%d\"%s }",
				z, k, z, c.size(), c.number(0.2, 150), c.fittings(c.junction()), 6+2*c.IntN(8), 4+2*c.IntN(4), z, k, z, extra)
		}
	}
}

func (c *chance) returns() {
	c.line("[return]")
	c.line("back = { to = \"return plenum\", size = %q, length = \"%.3g ft\", fittings = %s }", c.size(), c.number(2, 40), c.fittings(""))
	for k := range 1 + c.IntN(3) {
		damper := ""
		if k == 0 && c.likely(0.2) {
			damper = ", damper = \"flap\""
		}
		c.line("grille-%d = { to = \"back\", grille = \"%dx%d in\", size = %q, length = \"%.3g ft\", fittings = %s%s }", k, 12+2*c.IntN(10), 8+2*c.IntN(8), c.size(), c.number(1, 50),
			c.fittings(c.one("wye 45", "tee", "")), damper)
	}
}

func (c *chance) surplus(zones int) {
	opens := c.number(0.02, 1)
	weighted := fmt.Sprintf("opens-at = \"%.3g inwc\", fully-open-at = \"%.3g inwc\"", opens, opens*c.number(1.05, 4))
	switch c.IntN(5) {
	case 0:
		c.line("[bypass]\nrelief = { from = \"supply plenum\", to = \"return plenum\", size = %q, length = \"5 ft\", %s }", c.size(), weighted)
	case 1:
		c.line("[bypass]\nsteady = { from = \"supply plenum\", to = \"back\", size = %q, length = \"9 ft\", fittings = [\"wye 45\"], holds = \"%.3g inwc\" }", c.size(), c.number(0.05, 0.8))
	case 2:
		c.line("[dump]\nlobby = { from = \"supply plenum\", size = %q, length = \"8 ft\", register = \"12x6 in\", zone = \"z%d\", %s }", c.size(), c.IntN(zones), weighted)
	case 3:
		c.line("[bypass]\nopen = { from = \"supply plenum\", to = \"return plenum\", size = %q, length = \"12 ft\", balance = %q }", c.size(), c.percent(0.5))
	}
}

func (c *chance) house(zones int) {
	if c.likely(0.4) {
		c.line("[room]")
		c.line("\"room 0 0\" = { zone = \"z0\", door = { width = \"32 in\", undercut = \"%.3g in\" } }", c.number(0.05, 2))
	}
	c.line("[leakage]")
	c.line("supply = \"%.3g %% of blower at 25 Pa\"", c.number(0.01, 30))
	if c.likely(0.5) {
		c.line("return = \"%.3g cfm at 25 Pa to attic\"", c.number(0.1, 300))
	}
	if c.likely(0.5) {
		c.line("envelope = \"%.4g cfm at 50 Pa\"", c.number(50, 5000))
	}
	if zones > 1 && c.likely(0.3) {
		c.line("[panel]\ncall.first = { zones = [\"z0\"], damper = { z1 = %q } }", c.percent(0))
	}
}

// The soak's jobs hold every kind of part, or it shows less than it says.
func TestSoakJobsHaveEveryKindOfPart(t *testing.T) {
	seen := map[network.PartKind]bool{}
	for i := range 300 {
		job, _ := network.Read("soak.toml", []byte(randomJob(rand.New(rand.NewPCG(1, uint64(i))))), network.Options{})
		if job == nil {
			continue
		}
		g, err := network.Build(job)
		require.NoError(t, err)
		for _, e := range g.Elements {
			seen[e.Kind] = true
		}
	}
	g := everyPart(t)
	for _, e := range g.Elements {
		assert.True(t, seen[e.Kind], "no %v", e.Kind)
	}
}
