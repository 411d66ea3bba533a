package worksheet

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"math"
	"slices"
	"strings"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/readings"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/cmd/shuntwright/internal/report/sheet"
	"shuntwright/meter"
	"shuntwright/meter/quantity"
	"shuntwright/meter/reading"
)

// point is one reading to be taken, or one that was.
type point struct {
	reading.Reading
	apply string
	limit float64 // of the reading's error, percent of full scale
	read  string  // what the pointer showed; empty: it was not read
	error float64
	judge string
}

// shares of the scale at which a range is tested: the first range that does not
// kill from end to end, which tests the scale, the others in the middle and at the end, which
// tests their resistors.
var (
	scaleShares = []float64{0.2, 0.4, 0.6, 0.8, 1}
	rangeShares = []float64{0.5, 1}
)

// choosePoints collects the points, range by range: of one that was read what was
// read, of the others where to read, with the limits that check will give readings
// there.
func (m *maker) choosePoints() error {
	was := map[int]bool{}
	if m.Read != nil {
		for i, one := range m.Read.Readings {
			was[one.Range] = true
			said, typed := m.Check.Readings[i], m.Read.Typed[i]
			m.tested = append(m.tested, point{one, typed.Reference.Text, report.Number(said.Limit), typed.Indicated.Text, said.Error, said.Verdict})
		}
	}
	rows := [][]string{{"range", "reference", "indicated"}}
	full := len(was) == 0
	for r, one := range m.Ranges {
		if was[r] {
			continue
		}
		shares := rangeShares
		if full && (!asbuilt.Live(one) || r == len(m.Ranges)-1) {
			shares, full = scaleShares, false
		}
		for _, share := range shares {
			text := quantity.Format(share*one.FullScale, one.Unit, 4)
			rows = append(rows, []string{one.Name, text, text})
		}
	}
	if len(rows) > 1 {
		var table bytes.Buffer
		csv.NewWriter(&table).WriteAll(rows) // into memory, which takes all
		set, err := m.Points.Parse("test points", table.Bytes())
		if err != nil {
			return err
		}
		for _, j := range reading.Judge(m.Ranges, set.Readings, m.class, false).Ranges {
			for _, p := range j.Points {
				m.tested = append(m.tested, point{Reading: set.Readings[p.Reading], apply: set.Typed[p.Reading].Reference.Text, limit: p.LimitPercent, error: math.NaN()})
			}
		}
	}
	slices.SortStableFunc(m.tested, func(a, b point) int { return a.Range - b.Range })
	return nil
}

// testTable says what to apply, what the pointer must show, and between what
// marks a reading passes, as far as the scale and the class are known.
func (m *maker) testTable() []sheet.Section {
	divisions := m.Meter.Movement.Divisions
	t := &sheet.Table{Columns: []sheet.Column{{Title: "range"}, {Title: "apply, and read", Kind: "number"}}}
	if !math.IsNaN(divisions) {
		t.Columns = append(t.Columns, sheet.Column{Title: "div", Kind: "number"})
	}
	if !math.IsNaN(m.class) {
		t.Columns = append(t.Columns, sheet.Column{Title: "passes between", Kind: "number"})
	}
	for _, as := range []string{readings.AsFound, readings.AsLeft} {
		title := "as " + as
		if v := m.last(as); v != nil && as != m.As {
			title += ", " + v.Date
		}
		t.Columns = append(t.Columns, sheet.Column{Title: title, Kind: "blank"})
	}
	for i, p := range m.tested {
		row := []sheet.Cell{m.testHead(i), sheet.Figures(report.Pair(p.apply, report.Exact(p.Reference)))}
		if p.Direction == reading.Down {
			row[1].Lines = append(row[1].Lines, report.Words("falling"))
		}
		if !math.IsNaN(divisions) {
			row = append(row, sheet.Words(fmt.Sprintf("%.1f", p.Reference/m.Ranges[p.Range].FullScale*divisions)))
		}
		if !math.IsNaN(m.class) {
			row = append(row, sheet.Words(m.band(p)))
		}
		found, left := m.filled(p)
		t.Rows = append(t.Rows, append(row, found, left))
	}
	s := sheet.Section{Heading: "Test points", Table: t, Before: []string{
		"With the set dead and the meter's terminals free of it, set the pointer to zero with nothing applied. " + m.howToApply() +
			" Come up to each point from below, tap the glass lightly, look at the pointer straight."}}
	if !math.IsNaN(m.class) {
		s.After = []string{fmt.Sprintf("A reading within its band passes in class %g: the limit of pointer and, where one is given, reference is taken off. The reference should be good to ±%g %% of full scale or better (a fifth of the class, IEC 60051-9). Where one does not pass, measure its position again, then look at joints and switch.",
			m.class, m.class/5)}
	}
	return []sheet.Section{s}
}

