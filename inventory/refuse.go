package inventory

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"shuntwright/inventory/table"
)

// refuse takes those parts out of the list against which why, asked about one after
// the other, says something of a column.
func (l *List) refuse(column string, why func(part int) string) {
	parts, rows := l.file.parts, l.file.rows
	l.file.parts, l.file.rows = nil, nil
	for i, p := range parts {
		if reason := why(i); reason != "" {
			l.Refused = append(l.Refused, l.file.table.ErrorAt(rows[i], max(0, l.file.at[columnOf(column)].At), "%s", reason))
		} else {
			l.file.parts, l.file.rows = append(l.file.parts, p), append(l.file.rows, rows[i])
		}
	}
	l.Parts = l.file.Parts()
	slices.SortStableFunc(l.Refused, func(a, b error) int { return cmp.Compare(lineOf(a), lineOf(b)) })
}

func lineOf(err error) int {
	wrong := new(table.Error)
	errors.As(err, &wrong)
	return wrong.Line
}

// RefuseKnown refuses the parts whose ids a drawer has already.
func (l *List) RefuseKnown(d *Drawer) {
	parts := l.file.parts
	l.refuse("id", func(i int) string {
		if _, _, known := d.Find(parts[i].ID); !known {
			return ""
		}
		return fmt.Sprintf("the id %q is in the drawer already; where this is another part, leave it out to get the next free one", parts[i].ID)
	})
}

// fewestRows is how many parts tell what the rows of a list have in common.
const fewestRows = 3

// totals are what people write beside sums.
var totals = []string{"sum", "total", "totals", "subtotal", "summe", "gesamt", "gesamtsumme", "zwischensumme"}

// refuseTotals refuses rows of totals: by their word, by their sum, and a last one
// that has nothing but a number where all others have more.
func (l *List) refuseTotals() {
	t, parts, rows := l.file.table, l.file.parts, l.file.rows
	sum, least := 0.0, math.MaxInt
	l.refuse("ohms", func(i int) string {
		cells := slices.DeleteFunc(slices.Clone(t.Row(rows[i])), func(cell string) bool { return strings.TrimSpace(cell) == "" })
		ohms, many := parts[i].Ohms, i >= fewestRows
		read := parts[i].Measured() && !parts[i].IsSpool()
		switch {
		case slices.ContainsFunc(cells, func(cell string) bool { return slices.Contains(totals, strings.TrimRight(plainName(cell), ":")) }):
			return "a row of totals is no part"
		case many && read && math.Abs(ohms.Base-sum) <= ohms.Step/2:
			return fmt.Sprintf("%s is what all parts above have together: a row of totals is no part", ohms.Text)
		case many && i == len(parts)-1 && len(cells) == 1 && least > 1:
			return fmt.Sprintf("nothing stands beside %s in the last row, as in one of totals; where it is a part, say more of it", ohms.Text)
		}
		if least = min(least, len(cells)); read {
			sum += ohms.Base
		}
		return ""
	})
}

// refuseTwice refuses rows that are there once more, where the list has a column of
// its own with another entry for every part.
func (l *List) refuseTwice() {
	t, rows := l.file.table, l.file.rows
	first, count := map[string]int{}, map[string]int{}
	text := func(i int) string { return strings.Join(t.Row(rows[i]), "\x00") }
	entry := func(i, column int) string { return fmt.Sprint(column, t.Row(rows[i])[column]) }
	for i := range rows {
		if _, twice := first[text(i)]; !twice {
			first[text(i)] = i
			for _, j := range l.own {
				count[entry(i, j)]++
			}
		}
	}
	at := slices.IndexFunc(l.own, func(j int) bool {
		empty := 0
		for i := range rows {
			switch {
			case t.Row(rows[i])[j] == "":
				empty++
			case count[entry(i, j)] > 1:
				return false
			}
		}
		return 2*empty < len(rows) && len(first)-empty >= fewestRows
	})
	if at < 0 {
		return
	}
	l.refuse("ohms", func(i int) string {
		before := first[text(i)]
		if before == i || t.Row(rows[i])[l.own[at]] == "" {
			return ""
		}
		return fmt.Sprintf("the row is that of line %d once more, its %q too", t.Line(rows[before]), strings.TrimSpace(t.Header()[l.own[at]]))
	})
}
