package worksheet

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"shuntwright/cmd/shuntwright/internal/report/sheet"
)

// invented is a meter with so many shunts of so many parts each, and its drawer.
func invented(shunts, each int) (meter, drawer string) {
	var circuits []string
	part := 0
	for i := range shunts {
		var of []string
		for range each {
			part++
			of = append(of, fmt.Sprintf("R%03d", part))
		}
		circuits = append(circuits, fmt.Sprintf(`{"circuit": "shunt", "range": "%d mA", "fitted": "%s"}`, 5+i, strings.Join(of, " + ")))
	}
	return `{"movement": {"full_scale": "1 mA", "coil": "98.6 ohm", "divisions": 50}, "class": 2.5, "circuits": [` + strings.Join(circuits, ", ") + `]}`, parts(part)
}

// A page to fit the parts and one to test, in the largest type that leaves room;
// what has none even in the smallest runs on in one.
func TestSpread(t *testing.T) {
	last := math.Inf(1)
	for _, test := range []struct {
		shunts, each int
		fit, made    bool // the parts have a page of their own, and what they make stands on it
	}{{1, 1, true, true}, {6, 2, true, true}, {12, 2, true, false}, {16, 2, true, false}, {16, 3, false, false}} {
		meter, drawer := invented(test.shunts, test.each)
		page, err := jobOf(t, meter, drawer, 2.5).Page(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		has := func(all []sheet.Section, heading string) bool {
			for _, s := range all {
				if strings.HasPrefix(s.Heading, heading) {
					return true
				}
			}
			return false
		}
		what := fmt.Sprintf("%d shunts of %d parts", test.shunts, test.each)
		if has(page.Left, "Parts: ") != test.fit || has(page.Right, "Wiring") != test.fit || has(page.Left, "Positions") != test.made {
			t.Errorf("%s: %d sections left, %d right, %d below", what, len(page.Left), len(page.Right), len(page.Rest))
		}
		for _, heading := range []string{"Parts: ", "Wiring", "Positions", "Test points", "Error at full scale", "Error over temperature"} {
			if has(page.Left, heading) == (has(page.Right, heading) != has(page.Rest, heading)) {
				t.Errorf("%s: %s does not stand there once", what, heading)
			}
		}
		if page.Points > last || page.Points < 7 || test.shunts == 1 && page.Points != sizes[0] {
			t.Errorf("%s: type of %v pt, after %v", what, page.Points, last)
		}
		last = page.Points
	}
}

// What stands on the second page takes smaller type as well, where it is much.
func TestMuchToTest(t *testing.T) {
	meter, drawer := invented(12, 1)
	m := jobOf(t, meter, drawer, 2.5)
	m.answer.Warnings = nil
	for i := range mostWarnings {
		m.answer.Warnings = append(m.answer.Warnings, fmt.Sprint(i, strings.Repeat(" word", 230)))
	}
	var page sheet.Page
	m.spread(&page)
	if tall := high(page.Rest, page.Points); len(page.Left) == 0 || page.Points >= sizes[0] || page.Points <= 7.1 || tall > 2*pageHigh || tall < 1.8*pageHigh {
		t.Errorf("%v pt: %.0f px in two columns of %.0f", page.Points, tall, pageHigh)
	}
}
