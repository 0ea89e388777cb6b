package networktest

import (
	"maps"
	"math/rand/v2"
	"slices"
	"strings"
)

// pool are names that look like composed ones of other parts, and a few of the program's own.
var pool = []string{"bed", "bed damper", "bed damper outlet", "room bed", "room bed 2", "trunk", "trunk at attic", "trunk at bed", "x", "x end", "x start", "x damper end",
	"supply plenum outlet", "supply leakage", "return leakage", "house envelope", "bed register", "bed grille", "bed leakage", "bed balance", "bed door", "bed envelope",
	"bed transfer", "bed after x", "x after bed", "bed damper (dump)", "bed damper (damper)", "bed damper inlet", "across bed", "bed damper damper", "outdoors", "→bed"}

// Scramble draws a new name for every part of a job out of the pool, its own names and what those could be composed to.
func Scramble(t T, data []byte, r *rand.Rand) Names {
	names, order := Parts(t, data)
	words := slices.Clone(pool)
	for _, part := range order {
		words = append(words, part[1])
	}
	endings := []string{" damper", " damper outlet", " damper inlet", " end", " start", " register", " grille", " balance", " leakage", " at bed", " after x", " door"}
	taken := map[string]map[string]bool{}
	for _, part := range order {
		kind, space := part[0], part[0]
		switch kind {
		case BoxName:
			space = LineName
		}
		box := func(name string) bool { // rooms differ from boxes, and from nothing else
			return kind == RoomName && slices.Contains(slices.Collect(maps.Values(names[BoxName])), name) ||
				kind == BoxName && taken[RoomName][name]
		}
		if taken[space] == nil {
			taken[space] = map[string]bool{}
		}
		for {
			name := words[r.IntN(len(words))]
			for r.IntN(3) == 0 {
				name += endings[r.IntN(len(endings))]
			}
			port := strings.HasSuffix(name, " end") || strings.HasSuffix(name, " start") // would make the place of a port mean two things
			if taken[space][name] || box(name) || len(name) > 60 || kind == LineName && port && len(names[PortName]) > 0 {
				continue
			}
			taken[space][name] = true
			names[kind][part[1]] = name
			break
		}
	}
	return names
}
