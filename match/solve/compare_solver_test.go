package solve_test

import (
	"context"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
)

// solver is a general program that answers feasibility problems.
type solver struct {
	name  string
	write func(program, io.Writer) error
	args  func(model, answer string, rows bool) []string
	// read finds the chosen variables in the answer file or what was printed;
	// feasible is false only where the solver says that there is no choice.
	read func(printed, answer string) (variables []int, feasible bool, err error)
	rows bool // takes rows with coefficients
	step float64
}

// generalSolvers are those that the comparison asks. Step is the part of the
// worst error, for rings and chains, that the last question goes below the best
// choice: not less than what the solver can tell apart.
var generalSolvers = []solver{
	{name: "cbc", write: program.writeLP, read: readCBC, rows: true, step: 1e-7, args: func(model, answer string, rows bool) []string {
		tight := []string{"-primalTolerance", "1e-9", "-integerTolerance", "1e-9"}
		if !rows {
			tight = nil
		}
		return slices.Concat([]string{model}, tight, []string{"-solve", "-solution", answer})
	}},
	{name: "glpsol", write: program.writeLP, read: readGLPK, rows: true, step: 2e-4, args: func(model, answer string, _ bool) []string {
		return []string{"--lp", model, "-w", answer}
	}},
	{name: "minisat", write: program.writeCNF, read: readMiniSat, args: func(model, answer string, _ bool) []string {
		return []string{"-verb=0", model, answer}
	}},
}

// solve writes the problem into the folder, runs the solver and returns the
// chosen column of each position; feasible is false where there is no choice.
func (s solver) solve(ctx context.Context, dir string, p program) (chosen []int, feasible bool, err error) {
	if slices.ContainsFunc(p.lists, func(list []column) bool { return len(list) == 0 }) {
		return nil, false, nil
	}
	model, answer := filepath.Join(dir, "model.lp"), filepath.Join(dir, "answer.txt")
	f, err := os.Create(model)
	if err != nil {
		return nil, false, err
	}
	err = s.write(p, f)
	if closed := f.Close(); err == nil {
		err = closed
	}
	if err != nil {
		return nil, false, err
	}
	os.Remove(answer)
	printed, failed := exec.CommandContext(ctx, s.name, s.args(model, answer, p.rows != nil)...).CombinedOutput()
	if ctx.Err() != nil {
		return nil, false, ctx.Err()
	}
	text, err := os.ReadFile(answer)
	if err != nil {
		return nil, false, fmt.Errorf("%s: %w, %w: %s", s.name, failed, err, printed)
	}
	variables, feasible, err := s.read(string(printed), string(text))
	if err != nil || !feasible {
		return nil, false, err
	}
	chosen, err = p.chosen(variables)
	return chosen, err == nil, err
}

// chosen turns variables into one column a position, and says what is wrong
// with them if that is no choice.
func (p program) chosen(variables []int) ([]int, error) {
	first := p.first()
	chosen := slices.Repeat([]int{-1}, len(p.lists))
	for i := range chosen {
		for _, v := range variables {
			if v >= first[i] && v < first[i+1] {
				chosen[i] = v - first[i]
			}
		}
		if chosen[i] < 0 {
			return nil, fmt.Errorf("no column for position %d", i+1)
		}
	}
	used := map[int32]bool{}
	for i, j := range chosen {
		for _, part := range p.lists[i][j].parts {
			if used[part] {
				return nil, fmt.Errorf("part %d is used twice", part+1)
			}
			used[part] = true
		}
	}
	return chosen, nil
}

// readCBC reads a solution file: a line with the status, then lines of index,
// name, value and reduced cost of what is not zero.
func readCBC(_, answer string) (variables []int, feasible bool, err error) {
	status, rest, _ := strings.Cut(answer, "\n")
	switch {
	case strings.HasPrefix(status, "Infeasible"), strings.HasPrefix(status, "Integer infeasible"):
		return nil, false, nil
	case !strings.HasPrefix(status, "Optimal"):
		return nil, false, fmt.Errorf("cbc: status %q", status)
	}
	for line := range strings.Lines(rest) {
		fields := strings.Fields(strings.TrimPrefix(line, "**"))
		if len(fields) >= 3 && fields[2] != "0" {
			if variables, err = appendChosen(variables, strings.TrimPrefix(fields[1], "x"), fields[2]); err != nil {
				return nil, false, err
			}
		}
	}
	return variables, true, nil
}

// readGLPK reads a plain solution file; its presolver says only in print that
// there is no solution.
func readGLPK(printed, answer string) (variables []int, feasible bool, err error) {
	for _, no := range []string{"NO PRIMAL FEASIBLE", "NO INTEGER FEASIBLE", "NO FEASIBLE"} {
		if strings.Contains(printed, no) {
			return nil, false, nil
		}
	}
	status := ""
	for line := range strings.Lines(answer) {
		fields := strings.Fields(line)
		switch {
		case len(fields) == 6 && fields[0] == "s":
			status = fields[4]
		case len(fields) == 3 && fields[0] == "j":
			if variables, err = appendChosen(variables, fields[1], fields[2]); err != nil {
				return nil, false, err
			}
		}
	}
	switch status {
	case "n":
		return nil, false, nil
	case "o":
		return variables, true, nil
	}
	return nil, false, fmt.Errorf("glpsol: status %q: %s", status, printed)
}

func appendChosen(variables []int, number, value string) ([]int, error) {
	v, err := strconv.ParseFloat(value, 64)
	if err != nil || v < 0.5 {
		return variables, err
	}
	k, err := strconv.Atoi(number)
	return append(variables, k), err
}

// readMiniSat reads the result file: SAT and the literals, or UNSAT. Where a
// position has several columns that fit, any of them does.
func readMiniSat(_, answer string) (variables []int, feasible bool, err error) {
	status, literals, _ := strings.Cut(answer, "\n")
	switch status {
	case "UNSAT":
		return nil, false, nil
	case "SAT":
		for _, f := range strings.Fields(literals) {
			k, err := strconv.Atoi(f)
			if err != nil {
				return nil, false, err
			}
			if k > 0 {
				variables = append(variables, k)
			}
		}
		return variables, true, nil
	}
	return nil, false, fmt.Errorf("minisat: status %q", status)
}
