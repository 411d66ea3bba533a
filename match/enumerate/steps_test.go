package enumerate

import (
	"fmt"
	"math"
	"testing"

	"shuntwright/match"
	"shuntwright/match/matchtest"
	"shuntwright/match/network"
)

func TestPickCountsSteps(t *testing.T) {
	for _, c := range []struct {
		name               string
		values             []float64
		resolution, enough float64
		parts              []int
	}{
		{"a smaller error, without steps", []float64{101.7, 50, 51.3}, 0, 0, []int{1, 2}},
		{"one step both", []float64{101.7, 50, 51.3}, 0.01, 0, []int{0}},
		{"two steps and one", []float64{101.7, 50, 51.3}, 0.015, 0, []int{1, 2}},
		{"enough, between two steps", []float64{101.7, 50, 51.3}, 0.01, 0.014, []int{1, 2}},
		{"enough, without steps", []float64{101.7, 50, 51.3}, 0, 0.02, []int{0}},
		{"3 steps of 0.1 % are 0.3 %, though 100.3 rounds below", []float64{100.3, 50, 50.25}, 0.001, 0, []int{1, 2}},
		{"nearly equal, and a step between", []float64{101 - 0.5e-9, 101 - 1.2e-9}, 0.01, 0, []int{1}},
		{"nearly equal, in one step", []float64{101 - 0.5e-9, 101 - 1.2e-9}, 0.03, 0, []int{0}},
	} {
		q := match.Query{Need: need(100, 2), Top: 1, Resolution: c.resolution, Enough: c.enough}
		got, err := stockOf(t, c.values...).Pick(t.Context(), q)
		if err != nil || !got.Proven || len(got.Choices) != 1 || fmt.Sprint(got.Choices[0].Network.Parts()) != fmt.Sprint(c.parts) {
			t.Errorf("%s: %+v, error %v, want parts %v", c.name, got, err, c.parts)
		}
	}
}

// Where pairs are within the first step, nothing larger is looked at.
func TestPickLeavesLargerNetworksAlone(t *testing.T) {
	s := stockOf(t, matchtest.Values(3000, 1)...)
	for atMost := 2; atMost <= network.MaxParts; atMost++ {
		largest := 0
		q := match.Query{Need: need(4321.5, atMost), Top: 10, Resolution: 1e-5,
			Wanted: func(n network.Network) bool { largest = max(largest, n.Size()); return true }}
		got, err := s.Pick(t.Context(), q)
		if err != nil || !got.Proven || len(got.Choices) != 10 || largest != 2 {
			t.Errorf("at most %d parts: %d choices, networks of up to %d parts looked at, error %v", atMost, len(got.Choices), largest, err)
		}
		for _, c := range got.Choices {
			if math.Abs(c.Error) > 1e-5 {
				t.Errorf("at most %d parts: %v is beyond the first step", atMost, c)
			}
		}
	}
}
