package network

import (
	"reflect"
	"strings"

	"spillway/network/quantity"
)

// Bounds of what is taken for a noise criterion.
const leastNC, mostNC = 10, 70

// hearing checks and completes what noise and jets need of rooms and openings.
func (c *checker) hearing() {
	for i := range c.job.Zones {
		z := &c.job.Zones[i]
		c.criterion(z.NoiseTarget, "zone", z.Name, "noise-target")
	}
	for i := range c.job.Rooms {
		r := &c.job.Rooms[i]
		if r.Use != "" && !contains(roomUses(), r.Use) {
			c.unknown(c.at("room", r.Name, "use"), "use of a room", r.Use, roomUses())
		}
		c.criterion(r.NoiseTarget, "room", r.Name, "noise-target")
	}
	silent := false
	var heard []string
	for _, ref := range c.order {
		c.lining(ref)
		c.throwAndNoise(ref.Register, ref, "register")
		c.throwAndNoise(ref.Grille, ref, "grille")
		if ref.Register == nil && ref.Grille == nil {
			continue
		}
		silent = silent || ref.Register != nil && ref.Register.Pattern == ""
		if ref.Room != "" && !contains(heard, ref.Room) {
			heard = append(heard, ref.Room)
		}
	}
	if silent {
		c.assume(DefaultPattern, "throw is shown for it but not judged, where a register gives no pattern", "supply", "*", "register.pattern")
	}
	for _, name := range heard {
		c.listening(name)
	}
}

func (c *checker) criterion(nc float64, path ...string) {
	if nc != 0 && (nc < leastNC || nc > mostNC) {
		c.fail(c.at(path...), "a bedroom has 25 to 30, a living room 30 to 35", "a noise criterion is a number from %d to %d", leastNC, mostNC)
	}
}

// listening notes what a room is taken for.
func (c *checker) listening(name string) {
	h := c.job.RoomOf(name, "")
	r := c.rooms[name]
	if r == nil || r.Use == "" {
		c.assume(string(h.Use), "by its name, for the noise target", "room", name, "use")
	}
	if r == nil || r.Floor == 0 {
		c.assume(quantity.Area(h.Floor).Text(c.system), "a small bedroom, for noise and throw only (our choice)", "room", name, "floor")
	}
	if r == nil || r.Ceiling == 0 {
		c.assume(quantity.Length(h.Ceiling).Text(c.system), "usual in houses (common practice)", "room", name, "ceiling")
	}
	if r == nil || r.Listener == 0 {
		c.assume(quantity.Length(h.Listener).Text(c.system), "a pillow near the register (our choice)", "room", name, "listener")
	}
}

func (c *checker) lining(ref *lineRef) {
	if ref.Lined == 0 {
		return
	}
	at := c.at(ref.table, ref.Name, "lined")
	if strings.Contains(ref.Size.Material, "flex") {
		c.fail(at, "take it out: the loss of flexible duct is that of lined duct already", "%q is flexible duct and has no lining of its own", ref.Name)
		return
	}
	if ref.Lined > 0.1 {
		c.fail(at, `write lined = "1 in"`, "a lining of %s is thicker than any", quantity.KindSize.Short(float64(ref.Lined), c.system))
	}
}

// throwAndNoise checks how a register throws and what its maker says of its noise.
func (c *checker) throwAndNoise(o *Opening, ref *lineRef, key string) {
	if o == nil {
		return
	}
	at := func(k string) span { return c.at(ref.table, ref.Name, key, k) }
	if key == "grille" && (o.Pattern != "" || o.Height != nil || o.Reach != 0) {
		c.fail(at("pattern"), "take pattern, height and reach out", "the grille of %q takes air in and throws none", ref.Name)
	} else if o.Pattern != "" && !contains(Patterns(), o.Pattern) {
		c.unknown(at("pattern"), "throw pattern", o.Pattern, Patterns())
	}
	if room := c.job.RoomOf(ref.Room, ""); o.Height != nil && float64(*o.Height) > room.Ceiling*(1+1e-9) {
		c.fail(at("height"), "give the room its ceiling", "the register of %q sits at %s under a ceiling of %s", ref.Name,
			o.Height.Text(c.system), quantity.Length(room.Ceiling).Text(c.system))
	}
	if o.Noise == nil {
		return
	}
	if o.Noise.NC == 0 || o.Noise.At == 0 {
		c.fail(at("noise"), `write noise = { nc = 25, at = "`+quantity.KindAirflow.Example(c.system)+`" }`, "the noise rating of %q needs an NC and the airflow it holds for", ref.Name)
		return
	}
	c.criterion(o.Noise.NC, ref.table, ref.Name, key, "noise", "nc")
}

// limits checks the job's own limits: one value or two, in order, and rule sets that exist.
func (c *checker) limits() {
	for i, name := range c.job.Limits.Rules {
		if !contains(RuleSets(), name) {
			c.unknown(c.item(i, "limits", "rules"), "rule set", name, RuleSets())
		}
	}
	v := reflect.ValueOf(c.job.Limits)
	for _, f := range fieldsOf(v.Type()) {
		values := v.Field(f.index)
		if f.key == "rules" || values.Len() == 0 {
			continue
		}
		at := c.at("limits", f.key)
		if values.Len() > 2 {
			c.fail(at, "write the limit, or [caution, fault]", "%q has %d values", f.key, values.Len())
			continue
		}
		for i := range values.Len() {
			if x := values.Index(i).Float(); strings.HasSuffix(f.key, "-noise") && (x < leastNC || x > mostNC) {
				c.criterion(x, "limits", f.key)
			}
		}
		if values.Len() == 1 {
			continue
		}
		caution, fault := values.Index(0).Float(), values.Index(1).Float()
		switch least := strings.HasPrefix(f.key, "least-"); {
		case least && caution < fault:
			c.fail(at, "write [caution, fault], the higher first", "%q bounds from below, so its caution lies above its fault", f.key)
		case !least && caution > fault:
			c.fail(at, "write [caution, fault], the lower first", "%q bounds from above, so its caution lies below its fault", f.key)
		}
	}
}
