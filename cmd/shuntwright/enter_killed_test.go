package main

import (
	"bufio"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"regexp"
	"testing"
	"time"
)

// TestKilledWhileEntering: the program is killed in the middle of entry, from a
// pipe and from a terminal: every acknowledged part is in the drawer once, none
// twice, and at most the one that was about to be acknowledged besides.
func TestKilledWhileEntering(t *testing.T) {
	rounds := 6
	if os.Getenv("SHUNTWRIGHT_SLOW") != "" {
		rounds = 1000
	}
	for name, enter := range map[string]func(*testing.T, string, func() string) (kill func() string){
		"pipe": enterByPipe, "terminal": enterAtTerminal,
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			const perDrawer = 50 // rounds, so that what is left of killed ones is met again
			random := rand.New(rand.NewPCG(1, 2))
			dir, acknowledged, killed := t.TempDir(), map[string]string{}, 0
			for round := range rounds {
				if round%perDrawer == perDrawer-1 {
					dir, acknowledged, killed = t.TempDir(), map[string]string{}, 0
				}
				n := 0
				said := enter(t, dir, func() string { n++; return fmt.Sprintf("%d.%03d", round+1, n) })
				time.Sleep(time.Duration(random.IntN(60)) * time.Millisecond)
				for _, found := range acknowledgement.FindAllStringSubmatch(said(), -1) {
					if other, twice := acknowledged[found[1]]; twice {
						t.Fatalf("round %d: %s is acknowledged as %s and as %s", round, found[1], other, found[2])
					}
					acknowledged[found[1]] = found[2]
				}
				killed++
				if len(acknowledged) > 0 {
					parts, found := holds(t, dir, acknowledged)
					if parts > found+killed {
						t.Fatalf("%d parts in the drawer after %d kills, of which %d were acknowledged", parts, killed, found)
					}
				}
			}
			t.Logf("%d parts acknowledged in the last %d rounds", len(acknowledged), killed)
		})
	}
}

// acknowledgement is an id and a reading at the beginning of a line, or behind
// the prompt.
var acknowledgement = regexp.MustCompile(`(?m)(?:^|reading: )(R[0-9]{3,}) ([0-9.]+)(?:: [^\n]*)?\n`)

// holds checks a drawer against what was acknowledged, and counts its parts and
// those of them that were.
func holds(t *testing.T, dir string, acknowledged map[string]string) (all, found int) {
	t.Helper()
	readings := map[string]string{}
	parts := drawerIn(t, dir)
	for _, p := range parts {
		if other, twice := readings[p.Ohms.Text]; twice {
			t.Fatalf("%s is in the drawer twice, as %s and %s", p.Ohms.Text, other, p.ID)
		}
		readings[p.Ohms.Text] = p.ID
		if said := acknowledged[p.ID]; said == p.Ohms.Text {
			found++
		} else if said != "" {
			t.Fatalf("%s is %s in the drawer and was acknowledged as %s", p.ID, p.Ohms.Text, said)
		}
	}
	if found != len(acknowledged) {
		t.Fatalf("%d parts were acknowledged, and %d of them are in the drawer", len(acknowledged), found)
	}
	return len(parts), found
}

// enterByPipe pipes readings into the program until it is killed.
func enterByPipe(t *testing.T, dir string, next func() string) (kill func() string) {
	t.Helper()
	cmd := exec.Command("shuntwright", "drawer", "add")
	cmd.Dir = dir
	in, err := cmd.StdinPipe()
	if err != nil {
		t.Fatal(err)
	}
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	go func() {
		for {
			if _, err := fmt.Fprintln(in, next()); err != nil {
				return
			}
		}
	}()
	first := bufio.NewReader(out)
	line, err := first.ReadString('\n') // it is at work
	if err != nil {
		t.Fatal(err)
	}
	return func() string {
		_ = cmd.Process.Kill()
		rest, _ := io.ReadAll(first)
		_ = cmd.Wait()
		return line + string(rest)
	}
}

// enterAtTerminal types readings at a terminal until the program is killed.
func enterAtTerminal(t *testing.T, dir string, next func() string) (kill func() string) {
	t.Helper()
	s := sitDown(t, dir, "drawer", "add")
	s.waits("reading: ")
	stop := make(chan struct{})
	go func() {
		for {
			select {
			case <-stop:
				return
			default:
				_, _ = s.person.WriteString(next() + "\n")
				time.Sleep(5 * time.Millisecond) // a terminal holds some lines only
			}
		}
	}()
	return func() string {
		s.kill()
		close(stop)
		s.ends()
		return s.heard()
	}
}
