package reading

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"shuntwright/meter"
)

// system is a case ready for fitting. A reading is linear in the gain of its
// range (what is shown by what is applied), in the zero and in friction, so
// these few figures are all that any cause can move: its features.
type system struct {
	m        *meter.Meter
	state    meter.State
	readings []Reading // those that take part
	index    []int     // of each in the case
	ranges   []int     // with readings that take part
	column   []int     // of each of the meter's ranges among ranges, -1 for the others
	full     []float64 // full scale of each of the meter's ranges
	friction bool      // some reading says its direction
	doubts   [][]float64
	ratio    []float64   // of each range's gain to that by state, as the range was left
	file     *system     // the same readings by the meter file alone; nil: this is it
	common   [][]float64 // the doubts as standard deviations of the readings, in fractions of full scale
	data     *data
	healthy  float64   // chi-square of the state as it should be
	enough   []float64 // chi-square up to which so many causes explain the readings
	errors   []float64
	ohms     []float64
}

// alpha is the risk of every test: that of refusing a cause which is the right
// one, and that of accusing a meter in which nothing is wrong, were the errors
// normal. A rectangular error has a fourth moment of 1.8 instead of 3 in units
// of its variance, so a sum of its squares scatters by 0.8 instead of 2 a
// reading and hardly ever reaches the limit: the risk that is run is smaller
// still.
const alpha = 0.01

// threshold is the chi-square that is exceeded with probability risk.
func threshold(freedom int, risk float64) float64 {
	return distuv.ChiSquared{K: float64(max(1, freedom))}.Quantile(1 - risk)
}

// newSystem takes up the readings by which a case can be judged; the notes say
// what had to be left out.
func newSystem(c Case) (*system, []string) {
	s := &system{m: c.Meter, state: meter.State{FullScaleAmperes: c.State.FullScaleAmperes, Ohms: append([]float64(nil), c.State.Ohms...)},
		doubts: c.Doubts, ratio: slices.Repeat([]float64{1}, len(c.Meter.Ranges())), errors: make([]float64, len(c.Meter.Ranges()))}
	for _, r := range s.m.Ranges() {
		s.full = append(s.full, r.FullScale)
	}
	s.ohms = make([]float64, len(s.state.Ohms))
	s.m.Errors(s.errors, s.state)
	var notes []string
	told := map[int]bool{}
	for i, rd := range c.Readings {
		switch {
		case rd.Range < 0 || rd.Range >= len(s.full) || !usable(rd, s.full[rd.Range]):
			notes = append(notes, fmt.Sprintf("reading %d is no reading of the meter and is left out", i+1))
		case !finite(s.errors[rd.Range]):
			if !told[rd.Range] {
				notes = append(notes, fmt.Sprintf("range %s is not whole: a resistance of it is not known, and its readings take no part in the diagnosis", s.m.Ranges()[rd.Range].Name))
			}
			told[rd.Range] = true
		default:
			s.readings, s.index = append(s.readings, rd), append(s.index, i)
		}
	}
	s.leftAs(c.Left)
	return s, notes
}

// leftAs puts what ranges read when they were left in order in the place of what
// the meter file has them read, and the limit of that in the place of what its
// figures are trusted to: whatever they are, they were so then.
func (s *system) leftAs(left []RangeJudgement) {
	file := *s
	s.doubts, s.ratio = nil, slices.Clone(s.ratio)
	for _, doubt := range file.doubts {
		s.doubts = append(s.doubts, slices.Clone(doubt))
	}
	for _, j := range left {
		gain := 1 + s.errors[j.Range]/100
		if !(gain > 0 && j.FullLimit >= 0) {
			continue
		}
		s.ratio[j.Range] = (1 + j.FullPercent/100) / gain
		for _, doubt := range s.doubts {
			if j.Range < len(doubt) {
				doubt[j.Range] = 0
			}
		}
		own := make([]float64, len(s.full))
		own[j.Range] = j.FullLimit * math.Sqrt(3) / normal
		s.doubts = append(s.doubts, own)
		s.file = &file
	}
}

