package sheet

import (
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// drafts makes circuits for tests, with values and ids of all lengths.
type drafts struct {
	*rand.Rand
	n int
}

func (d *drafts) leaf() Network {
	d.n++
	n := Network{Name: fmt.Sprintf("R%03d", d.n), Value: fmt.Sprintf("%.4g kΩ", math.Pow(10, 4*d.Float64()))}
	switch d.IntN(12) {
	case 0:
		n.Name = strings.Repeat("MW", 50)
	case 1:
		n.Name = ""
	case 2:
		n.Note = "43.3 mm"
	case 3:
		return Network{Note: "for 24.65 Ω"}
	case 4:
		n.Name = "抵抗器の番号"
	}
	return n
}

// network has so many resistors, wired in any way.
func (d *drafts) network(leaves int, parallel bool) Network {
	if leaves == 1 {
		return d.leaf()
	}
	n := Network{Parallel: parallel}
	for leaves > 0 {
		take := 1 + d.IntN(leaves)
		if len(n.Of) == 0 && take == leaves {
			take--
		}
		n.Of = append(n.Of, d.network(take, !parallel))
		leaves -= take
	}
	return n
}

func (d *drafts) place(name string) Place {
	return Place{name, d.network(1+d.IntN(4), d.IntN(2) == 0)}
}

func (d *drafts) rows(ranges int, chain, named bool) rows {
	out := rows{Chain: chain}
	for range ranges {
		row := Row{Of: []Place{d.place("")}}
		if named {
			row.Range = []string{"5 mA", "grid 20 mA", "the cathode of the output valve 250 mA", strings.Repeat("W", 200), "10 V"}[d.IntN(5)]
			row.Notes = []string{"24.65 Ω", "lead at 300 V", "movement alone"}[:d.IntN(3)]
		}
		if d.IntN(3) == 0 {
			row.Of = append(row.Of, Place{"", Network{Name: "contact", Value: "4.000 mΩ"}})
		}
		out.Rows = append(out.Rows, row)
	}
	return out
}

// circuit is one of the shapes that meters have, with so many ranges.
func (d *drafts) circuit(shape, ranges int) Circuit {
	c := Circuit{Title: "drawn by lot", Switched: true, Movement: Movement{"µA", "500 µA", "186.4 Ω"}}
	if d.IntN(2) == 0 {
		c.Between = []Place{{"", Network{Name: "swamp", Value: "350.0 Ω"}}}
	}
	switch shape {
	case 0: // shunts, the last one the movement alone
		c.Across = d.rows(ranges, false, true)
		c.Across.Rows[ranges-1].Of = nil
	case 1: // a ring
		c.Across = d.rows(ranges, true, true)
	case 2: // multipliers
		c.Lead = d.rows(ranges, false, true)
	case 3: // a chain
		c.Lead = d.rows(ranges, true, true)
	case 4: // a chain through a ring
		c.Lead, c.Across = d.rows(ranges, true, true), d.rows(1, false, false)
		c.Between = append(c.Between, Place{"", Network{Name: "ring 10 mA", Value: "9.87 Ω"}})
	case 5: // one range that no switch reaches
		c.Switched, c.Across = false, d.rows(1, true, true)
		c.Between = append(c.Between, d.place("series plate 200 mA"))
	case 6: // something else: before and beside the movement
		c.Switched = ranges > 1
		c.Lead, c.Across = d.rows(1, false, true), d.rows(1, false, false)
		c.Across.Rows[0].Of[0].Name = "beside 10 V"
	}
	return c
}

// Nothing overlaps, nothing leaves the page, and no wire runs through a text or
// a symbol, for one to twelve ranges of every shape and networks of up to four
// parts.
func TestNothingOverlaps(t *testing.T) {
	d := &drafts{Rand: rand.New(rand.NewPCG(16, 1))}
	for trial := range 168 {
		shape, ranges := trial%7, 1+trial/7%12
		c := d.circuit(shape, ranges)
		drawn := c.Draw()
		if said := faults(drawn); len(said) > 0 {
			t.Fatalf("shape %d with %d ranges: %s\n%s", shape, ranges, strings.Join(said, "\n"), drawn.SVG("x"))
		}
		if drawn.width > mostWidth {
			t.Errorf("shape %d: %.0f wide, which a phone of 390 does not show", shape, drawn.width)
		}
	}
}

// The test would see what it is there to see.
func TestFaultsAreSeen(t *testing.T) {
	text := func(x, y float64) mark { return mark{shape: letters, text: "x", box: box{x, y, 20, 10}} }
	for name, marks := range map[string][]mark{
		"overlap":     {text(10, 10), text(29, 19)},
		"left":        {text(-1, 10)},
		"below":       {text(10, 95)},
		"wire":        {text(10, 10), {points: []point{{0, 15}, {100, 15}}}},
		"upright":     {text(10, 10), {points: []point{{15, 0}, {15, 100}}}},
		"wire leaves": {{points: []point{{0, 15}, {101, 15}}}},
	} {
		if got := faults(Drawing{width: 100, Height: 100, marks: marks}); len(got) != 1 {
			t.Errorf("%s: %q", name, got)
		}
	}
	if got := faults(Drawing{width: 100, Height: 100, marks: []mark{text(10, 10), text(30, 20), {points: []point{{0, 10}, {100, 10}}}}}); len(got) > 0 {
		t.Errorf("side by side: %q", got)
	}
}

// Every drawing is XML that is well formed, with its text, whatever the names
// hold; nothing in it refers to anything outside.
func TestSVG(t *testing.T) {
	d := &drafts{Rand: rand.New(rand.NewPCG(3, 3))}
	c := d.circuit(1, 3)
	c.Title = `<script>alert("1")</script> & 'more' ` + "\x00\x1b\ufffe"
	c.Across.Rows[0].Range = "</svg><script>1</script> שלום مرحبا Ωμέγα 電圧"
	for _, text := range []string{c.Draw().SVG("one"), Together("all", []Drawing{c.Draw(), d.circuit(3, 4).Draw()})} {
		read := xml.NewDecoder(strings.NewReader(text))
		elements, said := map[string]int{}, ""
		for {
			token, err := read.Token()
			if err == io.EOF {
				break
			}
			if err != nil {
				t.Fatalf("%v in\n%s", err, text)
			}
			switch token := token.(type) {
			case xml.StartElement:
				elements[token.Name.Local]++
				for _, a := range token.Attr {
					if strings.Contains(a.Value, "url(") || a.Name.Local == "href" || a.Name.Local == "style" {
						t.Errorf("%s refers to %s", token.Name.Local, a.Value)
					}
				}
			case xml.CharData:
				said += string(token)
			}
		}
		if elements["script"] > 0 || elements["svg"] != 1 || elements["title"] != 1 || elements["desc"] != 1 {
			t.Errorf("elements %v in\n%s", elements, text)
		}
		for _, want := range []string{"שלום", "電圧", `alert("1")`, "in series with"} {
			if !strings.Contains(said, want) {
				t.Errorf("no %q in %s", want, said)
			}
		}
	}
}