// testHead is the range of a test point, at the first one of a range for all of
// them.
func (m *maker) testHead(i int) sheet.Cell {
	r := m.tested[i].Range
	if i > 0 && m.tested[i-1].Range == r {
		return sheet.Above
	}
	one := m.Ranges[r]
	head := sheet.Words(unbroken(one.Name))
	if one.Unit == quantity.Volt && asbuilt.Hazardous(one.FullScale) {
		head = sheet.Words(unbroken(one.Name), "over 60"+report.Unbroken+"V")
	}
	for _, other := range m.tested {
		if other.Range == r {
			head.Rows++
		}
	}
	return head
}

// howToApply says where the supply and the reference go.
func (m *maker) howToApply() string {
	var out []string
	for _, to := range []struct {
		unit  quantity.Unit
		words string
	}{
		{quantity.Ampere, "Currents: a supply of a few volts, a variable resistor and the reference in series with the meter."},
		{quantity.Volt, "Voltages: a variable supply, the reference across the meter."},
	} {
		if slices.ContainsFunc(m.Ranges, func(r meter.Range) bool { return r.Unit == to.unit }) {
			out = append(out, to.words)
		}
	}
	if slices.ContainsFunc(m.Ranges, func(r meter.Range) bool { return r.Unit == quantity.Volt && asbuilt.Hazardous(r.FullScale) }) {
		out = append(out, strings.Replace(asbuilt.HighVoltageTest, "a", "A", 1)+".")
	}
	return strings.Join(out, " ")
}

// band is between what a reading passes, rounded inwards; nothing where there
// is no class, or where no reading can be that sure.
func (m *maker) band(p point) string {
	one, divisions := m.Ranges[p.Range], m.Meter.Movement.Divisions
	room := m.class - p.limit
	switch {
	case math.IsNaN(room):
		return "-" // nobody knows how sure the reading is
	case room < 0:
		return "none"
	}
	middle, half := p.Reference, room/100*one.FullScale
	const to = report.Unbroken + "…" + report.Unbroken
	if math.IsNaN(divisions) {
		return inwards(middle-half, math.Ceil, one.Unit) + to + inwards(middle+half, math.Floor, one.Unit)
	}
	scale := divisions / one.FullScale
	const guard = 1e-9 // rounding is no reason to lose a tenth
	low, high := math.Ceil(10*(middle-half)*scale-guard)/10, math.Floor(10*(middle+half)*scale+guard)/10
	return fmt.Sprintf("%.1f%s%.1f", low, to, high)
}

// inwards rounds to four digits by a rounding function.
func inwards(x float64, round func(float64) float64, unit quantity.Unit) string {
	if x == 0 {
		return "0"
	}
	step := math.Pow10(int(math.Floor(math.Log10(math.Abs(x)))) - 3)
	return quantity.Format(round(x/step)*step, unit, 4)
}

// filled are the cells of what was read: of this visit, and of the last one of
// the other kind at which the same was applied.
func (m *maker) filled(p point) (found, left sheet.Cell) {
	var now sheet.Cell
	if p.read != "" {
		now = sheet.Figures(report.Pair(shortRead(p.read), report.Exact(p.Indicated)))
		if p.judge != "" && p.judge != reading.Pass.String() {
			now.Lines = append(now.Lines, report.Words(p.judge))
		}
	}
	if m.As == readings.AsFound {
		return now, m.earlier(p, readings.AsLeft)
	}
	return m.earlier(p, readings.AsFound), now
}

// shortRead is a reading as it was typed; divisions go without saying.
func shortRead(typed string) string {
	return strings.ReplaceAll(strings.TrimSuffix(typed, " div"), " ", report.Unbroken)
}

// last is the last visit of a kind; nil: there was none.
func (m *maker) last(as string) *readings.Visit {
	for _, v := range slices.Backward(m.Visits) {
		if v.As == as {
			return v
		}
	}
	return nil
}

// earlier is what the last visit of a kind read at a point.
func (m *maker) earlier(p point, as string) sheet.Cell {
	if v := m.last(as); v != nil {
		for k, one := range v.Set.Readings {
			if one.Range == p.Range && one.Direction == p.Direction && math.Abs(one.Reference-p.Reference) <= 1e-9*m.Ranges[p.Range].FullScale {
				return sheet.Words(shortRead(v.Set.Typed[k].Indicated.Text))
			}
		}
	}
	return sheet.Cell{}
}