func finite(x ...float64) bool {
	for _, v := range x {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return true
}

// usable reports whether a reading keeps to its domain and to numbers that
// squares can hold.
func usable(rd Reading, full float64) bool {
	reference, indicated, limit, other := rd.Reference/full, rd.Indicated/full, rd.IndicatedLimit/full, rd.ReferenceLimit/full
	return finite(reference, indicated, limit, other) && reference >= 0 && other >= 0 && limit > 1e-12 &&
		math.Max(math.Max(reference, math.Abs(indicated)), math.Max(limit, other)) < 1e6
}

// settle counts the features and boils the readings down to what they say about
// them.
func (s *system) settle() error {
	if s.file != nil {
		file := *s.file
		file.readings, file.index = s.readings, s.index
		if err := file.settle(); err != nil {
			return err
		}
		s.file = &file
	}
	s.column, s.ranges = make([]int, len(s.full)), nil
	for r := range s.column {
		s.column[r] = -1
	}
	for _, rd := range s.readings {
		if s.column[rd.Range] < 0 {
			s.column[rd.Range] = len(s.ranges)
			s.ranges = append(s.ranges, rd.Range)
		}
		s.friction = s.friction || drag(rd.Direction, rd.Reference) != 0
	}
	gains := s.measured()
	s.common = nil
	var rows [][]float64
	var y, variance []float64
	for _, rd := range s.readings {
		full := s.full[rd.Range]
		rows, y = append(rows, s.row(rd)), append(y, rd.Indicated/full)
		pointer, reference := rd.IndicatedLimit/full, gains[s.column[rd.Range]]*rd.ReferenceLimit/full
		variance = append(variance, (pointer*pointer+reference*reference)/3)
	}
	for _, doubt := range s.doubts {
		if column := s.doubtful(doubt, gains); column != nil {
			s.common = append(s.common, column)
		}
	}
	data, err := newData(rows, y, variance, s.common)
	if err != nil {
		return err
	}
	s.data = data
	s.healthy = s.chiSquare(nil, nil)
	s.enough = make([]float64, len(s.m.Resistors())+4) // and the movement, the zero, friction
	for i := range s.enough {
		s.enough[i] = threshold(len(s.readings)-i, alpha)
	}
	return nil
}

// keep leaves out the readings, by their places among those that take part, that
// are not to be kept.
func (s *system) keep(kept func(i int) bool) {
	var readings []Reading
	var index []int
	for i, rd := range s.readings {
		if kept(i) {
			readings, index = append(readings, rd), append(index, s.index[i])
		}
	}
	s.readings, s.index = readings, index
}

// row is how a reading depends on the features, in fractions of full scale.
func (s *system) row(rd Reading) []float64 {
	row := make([]float64, s.features())
	row[s.column[rd.Range]] = rd.Reference / s.full[rd.Range]
	row[s.zero()] = 1
	if s.friction {
		row[s.zero()+1] = drag(rd.Direction, rd.Reference)
	}
	return row
}

// doubtful is one doubt of the file as standard deviations of the readings: a
// share of what the pointer shows, taken from all readings of the range
// together, for a share of each reading by itself would lean with its own
// error. nil: it moves nothing.
func (s *system) doubtful(doubt, gains []float64) []float64 {
	column, moves := make([]float64, len(s.readings)), false
	s.m.Errors(s.errors, s.state)
	for i, rd := range s.readings {
		if rd.Range >= len(doubt) || !finite(doubt[rd.Range]) {
			continue
		}
		if gain := (1 + s.errors[rd.Range]/100) * s.ratio[rd.Range]; gain > 0 {
			shown := gains[s.column[rd.Range]] * rd.Reference / s.full[rd.Range]
			column[i] = shown * math.Min(math.Max(doubt[rd.Range]/100/gain, -1), 1) / math.Sqrt(3)
		}
		moves = moves || column[i] != 0
	}
	if !moves {
		return nil
	}
	return column
}

// features is how many there are: a gain for each range, the zero, and friction
// where directions are told.
func (s *system) features() int {
	if s.friction {
		return len(s.ranges) + 2
	}
	return len(s.ranges) + 1
}

// zero is the index of the zero among the features; friction stands behind it.
func (s *system) zero() int { return len(s.ranges) }

// measured are the gains of the ranges as read, through the origin; zero where
// nothing was applied to a range.
func (s *system) measured() []float64 {
	xy, xx := make([]float64, len(s.ranges)), make([]float64, len(s.ranges))
	for _, rd := range s.readings {
		k, full := s.column[rd.Range], s.full[rd.Range]
		xy[k] += rd.Reference / full * rd.Indicated / full
		xx[k] += rd.Reference / full * rd.Reference / full
	}
	for k := range xy {
		if xx[k] > 0 {
			xy[k] = math.Max(xy[k]/xx[k], 0)
		}
	}
	return xy
}

// at puts the features at a setting of some causes into dst; all others stand
// as they should.
func (s *system) at(dst []float64, causes []*candidate, setting []float64) {
	st := meter.State{FullScaleAmperes: s.state.FullScaleAmperes, Ohms: s.ohms}
	copy(s.ohms, s.state.Ohms)
	share := 1.0
	clear(dst[s.zero():])
	for i, c := range causes {
		switch c.Kind {
		case Resistance:
			s.ohms[c.Resistor] = c.ohms(setting[i])
		case FullScale:
			share = setting[i]
		case Zero:
			dst[s.zero()] = setting[i]
		case Friction:
			dst[s.zero()+1] = setting[i]
		}
	}
	s.m.Errors(s.errors, st)
	for k, r := range s.ranges {
		dst[k] = share * (1 + s.errors[r]/100) * s.ratio[r]
	}
}

// chiSquare is that of the readings at a setting of some causes.
func (s *system) chiSquare(causes []*candidate, setting []float64) float64 {
	theta, residual := make([]float64, s.features()), make([]float64, s.features())
	s.at(theta, causes, setting)
	s.data.residual(residual, theta)
	sum := s.data.rest
	for _, r := range residual {
		sum += r * r
	}
	if math.IsNaN(sum) {
		return math.Inf(1)
	}
	return sum
}

// problem is the least-squares problem of some causes.
func (s *system) problem(causes []*candidate) leastSquares {
	theta := make([]float64, s.features())
	p := leastSquares{size: s.features(), residual: func(dst, at []float64) {
		s.at(theta, causes, at)
		s.data.residual(dst, theta)
	}}
	for _, c := range causes {
		p.lower, p.upper = append(p.lower, c.lower), append(p.upper, c.upper)
	}
	return p
}
