package report

import (
	"fmt"
	"slices"
	"strings"

	"github.com/jedib0t/go-pretty/v6/text"
)

// fold makes a table narrower that would be too wide: columns in which all rows
// say the same are left out and returned in words, and so is a beginning that
// all entries of a column share; then spare columns are left out.
func (t Table) fold(width int) (narrower Table, shown []int, common string) {
	shown = t.shown()
	if width <= 0 || t.width(shown) <= width {
		return t, shown, ""
	}
	var words, some []string // what all rows say, and what only those that have an entry
	shown = slices.DeleteFunc(shown, func(c int) bool {
		same := t.same(c)
		if same {
			words = append(words, t.Columns[c].Common+" "+t.Rows[0][c].Text)
		}
		return same
	})
	for _, c := range shown {
		if beginning := t.beginning(c); beginning != "" {
			t = t.without(c, beginning)
			said := t.Columns[c].Common + " " + strings.TrimSuffix(beginning, colon)
			if n := t.entries(c); n < len(t.Rows) {
				some = append(some, fmt.Sprintf("%d of %d: %s", n, len(t.Rows), said))
			} else {
				words = append(words, said)
			}
		}
	}
	if len(words) > 0 {
		some = append([]string{"all of them: " + strings.Join(words, ", ")}, some...)
	}
	common = strings.Join(some, "; ")
	if t.width(shown) > width {
		shown = slices.DeleteFunc(shown, func(c int) bool { return t.Columns[c].Spare })
	}
	if t.wordsWidth(shown) > width {
		shown = slices.DeleteFunc(shown, func(c int) bool { return t.Columns[c].Known })
	}
	return t, shown, common
}

// colon ends what entries may begin with alike.
const colon = ": "

// same tells whether all rows say the same in a column for which that may be
// said in words.
func (t Table) same(c int) bool {
	first := t.Rows[0][c].Text
	return t.Columns[c].Common != "" && len(t.Rows) > 1 && first != "" &&
		!slices.ContainsFunc(t.Rows, func(row []Cell) bool { return row[c].Text != first })
}

// beginning is what all entries of such a column, two or more, begin with up to
// a colon.
func (t Table) beginning(c int) string {
	found, met := "", false
	for _, row := range t.Rows {
		if row[c].Text == "" {
			continue
		}
		before, _, cut := strings.Cut(row[c].Text, colon)
		if !cut || met && before != found {
			return ""
		}
		found, met = before, true
	}
	if t.Columns[c].Common == "" || t.entries(c) < 2 {
		return ""
	}
	return found + colon
}

// entries counts those of a column that are not empty.
func (t Table) entries(c int) (n int) {
	for _, row := range t.Rows {
		if row[c].Text != "" {
			n++
		}
	}
	return n
}

// without takes what all entries of a column begin with off them.
func (t Table) without(c int, beginning string) Table {
	rows := make([][]Cell, len(t.Rows))
	for i, row := range t.Rows {
		rows[i] = slices.Clone(row)
		rows[i][c].Text = strings.TrimPrefix(row[c].Text, beginning)
	}
	t.Rows = rows
	return t
}

// sum is how wide columns of a table are together with the gaps behind them.
func (t Table) sum(shown []int, wide func(c int) int) int {
	all := 0
	for _, c := range shown {
		all += wide(c) + len(gap)
	}
	return all
}

// width is how wide columns of a table are together where none is wrapped.
func (t Table) width(shown []int) int { return t.sum(shown, t.widest) - len(gap) }

// parts are the columns of a table, in as many tables as the width asks for:
// each begins with the first column. Bars go before a table is parted.
func (t Table) parts(shown []int, width int) [][]int {
	if width <= 0 || t.leastWidth(shown, true) <= width {
		return [][]int{shown}
	}
	shown = slices.DeleteFunc(shown, func(c int) bool { return t.Columns[c].Key == "" })
	var all [][]int
	part := shown[:1:1]
	for _, c := range shown[1:] {
		if longer := append(slices.Clone(part), c); len(part) == 1 || t.leastWidth(longer, true) <= width {
			part = longer
			continue
		}
		all = append(all, part)
		part = []int{shown[0], c}
	}
	return append(all, part)
}

// wordsWidth is how narrow columns of a table can be with no word broken, the rule
// below the head included.
func (t Table) wordsWidth(shown []int) int {
	return t.sum(shown, func(c int) int {
		if t.Columns[c].Flexible {
			return t.longestWord(c)
		}
		return t.widest(c)
	})
}

// readable is how wide a column is at least in which words may be broken.
const readable = 8

// leastWidth is how narrow columns of a table can be with few words broken, the
// rule below the head included; broken lets titles be broken too.
func (t Table) leastWidth(shown []int, broken bool) int {
	return t.sum(shown, func(c int) int {
		switch {
		case t.Columns[c].Flexible:
			return min(t.longestWord(c), readable)
		case broken:
			return t.bare(c)
		}
		return t.widest(c)
	})
}

// widest is the width of the widest entry of a column, its title included.
func (t Table) widest(c int) int { return max(text.StringWidth(t.Columns[c].Title), t.widestEntry(c)) }

// bare is the width of the widest entry of a column where its title may be
// broken.
func (t Table) bare(c int) int { return max(longestWord(t.Columns[c].Title), t.widestEntry(c)) }

func (t Table) widestEntry(c int) (most int) {
	for _, row := range t.Rows {
		most = max(most, text.LongestLineLen(row[c].Text))
	}
	return most
}

// longestWord is the width of the widest word of a column, which is broken only
// where it must be.
func (t Table) longestWord(c int) int {
	most := max(tightest, longestWord(t.Columns[c].Title))
	for _, row := range t.Rows {
		most = max(most, longestWord(row[c].Text))
	}
	return most
}

// longestWord is the width of the widest word of a text.
func longestWord(words string) (most int) {
	for _, line := range strings.Split(words, "\n") {
		for _, word := range broken(line, 1, "") {
			most = max(most, text.StringWidth(word))
		}
	}
	return most
}
