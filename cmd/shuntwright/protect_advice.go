package main

import "fmt"

// last is what the movement carries in the end, in full scales.
func (f fault) last() float64 {
	if f.WithDiodes != nil {
		return *f.WithDiodes
	}
	return f.Times
}

// survival says plainly whether the movement survives, and what else helps.
func survival(faults []fault, clamp string) []string {
	worst, bare := 0.0, 0.0
	burns := map[string]bool{} // how the parts fail that burn it
	for _, f := range faults {
		bare, worst = max(bare, f.Times), max(worst, f.last())
		if !f.Survives {
			burns[f.Fault] = true
		}
	}
	if len(faults) == 0 {
		return []string{"no part of this meter can fail towards more current in the movement"}
	}
	lines := []string{fmt.Sprintf("worst: %s times full scale without diodes, %s with %s", times(bare).Text, times(worst).Text, clamp)}
	if len(burns) == 0 {
		return append(lines, "the movement survives for a moment: a moving coil stands ten times full scale (common practice); a fuse must end it, the diodes only hold it off")
	}
	lines = append(lines, "the movement does not survive: it would carry more than ten times full scale (common practice)")
	if burns["open"] {
		lines = append(lines, "what helps where a part across the movement opens: diodes across the shunt as well, so that they take the fault")
	}
	if burns["short"] {
		lines = append(lines, "what helps where a multiplier shorts: making it of two resistors in series, of which one is left when the other fails; "+
			"diodes across the shunt do nothing there")
	}
	return append(lines, "what helps in any case: a fuse in the lead that opens before the diodes do; a rectifier that clamps lower (germanium or Schottky) "+
		"where the full-scale drop allows it; a swamping resistor, which spreads the clamp voltage over more ohms")
}
