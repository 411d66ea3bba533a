package wiring

import (
	"errors"
	"reflect"
	"slices"
	"strings"
	"testing"

	"shuntwright/meter/quantity"
)

func TestParse(t *testing.T) {
	tests := []struct{ text, canonical string }{
		{"R001", "R001"},
		{" R001 ", "R001"},
		{"R001+R002", "R001 + R002"},
		{"R001||R002", "R001 || R002"},
		{"R001 + (R002||R003)", "R001 + (R002 || R003)"},
		{"(R002||R003)+R001", "(R002 || R003) + R001"}, // the order is kept
		{"((R001))", "R001"},
		{"(R001 + R002) + R003", "R001 + R002 + R003"},
		{"R001 || (R002 || (R003 || R004))", "R001 || R002 || R003 || R004"},
		{"(R001 + (R002 || R003)) || R004", "(R001 + (R002 || R003)) || R004"},
		{"24.6 ohm || R001", "24.6 ohm || R001"},
		{"24.6  Ω+50 mΩ", "24.6  Ω + 50 mΩ"}, // a resistance is kept as typed
		{"10.0ohm", "10.0ohm"},
		{"4k7 ohm", "4k7 ohm"},
		{"24,6 ohm", "24,6 ohm"},
		{"47 + 48", "47 + 48"}, // ids: people number their envelopes
		{"R47 || 4k7", "R47 || 4k7"},
		{"5V", "5V"}, // another unit is none here
		{"Bohm + ohm", "Bohm + ohm"},
		{"tray3/7,b", "tray3/7,b"},
		{"Ü1", "Ü1"},
		{"\tR1\n+ R2", "R1 + R2"},
		{"W001[43.3 mm]", "W001[43.3 mm]"},
		{"R7 || W001 [ 43,3mm ]", "R7 || W001[43,3mm]"},
		{"W001[5m] + W001[2 m]", "W001[5m] + W001[2 m]"}, // one spool serves twice
		{"R[a]", "R[a]"},
	}
	for _, test := range tests {
		n, err := Parse(test.text)
		if err != nil {
			t.Errorf("Parse(%q): %v", test.text, err)
			continue
		}
		if got := n.String(); got != test.canonical {
			t.Errorf("Parse(%q) = %q, want %q", test.text, got, test.canonical)
		}
	}
}

func TestParseTellsIDsFromResistances(t *testing.T) {
	n, err := Parse("24.6 ohm || (47 + R47) || 4k7Ω")
	if err != nil {
		t.Fatal(err)
	}
	ohm := func(text string) Network {
		v, err := quantity.Parse(text, quantity.Ohm, quantity.Positive)
		if err != nil {
			t.Fatal(err)
		}
		return Network{Ohms: v}
	}
	want := Network{Op: Parallel, Of: []Network{
		ohm("24.6 ohm"), {Op: Series, Of: []Network{{ID: "47"}, {ID: "R47"}}}, ohm("4k7Ω"),
	}}
	if !reflect.DeepEqual(n, want) {
		t.Errorf("got %+v, want %+v", n, want)
	}
	if got := n.IDs(); !slices.Equal(got, []string{"47", "R47"}) {
		t.Errorf("IDs = %q", got)
	}
	var leaves []string
	for _, leaf := range n.Leaves() {
		leaves = append(leaves, leaf.String())
	}
	if !slices.Equal(leaves, []string{"24.6 ohm", "47", "R47", "4k7Ω"}) {
		t.Errorf("Leaves = %q", leaves)
	}
}

