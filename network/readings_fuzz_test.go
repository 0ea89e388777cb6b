package network

import (
	"strings"
	"testing"
)

// FuzzReadReadings hammers the reader of readings files on a job that is in order: no panic, readings or an error, and the same answer
// every time.
//
//	go test ./network -run '^$' -fuzz FuzzReadReadings -fuzztime 30m
func FuzzReadReadings(f *testing.F) {
	job, found := Read("f.toml", []byte(small), Options{})
	if job == nil {
		f.Fatal(found)
	}
	g, err := Build(job)
	if err != nil {
		f.Fatal(err)
	}
	states := []string{"cooling: day", "cooling: bed", "cooling: all zones"}
	for _, text := range []string{
		"state = \"cooling: bed\"\n[reading]\na = { at = \"supply plenum\", static = \"0.33 inwc\" }\n",
		"[reading]\nx = { at = \"bed-1\", airflow = \"96 cfm\", with = \"flow hood\", state = \"cooling: day\" }\n",
		"units = \"si\"\nstate = \"bed\"\n[reading]\nd = { across = \"filter\", drop = 50, sigma = 2 }\n",
		"[reading]\nr = { rise = \"-18 F\" }\nw = { watts = 400 }\n", "[reading]\nt = { at = \"living\", temperature = \"55 F\", face-velocity = \"600 fpm\" }\n",
		"outdoor = \"88 F\"\n[state.\"cooling: bed\"]\nbed-1 = [\"69 cfm\", \"72 cfm +- 5 cfm, field hood\"]\n" +
			"filter = \"0.2 inwc\"\n",
		"[state.bed]\nrise = \"-18 F\"\nblower = \"1 +- \"\n", "[state]\na = 3\n",
		"", "reading = 3", "[reading]\na = 3\n", "[[reading]]\n", "[reading]\na = { at = \"nowhere\", static = \"0.1 inwc\" }\n", "[reading]\n\"\" = {}\n",
		"[reading]\na = { at = \"supply plenum\", static = nan }\n", "state = \"" + strings.Repeat("x", 3000) + "\"\n",
	} {
		f.Add([]byte(text))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		readings, found := ReadReadings("r.toml", data, g, states)
		if (readings == nil) != found.HasErrors() {
			t.Fatalf("readings %v with\n%s", readings != nil, found)
		}
		if _, again := ReadReadings("r.toml", data, g, states); found.Error() != again.Error() {
			t.Fatalf("two answers:\n%s\n%s", found, again)
		}
		if readings == nil {
			return
		}
		for _, r := range readings.List {
			if r.Value != r.Value || !(r.Sigma >= 0) {
				t.Fatalf("a reading that is no number: %+v", r)
			}
			known := false
			for _, s := range states {
				known = known || s == r.State
			}
			if !known {
				t.Fatalf("a reading in no state: %+v", r)
			}
		}
	})
}
