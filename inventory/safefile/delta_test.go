package safefile

import (
	"bytes"
	"math/rand/v2"
	"testing"
)

// A delta leads from any content to any other and back, and fits no third.
func TestDelta(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	text := func() []byte {
		out := make([]byte, r.IntN(6))
		for i := range out {
			out[i] = "ab"[r.IntN(2)]
		}
		return out
	}
	for range 5000 {
		old, new, other := text(), text(), text()
		d := between(old, new)
		d.Was, d.Is = StampOf(old), StampOf(new)
		if is, err := d.applied(old); err != nil || !bytes.Equal(is, new) {
			t.Fatalf("%q to %q: %q, %v", old, new, is, err)
		}
		if is, err := d.reversed().applied(new); err != nil || !bytes.Equal(is, old) {
			t.Fatalf("%q back to %q: %q, %v", new, old, is, err)
		}
		if is, err := d.applied(other); err == nil && !bytes.Equal(is, new) {
			t.Fatalf("%q to %q took %q to %q", old, new, other, is)
		}
	}
	for _, d := range []delta{{At: -1}, {At: 9}, {At: 1, Old: []byte("bcd")}} { // of a journal that somebody edited
		if is, err := d.applied([]byte("abc")); err == nil {
			t.Errorf("%+v gave %q", d, is)
		}
	}
}
