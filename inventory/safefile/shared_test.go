package safefile

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"testing"
)

// Who may write to the folder may write to lock and journal, and nobody else: undo
// restores what the journal says.
func TestWhoMayWrite(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("Windows keeps no such modes")
	}
	for folderMode, want := range map[fs.FileMode]fs.FileMode{0o755: 0o644, 0o775: 0o664, 0o777: 0o666} {
		t.Run(fmt.Sprintf("%o", folderMode), func(t *testing.T) {
			folder := t.TempDir()
			if err := os.Chmod(folder, folderMode); err != nil {
				t.Fatal(err)
			}
			change(t, folder, filepath.Join(folder, "drawer.csv"), "one")
			for _, name := range []string{journalName, lockName} {
				if info, err := os.Stat(filepath.Join(folder, name)); err != nil || info.Mode().Perm() != want {
					t.Errorf("%s has %v, %v, want %o", name, info.Mode(), err, want)
				}
			}
		})
	}
}