func TestParseRefuses(t *testing.T) {
	tests := []struct {
		text   string
		column int
		says   string
	}{
		{"", 1, "a part's id or a resistance belongs here"},
		{"   ", 4, "a part's id or a resistance belongs here"},
		{"R1 +", 5, "belongs here"},
		{"+ R1", 1, "belongs here"},
		{"R1 + + R2", 6, "belongs here"},
		{"R1 || || R2", 7, "belongs here"},
		{"()", 2, "belongs here"},
		{"R1 + R2 || R3", 9, "mix only with brackets"},
		{"R1 || R2 + R3", 10, "mix only with brackets"},
		{"(R1 + R2 || R3)", 10, "mix only with brackets"},
		{"R1 | R2", 4, "write ||"},
		{"R1 ||| R2", 6, "belongs here"},
		{"(R1 + R2", 1, "not closed"},
		{"R1 + (R2 || (R3 + R4)", 6, "not closed"},
		{"R1 + R2)", 8, "closes nothing"},
		{"R1 (R2)", 4, "before the bracket"},
		{"(R1) R2", 6, "after the bracket"},
		{"(R1)(R2)", 5, "before the bracket"},
		{"R1 R2", 1, "holds a space"},
		{"Ω1 + 24.6 k", 6, "holds a space"}, // columns count characters
		{"24.6 V + R1", 1, "holds a space"},
		{"R1 + -5 ohm", 6, "is negative"},
		{"R1 + 0 ohm", 6, "is zero"},
		{"4,700 ohm", 1, "4.700 or 4700"},
		{"1_0 ohm", 1, "neither a prefix nor a unit"},
		{"R1 + R1", 6, "stands here twice"},
		{"R1 + (R2 || R1)", 13, "stands here twice"},
		{"R1 + W1[43.3]", 6, "has no unit"},
		{"W1[43 ohm]", 1, "is a resistance; a length above zero"},
		{"W1[-2 mm]", 1, "is negative"},
		{"[2 mm]", 1, "the id is empty"},
		{"W1[2 mm][3 mm]", 1, "2 mm][3 mm"},
		{"W1[3]", 1, "has no unit"},
		{"R1\x00", 1, "U+0000"},
		{"R1\u200b", 1, "U+200B"},
		{"R1 + R\xff", 1, "not UTF-8"},
		{strings.Repeat("x", 101), 1, "longer than 100"},
		{strings.Repeat("(", 51) + "R1" + strings.Repeat(")", 51), 51, "more than 50 brackets"},
		{strings.Repeat("(", 1e6), 1, "longer than 4000"},
		{strings.Repeat("R1+", 1e6), 1, "longer than 4000"},
	}
	for _, test := range tests {
		n, err := Parse(test.text)
		var wrong *SyntaxError
		if !errors.As(err, &wrong) {
			t.Errorf("Parse(%.40q) = %v, %v, want a *SyntaxError", test.text, n, err)
			continue
		}
		if wrong.Column != test.column || !strings.Contains(err.Error(), test.says) {
			t.Errorf("Parse(%.40q): %v; want column %d and %q", test.text, err, test.column, test.says)
		}
		if strings.ContainsAny(err.Error(), "\n\x00") || len(err.Error()) > 400 {
			t.Errorf("Parse(%.40q): %q is not one short line", test.text, err)
		}
	}
	if _, err := Parse(strings.Repeat("(", 50) + "R1" + strings.Repeat(")", 50)); err != nil {
		t.Errorf("50 brackets: %v", err)
	}
}

func TestValidID(t *testing.T) {
	for _, id := range []string{"R001", "47", "4k7", "R47", "5V", "Ü1", "a,b", "#3", "ohm", strings.Repeat("x", 100)} {
		if err := ValidID(id); err != nil {
			t.Errorf("ValidID(%q): %v", id, err)
		}
	}
	for id, says := range map[string]string{
		"": "is empty", "R 1": "holds a space", "R\u00a01": "holds a space", "R+1": `'+'`, "R|1": `'|'`, "R(1": `'('`, "R)1": `')'`,
		"R\t1": "holds a space", "R\x001": "U+0000", "R\u202e1": "U+202E", "R\xff": "U+FFFD", "10ohm": "reads as a resistance", "4k7Ω": "reads as a resistance",
		strings.Repeat("x", 101): "longer than 100",
	} {
		if err := ValidID(id); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("ValidID(%q): %v, want it to say %q", id, err, says)
		}
	}
}

