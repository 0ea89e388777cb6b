package network

import (
	"strings"
	"testing"
)

// FuzzSet hammers what --set takes, on a job that is in order: no panic, a job or an error with a place, and the same answer every time.
//
//	go test ./network -run '^$' -fuzz FuzzSet -fuzztime 30m
func FuzzSet(f *testing.F) {
	for _, assignment := range []string{
		"damper.main.stop=30 %", "damper.day.stop = \"30 %\"", "damper.day.stop=0.3", `damper."day".stop=open`, "supply.living.length=1e3", "zone.day.wants=[1,2]",
		`supply.new={ from = "trunk", size = "6 in", length = 4, register = "8x4 in" }`, "title=x=y", "units=si", "=", ".=.", "a.b.c.d=1", `damper."da y.stop=1`,
		"supply=3", "supply.living={}", "damper.day={stop=1", "damper.day.stop=nan", "damper.day.stop=-inf", "alternative.x.title=3", "zone.day.damper=[\"day\",\"bed\"]",
		"supply.living.fittings=[\"2x wye 45\"]", "panel.call.a.zones=[]", "damper.day.stop=\x00", "damper.day.stop=\u2028", "damper.day.stop=68°", "damper.day.stop=36 deg from shut", "damper.day.stop=90° from fully open", "equipment.cooling.capacity=2.5",
		"equipment.heating.rise=35-65 F", "supply.living.fittings=[\"2 elbow\",\"two 90s\",\"elbow x2\",\"12 elbow\"]", "supply.living.size=3-1/4x10", "supply.living.size=flex 6",
		"bypass.x.opens-at=1", "supply.living.from=outdoors", "site.elevation=1e999",
		"supply.living.length=about 20 ft", "supply.living.length=20 ft +- 1e9 ft",
		"supply.living.length=10 to 30 ft", "supply.living.length=unknown",
		"supply.living.size=unknown", "supply.living.size=about 7 in flex",
		"supply.living.fittings=[\"unknown elbows\"]", "damper.day.stop=25 % (0 to 60 %)",
		"leakage.supply=4 % (2 to 8 %) of blower at 25 Pa", "equipment.filter.loading=~1.5",
		"doubt.\"supply.*.length\"=x 0.8 to 1.3", "zone.day.wants=unknown",
		"equipment.cooling.tap=unknown", "supply.living.length=5 (1 to", "damper.day.stop=1 +- nan",
		"supply.living.length=1e308 to 1e308 ft",
		strings.Repeat("a.", 40) + "a=1", "title=" + strings.Repeat("x", 5000), "v=1\n[x]", "v=\"\"\"\n", "damper.day.stop=1\r\nx=2", "damper.day.stop=# no",
	} {
		f.Add(assignment)
	}
	f.Fuzz(func(t *testing.T, assignment string) {
		opt := Options{Set: []string{assignment}}
		job, found := Read("f.toml", []byte(small), opt)
		if (job == nil) != found.HasErrors() {
			t.Fatalf("job %v with\n%s", job != nil, found)
		}
		if job != nil {
			promises(t, job)
		}
		_, again := Read("f.toml", []byte(small), opt)
		if found.Error() != again.Error() {
			t.Fatalf("two answers:\n%s\n%s", found, again)
		}
		for _, d := range found.Errors() {
			if d.Summary == "" || d.File == "" {
				t.Fatalf("an error without words or place: %+v", d)
			}
		}
	})
}
