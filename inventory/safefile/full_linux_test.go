package safefile

import (
	"fmt"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
)

const fullAt = "SHUNTWRIGHT_TEST_FULL"

// The disk is full after so many bytes of each file: the change is refused
// whole, whichever file it was, or made whole.
func TestFullDisk(t *testing.T) {
	if at := os.Getenv(fullAt); at != "" {
		changeWithLimit(t, at)
		return
	}
	refused, all := 0, 0
	for at := 0; at < 2800; at += 180 {
		folder := t.TempDir()
		all++
		for _, name := range []string{"drawer.csv", "m.json"} {
			write(t, filepath.Join(folder, name), "old "+name)
		}
		child := exec.Command(os.Args[0], "-test.run=^TestFullDisk$")
		child.Env = append(os.Environ(), fmt.Sprintf("%s=%d %s", fullAt, at, folder))
		out, err := child.CombinedOutput()
		state := read(t, filepath.Join(folder, "drawer.csv"))[:3] + read(t, filepath.Join(folder, "m.json"))[:3]
		switch {
		case err == nil && state == "newnew":
		case err != nil && state == "oldold" && strings.Contains(string(out), "nothing was changed"):
			refused++
		default:
			t.Errorf("%d bytes: %s, %v, %s", at, state, err, out)
		}
		for _, name := range list(t, folder) {
			if strings.HasSuffix(name, ".new") {
				t.Errorf("%d bytes: left behind %q", at, name)
			}
		}
		change(t, folder, filepath.Join(folder, "drawer.csv"), "room again")
		want := map[bool]int{true: 2, false: 1}[err == nil]
		if back, _, err := journal(t, folder, "").Steps(); err != nil || len(back) != want {
			t.Errorf("%d bytes: %d steps, %v", at, len(back), err)
		}
	}
	if refused < 5 || refused > all-2 {
		t.Errorf("%d of %d refused: the limits miss what they are for", refused, all)
	}
}

func changeWithLimit(t *testing.T, at string) {
	text, folder, _ := strings.Cut(at, " ")
	limit, err := strconv.ParseUint(text, 10, 64)
	if err != nil {
		t.Fatal(err)
	}
	signal.Ignore(syscall.SIGXFSZ)
	if err := syscall.Setrlimit(syscall.RLIMIT_FSIZE, &syscall.Rlimit{Cur: limit, Max: limit}); err != nil {
		t.Fatal(err)
	}
	err = journal(t, folder, "fit").change(filepath.Join(folder, "drawer.csv"), "new"+strings.Repeat("d", 300), filepath.Join(folder, "m.json"), "new"+strings.Repeat("m", 900))
	if err != nil {
		fmt.Println(err)
		os.Exit(1)
	}
	os.Exit(0)
}

// A folder that nobody may write to refuses the change and loses nothing. The
// superuser may write everywhere, so the test goes on as somebody else.
func TestReadOnlyFolder(t *testing.T) {
	if folder := os.Getenv(fullAt); folder != "" {
		if os.Getuid() == 0 {
			if err := syscall.Setuid(65534); err != nil {
				t.Fatal(err)
			}
		}
		j, err := NewJournal(filepath.Join(folder, "drawer.csv"))
		if err == nil {
			j.Settle(t.Context())
			err = j.change(filepath.Join(folder, "drawer.csv"), "new")
		}
		fmt.Println(err)
		os.Exit(0)
	}
	folder := t.TempDir()
	path := filepath.Join(folder, "drawer.csv")
	write(t, path, "old")
	for _, mode := range []os.FileMode{0o555, 0o755} { // the folder, then the file
		if err := os.Chmod(folder, mode); err != nil {
			t.Fatal(err)
		}
		if err := os.Chmod(path, mode&^0o111&^0o200); err != nil {
			t.Fatal(err)
		}
		child := exec.Command(os.Args[0], "-test.run=^TestReadOnlyFolder$")
		child.Env = append(os.Environ(), fullAt+"="+folder)
		if os.Getuid() == 0 {
			open(t, folder)
			if mode == 0o755 {
				if err := os.Chown(folder, 65534, 65534); err != nil {
					t.Fatal(err)
				}
			}
		}
		out, err := child.CombinedOutput()
		if err != nil || !strings.Contains(string(out), "permission denied") || read(t, path) != "old" {
			t.Errorf("%v: %s, %v, the file holds %q", mode, out, err, read(t, path))
		}
	}
}

// open lets others come as far as a folder of the test.
func open(t *testing.T, folder string) {
	t.Helper()
	for at := filepath.Dir(folder); at != filepath.Dir(at) && at != os.TempDir(); at = filepath.Dir(at) {
		if err := os.Chmod(at, 0o755); err != nil {
			t.Fatal(err)
		}
	}
}
