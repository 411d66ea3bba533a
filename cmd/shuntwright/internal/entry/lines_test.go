package entry

import (
	"bytes"
	"context"
	"errors"
	"io"
	"strings"
	"testing"
	"time"
)

// all reads to the end: one row a line, in brackets what went wrong.
func all(r *Reader) string {
	var out []string
	for {
		text, err := r.Next("? ")
		switch {
		case errors.Is(err, io.EOF):
			return strings.Join(out, "|")
		case err != nil:
			out = append(out, "["+err.Error()+"]")
		default:
			out = append(out, text)
		}
	}
}

func TestNext(t *testing.T) {
	const text = "1\n\n # a comment\n  2 ohm \r\n#3\n4"
	var told bytes.Buffer
	r := NewReader(context.Background(), strings.NewReader(text), &told, false)
	if got := all(r); got != "1|2 ohm|4" || told.Len() > 0 {
		t.Errorf("from a pipe: %s, told %q", got, told.String())
	}
	if err := AtLine(r.Line(), errors.New("no")); err.Error() != "standard input:6:1: no" {
		t.Error(err)
	}
	if got := all(NewReader(context.Background(), strings.NewReader(text), &told, true)); got != "1||# a comment|2 ohm|#3|4" || told.String() != strings.Repeat("? ", 7)+"\n" {
		t.Errorf("from a person: %s, told %q", got, told.String())
	}
	if got := all(NewReader(context.Background(), strings.NewReader(""), &told, false)); got != "" {
		t.Errorf("from nobody: %s", got)
	}
}

// A line that is too long costs itself only.
func TestTooLong(t *testing.T) {
	long := strings.Repeat("x", longestLine)
	for text, want := range map[string]string{
		"1\n" + long + "\n2\n":                "1|[" + ErrTooLong.Error() + "]|2",
		"1\n" + long + long + long + "y\n2\n": "1|[" + ErrTooLong.Error() + "]|2",
		long:                                  "[" + ErrTooLong.Error() + "]",
		long[1:] + "\n2\n":                    long[1:] + "|2",
	} {
		if got := all(NewReader(context.Background(), strings.NewReader(text), io.Discard, false)); got != want {
			t.Errorf("%.20q…: %.60q, want %.60q", text, got, want)
		}
	}
}

// Reading that fails is not the end of the input.
func TestFailingReader(t *testing.T) {
	broken := errors.New("broken")
	r := NewReader(context.Background(), io.MultiReader(strings.NewReader("1\n"), &failing{broken}), io.Discard, false)
	if text, err := r.Next(""); text != "1" || err != nil {
		t.Errorf("%q, %v", text, err)
	}
	if _, err := r.Next(""); !errors.Is(err, broken) || errors.Is(err, io.EOF) {
		t.Errorf("%v", err)
	}
}

type failing struct{ error }

func (f *failing) Read([]byte) (int, error) { return 0, f.error }

// Whoever ends the program need not wait for another line.
func TestEnded(t *testing.T) {
	in, _ := io.Pipe()
	ctx, stop := context.WithCancel(context.Background())
	r := NewReader(ctx, in, io.Discard, true)
	time.AfterFunc(time.Millisecond, stop)
	for range 2 {
		if _, err := r.Next("? "); !errors.Is(err, io.EOF) {
			t.Errorf("%v", err)
		}
	}
}
