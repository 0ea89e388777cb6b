package network

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// bigJob is a job of so many supply lines: trunks of ten registers each, all in one zone. No house is like it; a block of flats is.
func bigJob(lines int) []byte {
	var b strings.Builder
	b.WriteString(`[equipment]
cooling = { capacity = "5 ton", tap = "high" }
blower  = { table = "generic psc 5 ton" }
filter  = { drop = "0.08 inwc", at = "2000 cfm" }
coil    = { drop = "0.14 inwc", at = "2000 cfm" }
[zone]
all = { wants = "1900 cfm", damper = "main" }
[damper]
main = { stop = "20 %" }
[supply]
main = { from = "supply plenum", size = "24x14 in", length = "60 ft", damper = "main" }
`)
	for i := 0; i < lines; i++ {
		if i%10 == 0 {
			fmt.Fprintf(&b, "trunk-%d = { from = \"main\", size = \"12 in\", length = \"40 ft\", fittings = [\"wye 45\"] }\n", i)
			continue
		}
		fmt.Fprintf(&b, "run-%d = { from = \"trunk-%d\", size = \"6 in\", length = \"12 ft\", fittings = [\"wye 45\", \"boot\"], register = \"10x4 in\", room = \"room %d\" }\n",
			i, i/10*10, i)
	}
	b.WriteString("[return]\ndrop = { to = \"return plenum\", grille = \"30x30 in\", size = \"20x20 in\", length = \"8 ft\" }\n")
	return []byte(b.String())
}

var jobSizes = []int{10, 100, 1000}

// Reading and checking should grow with the file, not with its square.
func BenchmarkRead(b *testing.B) {
	for _, lines := range jobSizes {
		b.Run(fmt.Sprint(lines), func(b *testing.B) {
			data := bigJob(lines)
			job, found := Read("big.toml", data, Options{})
			require.NotNil(b, job, found)
			b.ReportAllocs()
			for b.Loop() {
				Read("big.toml", data, Options{})
			}
			b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N)/float64(lines), "µs/line")
		})
	}
}

func BenchmarkBuild(b *testing.B) {
	for _, lines := range jobSizes {
		b.Run(fmt.Sprint(lines), func(b *testing.B) {
			job, found := Read("big.toml", bigJob(lines), Options{})
			require.NotNil(b, job, found)
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Build(job); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N)/float64(lines), "µs/line")
		})
	}
}
