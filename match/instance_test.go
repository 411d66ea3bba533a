package match

import (
	"context"
	"encoding/csv"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"
)

// instance is a published drawer and meter with a proven optimum, from
// testdata/joint (its README tells the source).
type instance struct {
	stock   *Stock
	problem Problem
	worst   float64 // NaN: not published
	fill    int
}

type meterFile struct {
	Movement struct {
		FullScale string `json:"full_scale"`
		Coil      string `json:"coil"`
	}
	Circuits []struct {
		Circuit, Range string
		Ranges         []string
	}
}

func readInstance(t testing.TB, name string) instance {
	t.Helper()
	dir := filepath.Join("..", "testdata", "joint", name)
	var answer struct {
		Parts    int
		Within   float64  `json:"within_percent"`
		Worst    *float64 `json:"worst_full_scale_error_percent"`
		Fillable int      `json:"fillable_positions"`
	}
	var m meterFile
	readJSON(t, filepath.Join(dir, "answer.json"), &answer)
	readJSON(t, filepath.Join(dir, "meter.json"), &m)
	in := instance{worst: math.NaN(), fill: answer.Fillable}
	if answer.Worst != nil {
		in.worst = *answer.Worst
	}
	in.stock = stockOf(t, readDrawer(t, filepath.Join(dir, "drawer.csv"))...)
	response := newCircuits(t, m)
	for _, target := range response.targets {
		n := need(target, answer.Parts)
		n.Within = answer.Within / 100
		in.problem.Needs = append(in.problem.Needs, n)
	}
	in.problem.Ranges, in.problem.Response = len(response.targets), response
	if in.fill == 0 {
		in.fill = len(in.problem.Needs)
	}
	return in
}

func readJSON(t testing.TB, path string, into any) {
	t.Helper()
	data, err := os.ReadFile(path)
	if err == nil {
		err = json.Unmarshal(data, into)
	}
	if err != nil {
		t.Fatal(err)
	}
}

func readDrawer(t testing.TB, path string) (values []float64) {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range rows[1:] {
		values = append(values, number(t, row[1]))
	}
	return values
}

