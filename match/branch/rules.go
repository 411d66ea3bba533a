package branch

// rules draws conclusions from parts at the nodes of one search after the
// other: which candidates are in no choice that uses no part twice, and whether
// there is any such choice.
type rules struct {
	*frame
	light      []int // room for weigh
	lagrangian lagrangian
}

// newRules returns the rules for the searches of a frame.
func newRules(f *frame) *rules {
	return &rules{frame: f, light: make([]int, len(f.tables)), lagrangian: newLagrangian(f.gauge)}
}

// tight tells whether parts are so scarce that a lack of them may rule something
// out.
func (r *rules) tight() bool { return 5*len(r.tables) >= 2*r.parts }
