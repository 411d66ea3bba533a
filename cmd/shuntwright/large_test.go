//go:build unix

package main

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"runtime"
	"runtime/debug"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"

	"shuntwright/inventory"
	"shuntwright/inventory/safefile"
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

// spent is the time that this process has had a processor for; other programs
// do not count.
func spent() time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		panic(err)
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// taking is what something takes of a processor in a process that has no memory yet,
// as where the program is called.
func taking(do func()) time.Duration {
	debug.FreeOSMemory()
	start := spent()
	do()
	return spent() - start
}

// planning plans the meter of sixteen positions, three parts a position, from a
// drawer of many parts, and reads that drawer and sorts its values, a few times in
// turn. It returns the least that either took of a processor.
func planning(tb testing.TB, parts, times int) (plan, read time.Duration) {
	dir := tb.TempDir()
	drawer, meter := put(tb, dir, "drawer.csv", largeDrawer(parts)), put(tb, dir, "meter.json", largeMeter)
	plan, read = math.MaxInt64, math.MaxInt64
	for range times {
		read = min(read, taking(func() {
			d, err := inventory.Read(safefile.Files{}, drawer)
			if err != nil {
				tb.Fatal(err)
			}
			var values []float64
			for _, p := range d.Parts() {
				values = append(values, p.Ohms.Base)
			}
			slices.Sort(values)
		}))
		plan = min(plan, taking(func() {
			if said := program("plan", meter, "--drawer", drawer, "--parts", "3"); said.code == exitWrong {
				tb.Fatal(said.err)
			}
		}))
	}
	return plan, read
}

// memoryMB is what memory the process has from the system.
func memoryMB() float64 {
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return float64(m.Sys) / 1e6
}

// TestLargeDrawer: a plan from many parts takes little more of a processor than
// reading the drawer and sorting its values, from hundreds a moment, and not much
// memory.
func TestLargeDrawer(t *testing.T) {
	if os.Getenv("SHUNTWRIGHT_SLOW") == "" {
		t.Skip("measures for a while; set SHUNTWRIGHT_SLOW=1")
	}
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	for _, test := range []struct {
		parts       int
		times, most float64 // as long as reading takes, and seconds
	}{{300, math.Inf(1), 0.3}, {1000, math.Inf(1), 0.5}, {10_000, 3, math.Inf(1)}, {100_000, 2, math.Inf(1)}} {
		plan, read := planning(t, test.parts, 9)
		t.Logf("%d parts: %v, reading %v, %.2f times", test.parts, plan, read, plan.Seconds()/read.Seconds())
		if plan.Seconds() > test.times*read.Seconds() || plan.Seconds() > test.most || memoryMB() > 600 {
			t.Errorf("%d parts: %v, reading %v, %.0f MB", test.parts, plan, read, memoryMB())
		}
	}
}

// BenchmarkLargeDrawer reports how many times as long a plan from many parts takes
// of a processor as reading the drawer and sorting its values, measured in turn,
// and what memory the process has from the system in the end.
func BenchmarkLargeDrawer(b *testing.B) {
	for _, n := range []int{300, 1000, 10_000, 100_000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			plan, read := planning(b, n, max(5, b.N))
			b.ReportMetric(plan.Seconds()/read.Seconds(), "times-reading")
			b.ReportMetric(plan.Seconds(), "s-plan")
			b.ReportMetric(memoryMB(), "MB")
		})
	}
}
