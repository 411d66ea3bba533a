package main

import (
	"os"
	"testing"
)

// TestNullDeviceIsNoTerminal: nobody types at the null device, by whatever name
// it is open: standard input is called so where it is redirected too.
func TestNullDeviceIsNoTerminal(t *testing.T) {
	stdin := t.TempDir() + "/stdin"
	if err := os.Symlink(os.DevNull, stdin); err != nil {
		t.Skipf("no symbolic links here: %v", err)
	}
	for _, name := range []string{os.DevNull, stdin} {
		null, err := os.Open(name)
		if err != nil {
			t.Fatal(err)
		}
		defer null.Close()
		if isTerminal(null) {
			t.Errorf("%s is taken for a terminal", name)
		}
	}
	plain, err := os.Create(t.TempDir() + "/file")
	if err != nil {
		t.Fatal(err)
	}
	defer plain.Close()
	if isTerminal(plain) {
		t.Error("a file is taken for a terminal")
	}
}
