package wiring

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"shuntwright/meter/quantity"
)

// SyntaxError tells where and why a text is no network.
type SyntaxError struct {
	Text   string // the whole text
	Column int    // where it is wrong, in runes, the first being 1
	Reason string // what is wrong and what would be right
}

// Error returns one line that quotes the text.
func (e *SyntaxError) Error() string {
	text := []rune(e.Text)
	shown := fmt.Sprintf("%q", e.Text)
	if len(text) > 80 {
		shown = fmt.Sprintf("%q…", string(text[:80]))
	}
	return fmt.Sprintf("network %s, column %d: %s", shown, e.Column, e.Reason)
}

// Limits of what Parse takes: no position of a meter is filled by so much, and
// a text that is nothing but brackets must not exhaust the stack.
const (
	deepest = 50   // brackets within brackets
	longest = 4000 // bytes
)

// Parse reads a network: ids of parts, wire off a spool ("W001[43.3 mm]") and
// resistances with their unit ("24.6 ohm"), joined by + in series and by || in
// parallel. The two mix only with brackets; brackets that say nothing are taken
// and dropped. A text without a unit is an id, of digits too. A part can stand
// only once. Every error is a *SyntaxError.
func Parse(text string) (Network, error) {
	p := &parser{text: text, seen: map[string]bool{}}
	if len(text) > longest {
		return Network{}, p.fail(0, "longer than %d characters", longest)
	}
	if !utf8.ValidString(text) {
		return Network{}, p.fail(0, "not UTF-8 text")
	}
	n, err := p.network(0)
	if err != nil {
		return Network{}, err
	}
	if p.at < len(text) {
		return Network{}, p.fail(p.at, "this bracket closes nothing")
	}
	return n, nil
}

type parser struct {
	text string
	at   int // in bytes
	seen map[string]bool
}

func (p *parser) fail(at int, format string, args ...any) error {
	column := 1 + utf8.RuneCountInString(p.text[:at])
	return &SyntaxError{Text: p.text, Column: column, Reason: fmt.Sprintf(format, args...)}
}

// network reads operands and the signs between them, to the end of the text
// or to a closing bracket.
func (p *parser) network(depth int) (Network, error) {
	var op Op
	var operands []Network
	for {
		n, err := p.operand(depth)
		if err != nil {
			return Network{}, err
		}
		operands = append(operands, n)
		at := p.at
		next, err := p.sign()
		if err != nil {
			return Network{}, err
		}
		if next == Leaf {
			return Join(op, operands...), nil
		}
		if op != Leaf && op != next {
			return Network{}, p.fail(at, "+ and || mix only with brackets, such as R1 + (R2 || R3)")
		}
		op = next
	}
}

// sign takes what joins two operands; Leaf means that nothing joins.
func (p *parser) sign() (Op, error) {
	rest := p.text[p.at:]
	switch {
	case strings.HasPrefix(rest, "||"):
		p.at += 2
		return Parallel, nil
	case strings.HasPrefix(rest, "|"):
		return Leaf, p.fail(p.at, "write || for resistors in parallel")
	case strings.HasPrefix(rest, "+"):
		p.at++
		return Series, nil
	case strings.HasPrefix(rest, "("):
		return Leaf, p.fail(p.at, "write + (series) or || (parallel) before the bracket")
	}
	return Leaf, nil
}

// operand reads a leaf or a network in brackets, and the spaces round it.
func (p *parser) operand(depth int) (Network, error) {
	p.skip()
	if !strings.HasPrefix(p.text[p.at:], "(") {
		return p.leaf()
	}
	open := p.at
	if depth == deepest {
		return Network{}, p.fail(open, "more than %d brackets within brackets", deepest)
	}
	p.at++
	n, err := p.network(depth + 1)
	if err != nil {
		return Network{}, err
	}
	if !strings.HasPrefix(p.text[p.at:], ")") {
		return Network{}, p.fail(open, "this bracket is not closed")
	}
	p.at++
	p.skip()
	if rest := p.text[p.at:]; rest != "" && !strings.ContainsAny(rest[:1], "+|()") {
		return Network{}, p.fail(p.at, "write + (series) or || (parallel) after the bracket")
	}
	return n, nil
}

func (p *parser) skip() {
	rest := p.text[p.at:]
	p.at += len(rest) - len(strings.TrimLeftFunc(rest, unicode.IsSpace))
}

// leaf reads up to the next sign or bracket: spaces within belong to a
// quantity.
func (p *parser) leaf() (Network, error) {
	start := p.at
	end := strings.IndexAny(p.text[start:], "+|()")
	if end < 0 {
		end = len(p.text) - start
	}
	p.at += end
	text := strings.TrimSpace(p.text[start:p.at])
	switch {
	case text == "":
		return Network{}, p.fail(start, "a part's id or a resistance belongs here, such as R001 or 24.6 ohm")
	case measured(text):
		v, err := quantity.Parse(text, quantity.Ohm, quantity.Positive)
		if err != nil {
			return Network{}, p.fail(start, "%v", err)
		}
		return Network{Ohms: v}, nil
	}
	n := Network{ID: text}
	if id, inside, wire := cutWire(text); wire {
		var err error
		n.ID = id
		if n.Length, err = quantity.ParseNamed(inside, quantity.Positive, quantity.Metre); err != nil {
			return Network{}, p.fail(start, "%v", err)
		}
	}
	if err := ValidID(n.ID); err != nil {
		return Network{}, p.fail(start, "%v", err)
	}
	if n.IsWire() {
		return n, nil
	}
	if p.seen[text] {
		return Network{}, p.fail(start, "part %q stands here twice; a part can be in one place only", text)
	}
	p.seen[text] = true
	return n, nil
}
