package budget

import (
	"math"
	"strconv"

	"gonum.org/v1/gonum/stat"
)

// Distribution is how the results of a Model came out in many trials. Results
// are counted from 0, in the order of the Model; others panic.
type Distribution struct {
	nominal []float64
	sorted  [][]float64 // by result
	worst   []float64   // by trial: the largest magnitude of its results
}

// Summary describes the distribution of one result, in the result's unit. All
// but Nominal are NaN where the result was NaN in any trial.
type Summary struct {
	// Nominal is the result of the inputs' own values.
	Nominal float64
	// Mean and StandardDeviation are those of the trials: the estimate and its
	// standard uncertainty (JCGM 101, 7.6).
	Mean, StandardDeviation float64
	// Low and High are the ends of the probabilistically symmetric 95 %
	// interval: 2.5 % of the trials lie below and 2.5 % above (JCGM 101, 7.7).
	Low, High float64
}

// tail is the probability of either side of a 95 % interval.
const tail = 0.025

// Summary describes the distribution of one result.
func (d *Distribution) Summary(result int) Summary {
	x := d.sorted[result]
	mean, deviation := stat.MeanStdDev(x, nil)
	return Summary{
		Nominal: d.nominal[result], Mean: mean, StandardDeviation: deviation,
		Low: stat.Quantile(tail, stat.Empirical, x, nil), High: stat.Quantile(1-tail, stat.Empirical, x, nil),
	}
}

// Within is the share of trials, 0 to 1, in which the magnitude of a result is
// at most limit, in the result's unit. A trial without a result is not within.
func (d *Distribution) Within(result int, limit float64) float64 {
	return within(d.sorted[result], limit)
}

// AllWithin is the share of trials, 0 to 1, in which the magnitude of every
// result is at most limit, in the results' unit.
func (d *Distribution) AllWithin(limit float64) float64 { return within(d.worst, limit) }

func within(results []float64, limit float64) float64 {
	count := 0
	for _, x := range results {
		if math.Abs(x) <= limit {
			count++
		}
	}
	return float64(count) / float64(len(results))
}

// Comparison holds the limits of a linear budget against those of the trials
// (JCGM 101, clause 8). All numbers are in the result's unit.
type Comparison struct {
	// Delta is how far the limits may be apart: half a unit of the second
	// significant digit of the linear standard uncertainty (JCGM 101, 7.9.2);
	// 0 where that is 0, NaN where it is not a number.
	Delta float64
	// Low and High are the distances of the lower and of the upper limits, NaN
	// where there is no result.
	Low, High float64
	// StandardError is that of the trials' limits: the larger of both, by the
	// ranks that a limit has one standard deviation off.
	StandardError float64
	// Validated is true where both distances are at most Delta.
	Validated bool
	// Settled is true where the larger distance is more than two standard errors
	// from Delta, so that other trials would hardly answer differently. Where it
	// is not, more trials are needed to tell.
	Settled bool
}

// Compare tells whether the trials validate the linear limits of one result:
// those of the result of the inputs' own values ± linear.Limit.
func (d *Distribution) Compare(result int, linear Result) Comparison {
	s := d.Summary(result)
	c := Comparison{
		Delta:         delta(linear.Standard),
		Low:           math.Abs(s.Nominal - linear.Limit - s.Low),
		High:          math.Abs(s.Nominal + linear.Limit - s.High),
		StandardError: max(rankError(d.sorted[result], tail), rankError(d.sorted[result], 1-tail)),
	}
	c.Validated = c.Low <= c.Delta && c.High <= c.Delta
	c.Settled = math.Abs(max(c.Low, c.High)-c.Delta) > 2*c.StandardError
	return c
}

// delta is half a unit of the second significant digit.
func delta(standard float64) float64 {
	switch {
	case standard == 0:
		return 0
	case !(standard > 0) || math.IsInf(standard, 1):
		return math.NaN()
	}
	// The text is rounded before its exponent is read: 0.0996 is 0.10.
	digits := strconv.FormatFloat(standard, 'e', 1, 64)
	half, _ := strconv.ParseFloat("0.5"+digits[len("1.0"):], 64)
	return half / 10
}

// rankError is the standard error of a quantile: half the distance of the
// trials whose ranks are one standard deviation, that of a binomial count,
// below and above.
func rankError(sorted []float64, p float64) float64 {
	n := float64(len(sorted))
	off := math.Sqrt(p * (1 - p) / n)
	low := stat.Quantile(max(p-off, 0), stat.Empirical, sorted, nil)
	return (stat.Quantile(min(p+off, 1), stat.Empirical, sorted, nil) - low) / 2
}
