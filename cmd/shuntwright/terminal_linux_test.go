package main

import (
	"fmt"
	"os"
	"os/exec"
	"reflect"
	"runtime"
	"syscall"
	"testing"
)

// openTerminal opens a pseudo-terminal: what is written to person is typed at
// the terminal, and what the program says there is read from person.
func openTerminal(t *testing.T) (person, terminal *os.File) {
	t.Helper()
	person, err := os.OpenFile("/dev/ptmx", os.O_RDWR, 0)
	if err != nil {
		t.Skip("no pseudo-terminals here:", err)
	}
	t.Cleanup(func() { person.Close() })
	var locked, number int32
	for request, value := range map[uintptr]*int32{syscall.TIOCSPTLCK: &locked, syscall.TIOCGPTN: &number} {
		if _, _, wrong := syscall.Syscall(syscall.SYS_IOCTL, person.Fd(), request, reflect.ValueOf(value).Pointer()); wrong != 0 {
			t.Skip("no pseudo-terminals here:", wrong)
		}
		runtime.KeepAlive(value)
	}
	terminal, err = os.OpenFile(fmt.Sprintf("/dev/pts/%d", number), os.O_RDWR|syscall.O_NOCTTY, 0)
	if err != nil {
		t.Skip("no pseudo-terminals here:", err)
	}
	t.Cleanup(func() { terminal.Close() })
	return person, terminal
}

// atTerminal lets a process be the one at the terminal that is its standard
// input, so that Ctrl-C reaches it.
func atTerminal(cmd *exec.Cmd) { cmd.SysProcAttr = &syscall.SysProcAttr{Setsid: true, Setctty: true} }
