package check

import (
	"fmt"
	"math"
	"math/rand/v2"
	"regexp"
	"slices"
	"strings"
	"testing"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/asbuilt/asbuilttest"
	"shuntwright/cmd/shuntwright/internal/readings"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/meter"
	"shuntwright/meter/nodal"
	"shuntwright/meter/quantity"
	"shuntwright/meter/wiring"
)

// sick is a random meter on a bench, and what its parts really are. All of it is
// invented.
type sick struct {
	file     string
	ids      []string           // of the drawer
	read     map[string]float64 // ohms of its parts, as measured
	truth    map[string]float64 // as they are
	networks []string           // by position, as the file has them
	wrong    int                // positions that are not what they should be
	copper   float64            // of the coil, at the temperature of the readings, by that at which it is stated
}

// open puts it on the bench.
func (x *sick) open(t *testing.T) *asbuilt.Setup {
	t.Helper()
	drawer := "id,ohms,gain_percent,floor_ohms\n"
	for _, id := range x.ids {
		drawer += fmt.Sprintf("%s,%.6g,0.05,0\n", id, x.read[id])
	}
	s := asbuilttest.Open(t, x.file, drawer, "{}")
	for i, n := range x.networks {
		parsed, err := wiring.Parse(n)
		if err == nil {
			err = s.Fill(i, parsed)
		}
		if err != nil {
			t.Fatal(err)
		}
		for _, id := range parsed.IDs() {
			s.Taken[id] = s.Where(i)
		}
	}
	return s
}

// sicken makes a meter of some circuits of every kind with one or two resistors
// that have drifted and up to two positions that hold what the file knows to be
// wrong, and a drawer with the right part for each position and others.
func sicken(t *testing.T, r *rand.Rand) *sick {
	t.Helper()
	full, coil := 1e-3*math.Pow(0.05, r.Float64()), 50*math.Pow(40, r.Float64())
	circuits := []string{`{"circuit": "direct", "range": "zero FULL"}`, `{"circuit": "shunt", "range": "one 5I"}`, `{"circuit": "shunt", "range": "two 77I"}`,
		`{"circuit": "ring", "ranges": ["r 3I", "r 20I", "r 90I"]}`, `{"circuit": "multiplier", "range": "m 40U"}`,
		`{"circuit": "chain", "ranges": ["c 7U", "c 30U", "c 300U"]}`, `{"circuit": "external-shunt", "range": "e 50I", "series": "SERIES ohm"}`,
		`{"circuit": "external-shunt", "range": "d 60I", "drop": "4U"}`}
	if r.IntN(2) == 0 {
		circuits[5] = `{"circuit": "chain", "ranges": ["c 17U", "c 50U", "c 300U"], "with_ring": "r 3I"}`
	}
	kept := slices.Clone(circuits[:1])
	for i, c := range circuits[1:] {
		if r.IntN(3) > 0 || i == 2 {
			kept = append(kept, c)
		}
	}
	text := regexp.MustCompile(`(\d+)([IU])\b`).ReplaceAllStringFunc(strings.Join(kept, ", "), func(one string) string {
		var times float64
		fmt.Sscanf(one, "%g", &times)
		if strings.HasSuffix(one, "I") {
			return fmt.Sprintf("%.4g mA", 1000*times*full)
		}
		return fmt.Sprintf("%.4g V", times*full*coil)
	})
	text = strings.NewReplacer("FULL", fmt.Sprintf("%.6g mA", 1000*full), "SERIES", fmt.Sprintf("%.4g", coil)).Replace(text)
	x := &sick{copper: 1, read: map[string]float64{}, truth: map[string]float64{}}
	x.file = fmt.Sprintf(`{"name": "m", "class": 2.5, "movement": {"full_scale": "%.6g mA", "full_scale_limit_percent": 0.05, "coil": "%.5g ohm",
		"coil_gain_percent": 0.05, "coil_floor": "0 ohm", "divisions": 100}, "circuits": [%s]}`, 1000*full, coil, text)
	s := asbuilttest.Open(t, x.file, "id,ohms\n", "{}")
	targets, err := s.Meter.Targets()
	if err != nil {
		t.Fatal(err)
	}
	add := func(id string, ohms float64) {
		x.ids, x.read[id], x.truth[id] = append(x.ids, id), ohms, ohms
	}
	off := func(least float64) float64 {
		f := 1 + least + 0.4*r.Float64()
		if r.IntN(2) == 0 {
			f = 1 / f
		}
		return f
	}
	for i, target := range targets {
		for _, kind := range []string{"F", "S"} {
			add(fmt.Sprintf("%s%d", kind, i), target*(1+0.006*(r.Float64()-0.5)))
		}
		add(fmt.Sprintf("W%d", i), target*off(0.08))
		x.networks = append(x.networks, fmt.Sprintf("F%d", i))
	}
	for i := range 20 {
		add(fmt.Sprintf("X%d", i), math.Pow(10, 6*r.Float64()))
	}
	which := r.Perm(len(targets))
	x.wrong = 1 + r.IntN(2)
	for _, i := range which[:x.wrong] {
		x.truth[x.networks[i]] *= off(0.08)
	}
	for _, i := range which[x.wrong:min(len(which), x.wrong+r.IntN(3))] {
		x.networks[i] = fmt.Sprintf("W%d", i)
		x.wrong++
	}
	return x
}

