package main

import (
	"fmt"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"
)

// writingCalls are a call of every command that writes, one after the other.
var writingCalls = []string{
	"drawer add 4.711 0.4712 --kind film",
	"drawer import list.csv",
	"drawer remeasure R001 0.405",
	"drawer remove R001",
	"drawer change R002 R003 --watts 0.5 --kind carbon",
	`drawer instrument bridge --accuracy "0.1 %" --wires 4`,
	`meter new new.json --full-scale 1mA --coil 98.6 --shunt "10 mA"`,
	`fit new.json "shunt 10 mA" R063`,
	"movement drop --current 1.000mA --drop 98.7mV --write new.json",
	"movement half --series 10k --shunt 98.5 --write new.json",
	"movement compare --series 3k,5k --reads 45.1,28.1 --write new.json",
	`meter change new.json --name other --coil 99 --rename "10 mA=12 mA" --multiplier "15 V"`,
	"plan meter.json --sheet plan.html",
	"fit meter.json",
	"sheet meter.json",
	"sheet meter.json --force --date 2024-05-31",
	"meter show meter.json --output wiring.svg",
	`unfit meter.json "multiplier 50 V"`,
	`fit meter.json "multiplier 50 V" "R041 + 1Mohm"`,
	"check meter.json given.csv --save --date 2024-05-31",
	"demo --write a/b",
}

// TestUndoEveryCommand: after every command that writes, undo leaves every byte
// as it was before, and redo as it was after; and all of them together.
func TestUndoEveryCommand(t *testing.T) {
	t.Chdir(t.TempDir())
	do(t, "demo --write .")
	put(t, ".", "list.csv", "ohms,own\n77.7,x\n")
	put(t, ".", "given.csv", "range,reference,indicated\n50 V,50 V,50.5 V\n")
	start := written(t)
	done := map[string]bool{}
	for _, line := range writingCalls {
		before := written(t)
		s := program(words(line)...)
		if s.code == exitWrong {
			t.Fatalf("%s: %s", line, s.err)
		}
		done[words(line)[0]], done[strings.Join(words(line)[:2], " ")] = true, true
		after := written(t)
		if maps.Equal(before, after) {
			t.Errorf("%s wrote nothing", line)
		}
		for _, step := range []struct {
			command string
			want    map[string]string
		}{{"undo", before}, {"redo", after}} {
			if s := program(step.command); s.code != exitGood || !strings.Contains(s.out, words(line)[0]) {
				t.Fatalf("%s after %s: %+v", step.command, line, s)
			}
			if is := written(t); !maps.Equal(is, step.want) {
				t.Errorf("%s after %s:\n%s", step.command, line, differing(step.want, is))
			}
		}
	}
	end := written(t)
	for _, step := range []struct {
		command string
		want    map[string]string
	}{{"undo", start}, {"redo", end}} {
		if s := program(step.command, fmt.Sprint(len(writingCalls))); s.code != exitGood {
			t.Fatalf("%+v", s)
		}
		if is := written(t); !maps.Equal(is, step.want) {
			t.Errorf("all by %s:\n%s", step.command, differing(step.want, is))
		}
	}
	for _, c := range commands() {
		writes := slices.ContainsFunc([]string{"wait", "output", "sheet", "write/meter"}, func(flag string) bool { return slices.Contains(c.flags, flag) })
		if writes && !done[c.name] && c.name != "undo" && c.name != "redo" {
			t.Errorf("%s writes and is not tried", c.name)
		}
	}
}

// written holds every file below the current folder but the program's own.
func written(t *testing.T) map[string]string {
	files := filesIn(checking{t}, ".")
	maps.DeleteFunc(files, func(path, _ string) bool { return strings.Contains(path, ".shuntwright.") })
	return files
}

type checking struct{ testing.TB }

func (c checking) Check(err error) {
	if err != nil {
		c.Fatal(err)
	}
}

// process is the program as a process of its own, in a folder.
func process(t *testing.T, folder string, args ...string) *exec.Cmd {
	t.Helper()
	name := filepath.Join(t.TempDir(), "shuntwright")
	if err := os.Symlink(os.Args[0], name); err != nil {
		t.Skip("no symbolic links here: ", err)
	}
	cmd := exec.Command(name, args...)
	cmd.Dir = folder
	return cmd
}

// howOften is how many times something is tried that takes long.
func howOften(usually, slow int) int {
	if os.Getenv("SHUNTWRIGHT_SLOW") != "" {
		return slow
	}
	return usually
}

// TestFourProgramsAtOnce: every part that one of four programs at once adds
// arrives, once.
func TestFourProgramsAtOnce(t *testing.T) {
	folder, each := t.TempDir(), howOften(4, 50)
	var all sync.WaitGroup
	for w := range 4 {
		all.Go(func() {
			for i := range each {
				if out, err := process(t, folder, "drawer", "add", fmt.Sprintf("%d%03d", w+1, i), "--wait", "1m").CombinedOutput(); err != nil {
					t.Errorf("%v: %s", err, out)
				}
			}
		})
	}
	all.Wait()
	data, err := os.ReadFile(filepath.Join(folder, "drawer.csv"))
	if err != nil {
		t.Fatal(err)
	}
	for w := range 4 {
		for i := range each {
			if n := strings.Count(string(data), fmt.Sprintf(",%d%03d,", w+1, i)); n != 1 {
				t.Errorf("part %d of program %d is there %d times", i, w+1, n)
			}
		}
	}
}

// TestKilledProgram: a program that is killed at any moment has added its part
// or not, and fitted it in both files or in neither; what it said it did is
// done.
func TestKilledProgram(t *testing.T) {
	folder := t.TempDir()
	put(t, folder, "m.json", `{"name": "m", "movement": {"full_scale": "1 mA", "coil": "98.6 ohm"}, "circuits": [{"circuit": "shunt", "range": "5 mA"}]}`)
	finish := func(args ...string) {
		t.Helper()
		if out, err := process(t, folder, args...).CombinedOutput(); err != nil {
			t.Fatalf("%v: %s", err, out)
		}
	}
	finish("drawer", "add", "24.6")
	start := time.Now()
	finish("drawer", "add", "24.7")
	takes := time.Since(start)
	for kill := range howOften(20, 1000) {
		value := fmt.Sprint(10000 + kill)
		calls := [][]string{{"drawer", "add", value}, {"fit", "m.json", "shunt 5 mA", "R001"}, {"unfit", "m.json", "shunt 5 mA"}}
		call := calls[kill%3]
		cmd := process(t, folder, call...)
		var out strings.Builder
		cmd.Stdout = &out
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		time.Sleep(takes * time.Duration(kill*7919%1000) / 900)
		_ = cmd.Process.Kill() // where it has not ended by itself
		_ = cmd.Wait()
		s := program("predict", filepath.Join(folder, "m.json"), "--drawer", filepath.Join(folder, "drawer.csv"))
		if s.code == exitWrong || strings.Contains(s.out, "by the drawer") || strings.Contains(s.out, "stands in the meter file") {
			t.Fatalf("kill %d, %q: %+v", kill, call, s)
		}
		data, err := os.ReadFile(filepath.Join(folder, "drawer.csv"))
		if err != nil {
			t.Fatal(err)
		}
		said, n := out.Len() > 0, strings.Count(string(data), ","+value+",")
		if call[1] == "add" && (n > 1 || said && n != 1) {
			t.Fatalf("kill %d: acknowledged %v, there %d times", kill, said, n)
		}
	}
}
