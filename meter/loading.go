package meter

// Loaded is what a range does to the circuit under test, in the range's unit
// and in percent.
type Loaded struct {
	With, Indicated float64 // what is there with the meter in place, and what its pointer then shows
	LoadingPercent  float64 // what the meter takes away, of the value without it
	TotalPercent    float64 // indicated less the value without the meter, of full scale
}

// Loading tells what range r makes of a circuit under test that shows without
// with the meter away: the current through the break where an ammeter goes, or
// the voltage where a voltmeter goes. sourceOhms is what the circuit looks like
// from there (Thévenin): the whole loop for an ammeter, the parallel connection
// of a divider's arms for a voltmeter.
func (m *Meter) Loading(st State, r int, without, sourceOhms float64) Loaded {
	input := m.divider(st, r).input()
	share := sourceOhms / (sourceOhms + input)
	if m.voltage(r) {
		share = input / (sourceOhms + input)
	}
	out := Loaded{With: without * share, LoadingPercent: 100 * (share - 1)}
	out.Indicated = out.With * (1 + m.errorOf(st, r)/100)
	out.TotalPercent = 100 * (out.Indicated - without) / m.ranges[r].FullScale
	return out
}