// Networks that a program builds need not have texts that Parse made.
func TestStringOfBuiltNetworks(t *testing.T) {
	for _, test := range []struct {
		value quantity.Value
		want  string
	}{
		{quantity.Value{Text: "1.071", Base: 1.071, Unit: quantity.Ohm}, "1.071 ohm"}, // without its unit it would be an id
		{quantity.Value{Text: "4k7", Base: 4700, Unit: quantity.Ohm}, "4k7 ohm"},
		{quantity.Value{Text: "+1e+3 ohm", Base: 1000, Unit: quantity.Ohm}, "1e3 ohm"}, // a plus would join
		{quantity.Value{Base: 24.6, Unit: quantity.Ohm}, "24.6 ohm"},
		{quantity.Value{Base: 1e21, Unit: quantity.Ohm}, "1e21 ohm"},
	} {
		text := Join(Parallel, Network{ID: "R1"}, Network{Ohms: test.value}).String()
		if want := "R1 || " + test.want; text != want {
			t.Errorf("%+v: %q, want %q", test.value, text, want)
		}
		n, err := Parse(text)
		if err != nil || n.Of[1].Ohms.Base != test.value.Base {
			t.Errorf("%q is %+v, %v", text, n, err)
		}
	}
	if text := (Network{}).String(); text != "" {
		t.Errorf("the zero Network is %q", text)
	}
}

func TestJoin(t *testing.T) {
	a, b, c := Network{ID: "a"}, Network{ID: "b"}, Network{ID: "c"}
	if got := Join(Series, a); !reflect.DeepEqual(got, a) {
		t.Errorf("one network joined is %v", got)
	}
	if got := Join(Series, a, Join(Series, b, c)).String(); got != "a + b + c" {
		t.Errorf("got %q", got)
	}
	if got := Join(Parallel, Join(Series, a, b), c).String(); got != "(a + b) || c" {
		t.Errorf("got %q", got)
	}
}

func FuzzParse(f *testing.F) {
	for _, text := range []string{"R001", "24.6 ohm || R001", "R1 + (R2 || R3)", "((a))", "((((", "a||b||(c||d)", "4,7 kΩ + 5", "−5ohm", "R1 +", "1e3Ω", "W1[43.3 mm]", "W1[1][2 m]"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		n, err := Parse(text)
		if err != nil {
			var wrong *SyntaxError
			if !errors.As(err, &wrong) || wrong.Column < 1 || wrong.Column > len([]rune(text))+1 || strings.Contains(err.Error(), "\n") {
				t.Fatalf("%q: %v", text, err)
			}
			return
		}
		again, err := Parse(n.String())
		if err != nil || !reflect.DeepEqual(again, n) {
			t.Fatalf("%q is %q, which is %q, %v", text, n, again, err)
		}
		checkShape(t, n)
	})
}

// checkShape checks that operands are at least two and none of the same kind.
func checkShape(t *testing.T, n Network) {
	if n.Op != Leaf && len(n.Of) < 2 {
		t.Fatalf("%q has %d operands", n, len(n.Of))
	}
	for _, o := range n.Of {
		if o.Op == n.Op {
			t.Fatalf("%q is not flattened", n)
		}
		checkShape(t, o)
	}
}

func TestLengths(t *testing.T) {
	n, err := Parse("W001[250 mm] || (R1 + W002[1.5 m]) || 24 ohm || W001[1 m]")
	if err != nil {
		t.Fatal(err)
	}
	if got := n.Lengths(); len(got) != 2 || got["W001"] != 1.25 || got["W002"] != 1.5 {
		t.Errorf("%v of wire", got)
	}
	if n.IsNothing() || n.Of[2].IsNothing() || !(Network{}).IsNothing() {
		t.Error("a network is nothing, or nothing is a network")
	}
}
