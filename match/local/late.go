package local

import "context"

// pollEvery is how many steps boxes take between two looks at the context.
const pollEvery = 16

// grace is how many looks at the context it takes after its end for a search to
// end: a tenth of a second or so, in which what has been found is polished. Counted
// and not timed, so that the same problem without any time has the same plan.
const grace = 2000

// late is a context that ends a little after another one, for whoever asks Err.
type late struct {
	context.Context
	left int
}

func (l *late) Err() error {
	err := l.Context.Err()
	if err == nil || l.left <= 0 {
		return err
	}
	l.left--
	return nil
}
