package solve_test

import (
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"shuntwright/match/solve"
)

// comparisonFile has what the comparison measured, behind words of what that is.
const comparisonFile = "../../testdata/joint/comparison.md"

// comparisonTable is the head of its table.
var comparisonTable = []string{
	"| instance | drawer | positions | optimum % | ours s | worst alone s | search alone s | cbc s | glpsol s | minisat s |",
	"|---|--:|--:|--:|--:|--:|--:|--:|--:|--:|",
}

// readComparison parts the file into its words and the rows of its table.
func readComparison(t *testing.T) (words string, rows []string) {
	t.Helper()
	data, err := os.ReadFile(comparisonFile)
	if err != nil {
		t.Fatal(err)
	}
	words, table, found := strings.Cut(string(data), strings.Join(comparisonTable, "\n")+"\n")
	if !found {
		t.Fatalf("%s has no table with the head %q", comparisonFile, comparisonTable[0])
	}
	return words, strings.Split(strings.TrimSuffix(table, "\n"), "\n")
}

// writeComparison puts a table in place of the one in the file; instances that were
// not measured keep their rows.
func writeComparison(t *testing.T, table []string) {
	t.Helper()
	words, rows := readComparison(t)
	for _, row := range table[len(comparisonTable):] {
		same := func(old string) bool { return instanceOf(old) == instanceOf(row) }
		if i := slices.IndexFunc(rows, same); i >= 0 {
			rows[i] = row
		} else {
			rows = append(rows, row)
		}
	}
	text := words + strings.Join(slices.Concat(comparisonTable, rows), "\n") + "\n"
	if err := os.WriteFile(comparisonFile, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
}

// instanceOf is the first cell of a row.
func instanceOf(row string) string {
	return strings.TrimSpace(strings.SplitN(strings.TrimPrefix(row, "|"), "|", 2)[0])
}

// TestComparisonIsWhole: every instance of the comparison has a row in the file,
// with the optimum that is published.
func TestComparisonIsWhole(t *testing.T) {
	_, rows := readComparison(t)
	all := slices.Concat(separateInstances, coupledInstances)
	if len(rows) != len(all) {
		t.Errorf("%d rows, want %d", len(rows), len(all))
	}
	for i, name := range all {
		in, stock, problem := solve.PublishedInstance(t, name)
		want := fmt.Sprintf("| %s | %d | %d | %.6g |", name, stock.Len(), len(problem.Needs), in.Worst)
		if i >= len(rows) || !strings.HasPrefix(rows[i], want) {
			t.Errorf("row %d does not begin with %s", i+1, want)
		}
	}
}
