package check

import "math"

// burnt is the fraction by which a part has drifted from which on it is not to
// be trusted any longer: it goes rather than being trimmed (common practice).
const burnt = 0.2

// drifted tells a patient that has drifted so far, or is of carbon that will go
// on drifting.
func (r *search) drifted(p patient) bool {
	return math.Abs(p.now/p.from-1) > burnt || len(r.unsteady(p)) > 0
}

// unsteady are the parts in a patient's place that will go on drifting, each with
// how far it has: by the readings, where these say what is there.
func (r *search) unsteady(p patient) []string {
	kept, err := r.kept(p)
	if err != nil {
		return nil
	}
	paper, err := r.onPaper(p)
	if err != nil {
		return nil
	}
	var out []string
	for _, id := range p.stays.IDs() {
		i := r.Index[id]
		if far := r.Parts[i].Unsteady(r.Measured[i].Ohms * kept / paper); far != "" {
			out = append(out, id+" ("+far+")")
		}
	}
	return out
}

// replacement is the one of two remedies that replaces the part.
func replacement(a, b remedy) remedy {
	if b.action == replace {
		return b
	}
	return a
}
