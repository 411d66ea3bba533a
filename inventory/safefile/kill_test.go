package safefile

import (
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"
)

const (
	victimFolder = "SHUNTWRIGHT_TEST_VICTIM"
	ended        = 3 // exit code of a victim that could not go on
)

// TestMain lets the test binary be the process that is killed.
func TestMain(m *testing.M) {
	if folder := os.Getenv(victimFolder); folder != "" {
		rewrite(folder)
	}
	os.Exit(m.Run())
}

// rewrite changes three files together, again and again: the number in one is
// always the number in the others, and large makes it likely to be killed
// between them. Every third change it takes back, and counts on from there.
func rewrite(folder string) {
	path := func(name string) string { return filepath.Join(folder, name) }
	var t testing.T // nothing of it is used where nothing fails
	for i := 0; ; i++ {
		j := journal(&t, folder, "count")
		data, err := os.ReadFile(path("a"))
		first, _, _ := strings.Cut(string(data), "\n")
		n, _ := strconv.Atoi(first)
		if err == nil {
			err = j.change(path("a"), numbered(n+1), path("b"), numbered(n+1), path("c"), strings.Repeat("x", n%2)+numbered(n+1))
		}
		if err == nil {
			fmt.Println(n + 1) // acknowledged
		}
		if err == nil && i%3 == 2 {
			fmt.Println(n, "back")
			_, _, err = move(&t, folder, -1)
		}
		if err != nil {
			println(err.Error())
			os.Exit(ended)
		}
	}
}

func numbered(n int) string { return fmt.Sprintln(n) + strings.Repeat("row\n", 1<<14) }

// A process killed at any moment leaves all files old, or, after the next
// call, all new; what it said was written is.
func TestKilledProcess(t *testing.T) {
	kills := 12
	if os.Getenv("SHUNTWRIGHT_SLOW") != "" {
		kills = 1000
	}
	folder := t.TempDir()
	path := func(name string) string { return filepath.Join(folder, name) }
	for _, name := range []string{"a", "b", "c"} {
		write(t, path(name), numbered(0))
	}
	completed, dropped := 0, 0
	for kill := range kills {
		victim := exec.Command(os.Args[0])
		victim.Env = append(os.Environ(), victimFolder+"="+folder)
		victim.Stderr = os.Stderr
		out, err := victim.StdoutPipe()
		if err != nil {
			t.Fatal(err)
		}
		if err := victim.Start(); err != nil {
			t.Fatal(err)
		}
		first := make([]byte, 1)
		if _, err := io.ReadFull(out, first); err != nil {
			t.Fatal(err)
		}
		time.Sleep(time.Duration(kill*7919%40000) * time.Microsecond)
		if err := victim.Process.Kill(); err != nil {
			t.Fatal(err)
		}
		rest, err := io.ReadAll(out)
		if err != nil {
			t.Fatal(err)
		}
		if err := victim.Wait(); victim.ProcessState.ExitCode() == ended {
			t.Fatalf("the process ended by itself: %v", err)
		}
		e, err := readEnd(folder)
		if err != nil {
			t.Fatal(err)
		}
		before := number(t, path("a"))
		journal(t, folder, "look").Settle(t.Context())
		a, b, c := number(t, path("a")), number(t, path("b")), number(t, path("c"))
		if a != b || b != c || read(t, path("b")) != numbered(a) {
			t.Fatalf("kill %d: the files hold %d, %d and %d", kill, a, b, c)
		}
		if !e.settled() && a == before {
			dropped++
		} else if !e.settled() {
			completed++
		}
		acknowledged(t, string(first)+string(rest), a)
	}
	t.Logf("%d kills: %d interrupted changes were completed or had reached the last file, %d not", kills, completed, dropped)
	for _, name := range list(t, folder) {
		if strings.HasSuffix(name, ".new") {
			change(t, folder, path("a"), "the end", path("b"), "the end", path("c"), "the end")
			break
		}
	}
	if names := list(t, folder); len(names) != 5 {
		t.Errorf("left behind: %q", names)
	}
}

// acknowledged holds the last whole line that a victim printed against what the
// file holds: that number, or the next, or the one before where an undo began.
func acknowledged(t *testing.T, said string, is int) {
	t.Helper()
	whole := said[:strings.LastIndexByte(said, '\n')+1]
	lines := strings.Split(strings.TrimSpace(whole), "\n")
	last := lines[len(lines)-1]
	if last == "" {
		return
	}
	text, back := strings.CutSuffix(last, " back")
	n, err := strconv.Atoi(text)
	if err != nil {
		t.Fatalf("the victim said %q", last)
	}
	if is != n && is != n+1 {
		t.Fatalf("acknowledged %q (back: %v), the file holds %d", last, back, is)
	}
}

// number is the number that a file begins with.
func number(t *testing.T, path string) int {
	t.Helper()
	first, _, _ := strings.Cut(strings.TrimLeft(read(t, path), "x"), "\n")
	n, err := strconv.Atoi(first)
	if err != nil {
		t.Fatalf("%s begins with %q", filepath.Base(path), first)
	}
	return n
}
