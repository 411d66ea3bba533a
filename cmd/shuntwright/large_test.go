package main

import (
	"fmt"
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"

	"shuntwright/inventory"
)

// largeMeter is invented: a ring of four, a chain of four, four shunts and four
// multipliers of their own.
const largeMeter = `{"name": "large", "movement": {"full_scale": "50 uA", "coil": "2 kohm"}, "circuits": [
 {"circuit": "ring", "ranges": ["1 mA", "10 mA", "100 mA", "1 A"]},
 {"circuit": "chain", "ranges": ["2.5 V", "10 V", "50 V", "250 V"]},
 {"circuit": "shunt", "range": "2 mA"}, {"circuit": "shunt", "range": "5 mA"}, {"circuit": "shunt", "range": "20 mA"}, {"circuit": "shunt", "range": "50 mA"},
 {"circuit": "multiplier", "range": "1 V"}, {"circuit": "multiplier", "range": "3 V"}, {"circuit": "multiplier", "range": "15 V"}, {"circuit": "multiplier", "range": "150 V"}]}`

// largeDrawer has invented parts from 0.1 ohm to 10 Mohm.
func largeDrawer(n int) string {
	rng := rand.New(rand.NewPCG(uint64(n), 71))
	var s strings.Builder
	s.WriteString("id,ohms\n")
	for i := range n {
		fmt.Fprintf(&s, "R%06d,%.4g\n", i, math.Pow(10, 8*rng.Float64()-1))
	}
	return s.String()
}

// BenchmarkLargeDrawer plans a meter of sixteen positions, three parts a position,
// from drawers of many parts. It reports how many times as long that takes as
// reading the drawer and sorting its values, measured in the same run, and what
// memory the process has from the system in the end.
func BenchmarkLargeDrawer(b *testing.B) {
	for _, n := range []int{300, 1000, 10_000, 100_000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			dir := b.TempDir()
			drawer, meter := put(b, dir, "drawer.csv", largeDrawer(n)), put(b, dir, "meter.json", largeMeter)
			reading, planning := time.Duration(math.MaxInt64), time.Duration(math.MaxInt64)
			for b.Loop() {
				start := time.Now()
				d, err := inventory.Read(drawer)
				if err != nil {
					b.Fatal(err)
				}
				var values []float64
				for _, p := range d.Parts() {
					values = append(values, p.Ohms.Base)
				}
				slices.Sort(values)
				reading = min(reading, time.Since(start))
				start = time.Now()
				said := program("plan", meter, "--drawer", drawer, "--parts", "3")
				planning = min(planning, time.Since(start))
				if said.code == exitWrong {
					b.Fatal(said.err)
				}
			}
			var memory runtime.MemStats
			runtime.ReadMemStats(&memory)
			b.ReportMetric(planning.Seconds()/reading.Seconds(), "times-reading")
			b.ReportMetric(planning.Seconds(), "s-plan")
			b.ReportMetric(float64(memory.Sys)/1e6, "MB")
		})
	}
}
