package check

import "math"

// burnt is the fraction by which a part has drifted from which on it is not to
// be trusted any longer: it goes rather than being trimmed (common practice).
const burnt = 0.2

// drifted tells a suspect that has drifted so far, or is of carbon that will go
// on drifting.
func (r *search) drifted(p suspect) bool {
	ids, _ := r.unsteady(p)
	return math.Abs(p.now/p.from-1) > burnt || len(ids) > 0
}

// unsteady are the parts in a suspect's place that will go on drifting, by their
// ids, and how that is said, with how far each has: by the readings, where these say
// what is there.
func (r *search) unsteady(p suspect) (ids, said []string) {
	moved, err := r.moved(p)
	if err != nil {
		return nil, nil
	}
	for _, id := range p.stays.IDs() {
		i := r.Index[id]
		if far := r.Parts[i].Unsteady(r.Measured[i].Ohms * moved); far != "" {
			ids, said = append(ids, id), append(said, id+" ("+far+")")
		}
	}
	return ids, said
}

// replacement is the one of two remedies that replaces the part.
func replacement(a, b remedy) remedy {
	if b.action == replace {
		return b
	}
	return a
}
