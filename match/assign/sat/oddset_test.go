package sat

import (
	"math/rand/v2"
	"runtime"
	"slices"
	"testing"
)

// TestFindAgainstAllTriples tries every set of three rows.
func TestFindAgainstAllTriples(t *testing.T) {
	total := 0
	for seed := range uint64(1500) {
		rng := rand.New(rand.NewPCG(seed, 1))
		rows := 3 + rng.IntN(8)
		items := make([][]int32, 3+rng.IntN(15))
		share := make([]float64, len(items))
		for k := range items {
			for _, r := range rng.Perm(rows)[:1+rng.IntN(min(rows, 4))] {
				items[k] = append(items[k], int32(r))
			}
			if rng.IntN(3) > 0 {
				share[k] = 0.3 + rng.Float64()
			}
		}
		fit(rows, items, share)
		want := overfull(rows, items, share, 0.05)
		got := findOddSets(rows, items, share, 0.05)
		total += len(got)
		last := 2.0 * float64(len(items))
		for _, set := range got {
			n := counts(set, items, share)
			if n > last {
				t.Errorf("seed %d: %v counts %v after %v", seed, set, n, last)
			}
			last = n
			sorted := set
			slices.Sort(sorted[:])
			if !want[sorted] {
				t.Errorf("seed %d: %v is not overfull, or was found before", seed, set)
			}
			delete(want, sorted)
		}
		if len(want) > 0 {
			t.Errorf("seed %d: missed %v", seed, want)
		}
	}
	if total < 200 {
		t.Errorf("only %d sets in all", total)
	}
}

// fit scales the shares so that no row is filled beyond its room.
func fit(rows int, items [][]int32, share []float64) {
	sum := make([]float64, rows)
	for k, own := range items {
		for _, r := range own {
			sum[r] += share[k]
		}
	}
	if top := slices.Max(sum); top > 0 {
		for k := range share {
			share[k] /= top
		}
	}
}

func overfull(rows int, items [][]int32, share []float64, least float64) map[oddSet]bool {
	sets := map[oddSet]bool{}
	for a := range int32(rows) {
		for b := range a {
			for c := range b {
				if set := (oddSet{c, b, a}); counts(set, items, share) > 1+least {
					sets[set] = true
				}
			}
		}
	}
	return sets
}

func counts(set oddSet, items [][]int32, share []float64) float64 {
	sum := 0.0
	for k, rows := range items {
		n := 0
		for _, r := range rows {
			if slices.Contains(set[:], r) {
				n++
			}
		}
		if n >= 2 && share[k] >= negligible {
			sum += share[k]
		}
	}
	return sum
}

// TestFindManyRows: rows that no chosen item takes change nothing, and cost
// next to nothing. A triangle far up among them is found.
func TestFindManyRows(t *testing.T) {
	const rows = 10000
	items := [][]int32{{9000, 9500}, {9500, 9999}, {9000, 9999}, {1, 2}}
	share := []float64{0.5, 0.5, 0.5, 0}
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	got := findOddSets(rows, items, share, 0.1)
	runtime.ReadMemStats(&after)
	if len(got) != 1 || got[0] != (oddSet{9000, 9999, 9500}) {
		t.Errorf("found %v", got)
	}
	if bytes := after.TotalAlloc - before.TotalAlloc; bytes > 100*rows {
		t.Errorf("%d bytes for %d rows", bytes, rows)
	}
}