// number reads "4.7", "50 mA", "100 ohm".
func number(t testing.TB, text string) float64 {
	t.Helper()
	digits, unit, _ := strings.Cut(text, " ")
	exponent, known := map[string]string{"": "", "A": "", "V": "", "ohm": "", "mA": "e-3", "µA": "e-6", "mV": "e-3", "kohm": "e3"}[unit]
	if !known {
		t.Fatalf("unit of %q", text)
	}
	v, err := strconv.ParseFloat(digits+exponent, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// circuits is the response of shunts, multipliers, one ring and one chain, as
// written down in testdata/joint/README.md.
type circuits struct {
	im, rm  float64
	kind    []string
	full    []float64
	targets []float64
}

func newCircuits(t testing.TB, m meterFile) *circuits {
	c := &circuits{im: number(t, m.Movement.FullScale), rm: number(t, m.Movement.Coil)}
	for _, x := range m.Circuits {
		if x.Range != "" {
			x.Ranges = []string{x.Range}
		}
		for _, r := range x.Ranges {
			c.kind, c.full = append(c.kind, x.Circuit), append(c.full, number(t, r))
		}
	}
	c.targets = make([]float64, len(c.kind))
	for i, kind := range c.kind {
		c.targets[i] = c.target(i, kind)
	}
	return c
}

func (c *circuits) last(i int) bool { return i+1 == len(c.kind) || c.kind[i+1] != c.kind[i] }

func (c *circuits) target(i int, kind string) float64 {
	switch kind {
	case "shunt":
		return c.im * c.rm / (c.full[i] - c.im)
	case "multiplier":
		return c.full[i]/c.im - c.rm
	case "chain":
		if i > 0 && c.kind[i-1] == "chain" {
			return (c.full[i] - c.full[i-1]) / c.im
		}
		return c.full[i]/c.im - c.rm
	}
	first := i // a ring: S_k = Im·(R+Rm)/I_k
	for first > 0 && c.kind[first-1] == "ring" {
		first--
	}
	whole := c.im*c.rm/(c.full[first]-c.im) + c.rm
	if c.last(i) {
		return c.im * whole / c.full[i]
	}
	return c.im * whole * (1/c.full[i] - 1/c.full[i+1])
}

func (c *circuits) Errors(dst, ohms []float64) {
	below := 0.0
	for i, kind := range c.kind {
		r := ohms[i]
		switch kind {
		case "shunt":
			dst[i] = (c.full[i]*r/(r+c.rm)/c.im - 1) * 100
		case "multiplier":
			dst[i] = (c.full[i]/((r+c.rm)*c.im) - 1) * 100
		case "chain":
			below += r
			dst[i] = (c.full[i]/((below+c.rm)*c.im) - 1) * 100
		}
	}
	whole, tail := c.rm, 0.0
	for i, kind := range c.kind {
		if kind == "ring" {
			whole += ohms[i]
		}
	}
	for i := len(c.kind) - 1; i >= 0; i-- {
		if c.kind[i] == "ring" {
			tail += ohms[i]
			dst[i] = (c.full[i]*tail/(c.im*whole) - 1) * 100
		}
	}
}

func (c *circuits) Rising(r, s int) int {
	switch {
	case c.kind[r] == "chain" && c.kind[s] == "chain" && s <= r:
		return -1
	case c.kind[r] == "ring" && c.kind[s] == "ring" && s >= r:
		return 1
	case c.kind[r] == "ring" && c.kind[s] == "ring":
		return -1
	case r != s || c.kind[r] == "ring" || c.kind[r] == "chain":
		return 0
	case c.kind[r] == "shunt":
		return 1
	}
	return -1
}

// The optima of the instances in testdata/joint, which says who proved them.
func TestPlanPublishedInstances(t *testing.T) {
	names := []string{"easy-40-4", "easy-40-6", "easy-100-6", "easy-100-8", "easy-200-8", "scarce-12-5", "scarce-20-9",
		"three-15-4", "three-15-5", "three-20-6", "four-10-3", "four-12-3", "unfillable-30-18", "unfillable-12-7-three",
		"ring-12-3", "chain-12-3", "chain-24-5"}
	if os.Getenv("SHUNTWRIGHT_SLOW") != "" {
		names = append(names, "three-24-8", "three-30-8", "three-30-10", "unfillable-10-14", "unfillable-20-14", "scarce-24-11", "scarce-24-12")
	}
	for _, name := range names {
		t.Run(name, func(t *testing.T) { checkInstance(t, name) })
	}
}

func checkInstance(t *testing.T, name string) {
	in := readInstance(t, name)
	ctx, cancel := context.WithTimeout(t.Context(), 20*time.Second)
	defer cancel()
	start := time.Now()
	plan, err := in.stock.Plan(ctx, in.problem)
	if err != nil || !plan.Proven || plan.Bound != plan.Worst {
		t.Fatalf("proven %v, worst %v, bound %v, error %v", plan.Proven, plan.Worst, plan.Bound, err)
	}
	t.Log(time.Since(start).Round(time.Millisecond), plan.End)
	if !math.IsNaN(in.worst) && math.Abs(plan.Worst-in.worst) > 1e-9*in.worst+1e-11 {
		t.Errorf("worst %.15g, published %.15g", plan.Worst, in.worst)
	}
	checkPlan(t, in.stock, in.problem, plan)
	filled := 0
	for _, f := range plan.Filled {
		if f {
			filled++
		}
	}
	if filled != in.fill {
		t.Errorf("%d positions filled, published %d", filled, in.fill)
	}
}

// checkPlan holds a plan against what it says about itself.
func checkPlan(t *testing.T, s *Stock, p Problem, plan Plan) {
	t.Helper()
	used := map[int]bool{}
	ohms := make([]float64, len(p.Needs))
	for i, n := range plan.Networks {
		ohms[i] = p.Needs[i].Target
		if plan.Filled[i] == n.IsZero() {
			t.Errorf("position %d: filled %v", i, plan.Filled[i])
		}
		if n.IsZero() {
			continue
		}
		ohms[i] = n.Value()
		if math.Abs(n.Value()/p.Needs[i].Target-1) > p.Needs[i].Within*(1+1e-12) || n.Size() > p.Needs[i].AtMost {
			t.Errorf("position %d: %v parts, value %v for %v", i, n.Parts(), n.Value(), p.Needs[i].Target)
		}
		for _, part := range n.Parts() {
			if used[part] || part >= s.Len() {
				t.Errorf("position %d: part %d is used twice", i, part)
			}
			used[part] = true
		}
	}
	errors, worst := make([]float64, p.Ranges), math.NaN()
	if p.Ranges > 0 {
		p.Response.Errors(errors, ohms)
	}
	for r, e := range plan.Errors {
		if math.IsNaN(e) {
			continue
		}
		if e != errors[r] {
			t.Errorf("range %d: error %v, want %v", r, e, errors[r])
		}
		worst = max(math.Abs(e), orZero(worst))
	}
	if p.Limit == nil && worst != plan.Worst && !(math.IsNaN(worst) && math.IsNaN(plan.Worst)) {
		t.Errorf("worst %v, want %v", plan.Worst, worst)
	}
}

func orZero(x float64) float64 {
	if math.IsNaN(x) {
		return 0
	}
	return x
}
