package safefile

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"
)

// contents are what the process that is killed writes by turns: long enough
// to be seen half written.
var contents = [2][]byte{bytes.Repeat([]byte("old\n"), 1<<16), bytes.Repeat([]byte("newer\n"), 1<<16)}

const (
	victimFile = "SHUNTWRIGHT_TEST_VICTIM"
	ended      = 3 // exit code of a victim that could not go on
)

// TestMain lets the test binary be the process that is killed.
func TestMain(m *testing.M) {
	if path := os.Getenv(victimFile); path != "" {
		rewrite(path)
	}
	os.Exit(m.Run())
}

func rewrite(path string) {
	for i := 0; ; i++ {
		_, stamp, err := Read(path)
		if err == nil {
			_, err = Write(path, contents[i%2], stamp)
		}
		if err == nil && i%3 == 2 {
			err = Undo(path)
		}
		if err != nil {
			println(err.Error())
			os.Exit(ended)
		}
	}
}

// A process killed at any moment leaves the old file or the new one, whole,
// and the lock free.
func TestKilledProcessLeavesAWholeFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "d.csv")
	write(t, path, string(contents[0]))
	for kill := range 6 {
		victim := exec.Command(os.Args[0])
		victim.Env = append(os.Environ(), victimFile+"="+path)
		if err := victim.Start(); err != nil {
			t.Fatal(err)
		}
		time.Sleep(time.Duration(15+13*kill) * time.Millisecond)
		if err := victim.Process.Kill(); err != nil {
			t.Fatal(err)
		}
		if err := victim.Wait(); victim.ProcessState.ExitCode() == ended {
			t.Fatalf("the process ended by itself: %v", err)
		}
		for _, name := range []string{path, undoPath(path)} {
			data, err := os.ReadFile(name)
			if err != nil && name == path {
				t.Fatal(err)
			}
			if err == nil && !bytes.Equal(data, contents[0]) && !bytes.Equal(data, contents[1]) {
				t.Fatalf("kill %d: %s is neither old nor new: %d bytes", kill, filepath.Base(name), len(data))
			}
		}
	}
	change(t, path, "after it all")
	if got := read(t, path); got != "after it all" {
		t.Errorf("the file holds %q", got)
	}
	if names := list(t, filepath.Dir(path)); len(names) != 3 {
		t.Errorf("left behind: %q", names)
	}
}