// calibrated are readings of what it shows by nodal analysis, to a fifth of a
// division.
func (x *sick) calibrated(t *testing.T, s *asbuilt.Setup) *readings.Set {
	t.Helper()
	var ohms []float64
	for _, n := range s.Networks {
		var values []float64
		for _, leaf := range n.Leaves() {
			values = append(values, x.truth[leaf.ID])
		}
		ohms = append(ohms, n.Resistance(values))
	}
	rows, st := "range,reference,indicated\n", s.Meter.State(ohms)
	st = st.With(0, x.copper*st.Ohms[0])
	for i, one := range s.Ranges {
		shown := shownAt(t, s.Meter, st, i)
		for quarter := range 5 {
			share := float64(quarter) / 4 / max(1, shown)
			rows += fmt.Sprintf("%s,%.6g %s,%.1f div\n", one.Name, share*one.FullScale, one.Unit, math.Round(5*100*share*shown)/5)
		}
	}
	set, err := readings.NewReader(s.Meter, "0.05 %", "").Parse("r.csv", []byte(rows))
	if err != nil {
		t.Fatal(err)
	}
	return set
}

// judged is what check says of its readings, at a temperature or NaN.
func (x *sick) judged(t *testing.T, s *asbuilt.Setup, celsius float64) (report.Document, *Answer) {
	t.Helper()
	doc, answer, err := Judge(s, x.calibrated(t, s), asbuilt.Asked{Class: 2.5, Top: 3, AtMost: 2, Within: 0.2, Derate: 0.5}, celsius, Left{}).Document(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	for i, a := range answer.Repair {
		for _, b := range answer.Repair[:i] {
			if a.Position == b.Position && a.Action == b.Action && a.Network == b.Network {
				t.Errorf("twice: %s %s %s", a.Action, a.Position, a.Network)
			}
		}
	}
	return doc, answer
}

// shownAt is the movement's current with a range's full-scale value applied, as a
// share of its own.
func shownAt(t *testing.T, m *meter.Meter, st meter.State, r int) float64 {
	t.Helper()
	net, elements := m.Netlist(st, r)
	if one := m.Ranges()[r]; one.Unit == quantity.Ampere {
		net.CurrentSource(nodal.Ground, meter.Terminal, one.FullScale)
	} else {
		net.VoltSource(meter.Terminal, nodal.Ground, one.FullScale)
	}
	solution, err := net.Solve()
	if err != nil {
		t.Fatal(err)
	}
	return solution.Through(elements[0]) / m.Movement.FullScaleAmperes
}

var (
	fits       = regexp.MustCompile(`shuntwright fit \S+ ("[^"]+"|\S+) ("[^"]+"|\S+)$`)
	remeasured = regexp.MustCompile(`shuntwright drawer remeasure (\S+)`)
	freed      = regexp.MustCompile(`^the drawer then takes (.*) for free: measure again`)
)

// mend does what an answer says, and tells whether that was to measure first what
// no reading tells apart.
func (x *sick) mend(t *testing.T, s *asbuilt.Setup, doc report.Document) (first bool) {
	t.Helper()
	for _, line := range doc.BottomLine {
		first = first || strings.HasPrefix(line, "no reading tells")
		if strings.HasPrefix(line, "then type") {
			for _, id := range remeasured.FindAllStringSubmatch(line, -1) {
				x.read[id[1]] = x.truth[id[1]]
			}
		}
		if free := freed.FindStringSubmatch(line); free != nil {
			for _, id := range strings.Split(free[1], ", ") {
				x.read[id] = x.truth[id]
			}
		}
		if command := fits.FindStringSubmatch(line); command != nil {
			at := slices.IndexFunc(s.Positions, func(p meter.Position) bool { return p.Name == strings.Trim(command[1], `"`) })
			x.networks[at] = strings.Trim(command[2], `"`)
		}
	}
	taken := map[string]bool{}
	for _, n := range x.networks {
		parsed, err := wiring.Parse(n)
		if err != nil {
			t.Fatal(err)
		}
		for _, id := range parsed.IDs() {
			if taken[id] {
				t.Errorf("%s is to be in two places: %v", id, x.networks)
			}
			taken[id] = true
		}
	}
	return first
}

// TestMended: what an answer says is done, and the meter is read again: it passes.
// Where no reading tells which of two parts it is, that is to measure them first.
func TestMended(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 11))
	measured, several := 0, 0
	for n := range 20 {
		x := sicken(t, r)
		told := fmt.Sprintf("meter %d, %d positions wrong", n, x.wrong)
		for first := 2; ; first-- {
			s := x.open(t)
			doc, answer := x.judged(t, s, math.NaN())
			told += fmt.Sprintf("\n%v: %s\n%s", x.networks, doc.Heading, strings.Join(doc.BottomLine, "\n"))
			if answer.Verdict == "pass" {
				break
			}
			if first == 0 {
				t.Fatal("does not read true after the repair: " + told)
			}
			if x.mend(t, s, doc) {
				measured++
			} else {
				first = 1
			}
		}
		if x.wrong > 1 {
			several++
		}
	}
	if measured == 0 || measured > 10 || several < 10 {
		t.Errorf("%d meters to measure first, %d with several faults", measured, several)
	}
}
