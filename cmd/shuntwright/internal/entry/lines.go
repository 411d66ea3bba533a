package entry

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"strings"

	"shuntwright/cmd/shuntwright/internal/report"
)

// longestLine is how many bytes a line may have.
const longestLine = 1 << 16

// ErrTooLong is the error of a line that is longer than anybody types. The next
// line can be read all the same.
var ErrTooLong = fmt.Errorf("the line is longer than %d bytes", longestLine)

// errReading is wrapped by what was wrong with reading: there is no next line.
var errReading = errors.New("reading standard input")

// Reader reads lines. A person is asked for each; from a pipe, blank lines and
// those that begin with # say nothing and are passed over. It is for one
// goroutine.
type Reader struct {
	ctx   context.Context
	in    *bufio.Reader
	out   io.Writer
	asks  bool
	line  int  // number of the last line read
	ended bool // there is nothing more to read
}

// NewReader reads lines from in until it ends or ctx does. Where asks says that a
// person types there, that one is asked and told on out.
func NewReader(ctx context.Context, in io.Reader, out io.Writer, asks bool) *Reader {
	return &Reader{ctx: ctx, in: bufio.NewReaderSize(in, longestLine), out: out, asks: asks}
}

// Asks tells whether a person types.
func (r *Reader) Asks() bool { return r.asks }

// Say tells a person something; a pipe is told nothing.
func (r *Reader) Say(text string) {
	if r.asks {
		fmt.Fprint(r.out, report.Harmless(text))
	}
}

// Next asks a person with the prompt, and returns the next line without the
// spaces round it. The error is io.EOF where there is none: the input has ended
// or somebody has ended the program; ErrTooLong; or wraps errReading.
func (r *Reader) Next(prompt string) (string, error) {
	for {
		r.Say(prompt)
		text, err := r.read()
		if errors.Is(err, io.EOF) {
			r.Say("\n") // what is said next does not go on behind the prompt
		}
		text = strings.TrimSpace(text)
		if err != nil || r.asks || text != "" && !strings.HasPrefix(text, "#") {
			return text, err
		}
	}
}

// Line is the number of the line that was read last, 1 being the first.
func (r *Reader) Line() int { return r.line }

// AtLine says of what is wrong in which line of the input it is.
func AtLine(line int, err error) error { return fmt.Errorf("standard input:%d:1: %w", line, err) }

// read waits for a line, or for the end of the program.
func (r *Reader) read() (string, error) {
	if r.ended {
		return "", io.EOF
	}
	type read struct {
		text string
		err  error
	}
	done := make(chan read, 1)
	go func() {
		text, err := r.readLine()
		done <- read{text, err}
	}()
	select {
	case <-r.ctx.Done(): // what is read after this is nobody's
		r.ended = true
		return "", io.EOF
	case now := <-done:
		if r.ended = errors.Is(now.err, io.EOF); !r.ended {
			r.line++
		}
		return now.text, now.err
	}
}

func (r *Reader) readLine() (string, error) {
	text, err := r.in.ReadSlice('\n')
	line, long := string(text), false
	for errors.Is(err, bufio.ErrBufferFull) {
		long = true
		_, err = r.in.ReadSlice('\n')
	}
	switch {
	case err != nil && !errors.Is(err, io.EOF):
		return "", fmt.Errorf("%w: %w", errReading, err)
	case long:
		return "", ErrTooLong
	case err != nil && line == "":
		return "", io.EOF
	}
	return line, nil
}
