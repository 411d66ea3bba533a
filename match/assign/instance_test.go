package assign

import (
	"context"
	"math"
	"os"
	"slices"
	"testing"
	"time"

	"shuntwright/match/matchtest"
)

// instance reads a folder of testdata/joint, drawers and meters with the
// smallest worst error proven by general solvers, and lists the best network of
// every set of parts in the plainest way.
func instance(t testing.TB, name string) (Problem, matchtest.Instance) {
	t.Helper()
	if known, there := instances[name]; there {
		return known.Problem, known.Instance
	}
	in, err := matchtest.Read("../..", name)
	if err != nil {
		t.Fatal(err)
	}
	all := matchtest.Networks(in.Ohms, in.Parts)
	p := Problem{Parts: len(in.Ohms)}
	columns := 0
	for i, target := range in.Meter.Targets {
		var list []Candidate
		near := matchtest.Within(all, target, in.WithinPercent)
		slices.SortStableFunc(near, func(a, b matchtest.Candidate) int { return slices.Compare(a.Parts, b.Parts) })
		for _, n := range near {
			cost := costAt(in.Meter, i, n.Value)
			if last := len(list) - 1; last >= 0 && slices.Equal(list[last].Parts, n.Parts) {
				list[last].Cost = min(list[last].Cost, cost)
				continue
			}
			list = append(list, Candidate{Parts: n.Parts, Cost: cost})
		}
		columns += len(near)
		p.Positions = append(p.Positions, list)
	}
	if columns != in.Columns {
		t.Fatalf("%s: %d candidate networks, answer.json says %d", name, columns, in.Columns)
	}
	instances[name] = read{p, in}
	return p, in
}

// read is an instance, and what it asks; instances are those read so far.
type read struct {
	Problem
	matchtest.Instance
}

var instances = map[string]read{}

// costAt is the full-scale error, in percent, of a value in a position with a
// range of its own.
func costAt(m *matchtest.Meter, position int, ohms float64) float64 {
	all, errors := slices.Clone(m.Targets), make([]float64, len(m.Targets))
	all[position] = ohms
	m.Errors(errors, all)
	return math.Abs(errors[position])
}

func TestPublishedOptima(t *testing.T) {
	names := slices.Concat(quick, hard)
	if os.Getenv("SHUNTWRIGHT_SLOW") == "" { // half of the time goes into these
		names = slices.DeleteFunc(names, func(name string) bool {
			return slices.Contains([]string{"scarce-50-25", "scarce-60-30", "scarce-70-35"}, name)
		})
	}
	for _, name := range names {
		t.Run(name, func(t *testing.T) { checkInstance(t, name) })
	}
}

func checkInstance(t *testing.T, name string) {
	p, want := instance(t, name)
	ctx, cancel := context.WithTimeout(t.Context(), 5*time.Minute) // the race detector on a busy machine
	defer cancel()
	start := time.Now()
	a, err := Solve(ctx, p)
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("%.3f s", time.Since(start).Seconds())
	if !a.Proven || !a.Exact || a.Filled != want.Filled {
		t.Errorf("proven %v, exact %v, filled %d; want both true, and %d", a.Proven, a.Exact, a.Filled, want.Filled)
	}
	if !disjointParts(p, a.Chosen) {
		t.Errorf("%v uses a part twice", a.Chosen)
	}
	if math.Abs(a.Worst-want.Worst) > 1e-9*want.Worst+1e-11 || a.Worst != costs(p, a.Chosen, any)[0] {
		t.Errorf("worst %v, want %v", a.Worst, want.Worst)
	}
}

var quick = []string{
	"easy-40-4", "easy-40-6", "easy-100-6", "easy-100-8", "easy-200-8",
	"scarce-12-5", "scarce-20-9", "scarce-24-11", "scarce-24-12", "scarce-30-14", "scarce-30-15", "scarce-36-17", "scarce-40-20",
	"scarce-50-20",
	"three-15-4", "three-15-5", "three-20-6", "three-24-8", "three-30-8", "three-30-10", "four-10-3", "four-12-3",
	"unfillable-10-14", "unfillable-12-7-three", "unfillable-20-14", "unfillable-30-18",
}

var hard = []string{
	"scarce-36-18", "scarce-50-24", "scarce-50-25", "scarce-60-28", "scarce-60-29", "scarce-60-30", "scarce-70-35", "scarce-80-39",
}

func BenchmarkInstance(b *testing.B) {
	for _, name := range slices.Concat(quick, hard) {
		b.Run(name, func(b *testing.B) {
			p, _ := instance(b, name)
			for b.Loop() {
				ctx, cancel := context.WithTimeout(b.Context(), time.Minute)
				a, err := Solve(ctx, p)
				cancel()
				if err != nil || !a.Exact {
					b.Fatal(a.Exact, err)
				}
			}
		})
	}
}
