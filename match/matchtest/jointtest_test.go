package matchtest

import (
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

const root = "../.."

// Every folder can be read, has no error where every position is on its target,
// and does what a Response must.
func TestEveryInstance(t *testing.T) {
	folders, err := os.ReadDir(filepath.Join(root, "testdata", "joint"))
	if err != nil {
		t.Fatal(err)
	}
	count := 0
	for _, folder := range folders {
		if !folder.IsDir() {
			continue
		}
		count++
		in, err := Read(root, folder.Name())
		if err != nil {
			t.Fatal(err)
		}
		m := in.Meter
		errors := make([]float64, len(m.Kinds))
		m.Errors(errors, m.Targets)
		for r, e := range errors {
			if !(math.Abs(e) < 1e-9) {
				t.Errorf("%s: range %d is off by %v %% on its target", folder.Name(), r, e)
			}
		}
		n := len(m.Kinds)
		Check(t, m, n, n, func(rng *rand.Rand) []float64 {
			ohms := make([]float64, n)
			for i := range ohms {
				ohms[i] = m.Targets[i] * (0.8 + 0.4*rng.Float64())
			}
			return ohms
		}, 50)
		if m.Coupled() != (strings.Contains(folder.Name(), "ring") || strings.Contains(folder.Name(), "chain")) {
			t.Errorf("%s: coupled %v", folder.Name(), m.Coupled())
		}
		if in.Parts < 1 || in.Filled < 1 || in.Filled > n || len(in.Ohms) < 2 || !(in.WithinPercent > 0) || in.Columns < 1 {
			t.Errorf("%s: %+v", folder.Name(), in)
		}
	}
	if count < 40 {
		t.Errorf("%d folders", count)
	}
}

func TestBadFiles(t *testing.T) {
	if _, err := Read(root, "none"); err == nil {
		t.Error("a folder that is not there: no error")
	}
	for name, content := range map[string]string{"meter.json": `{"movement": {"full_scale": "1 furlong"}}`, "answer.json": "{", "drawer.csv": "id,ohms\nR1,x\n"} {
		dir := t.TempDir()
		folder := filepath.Join(dir, "testdata", "joint", "bad")
		if err := os.CopyFS(folder, os.DirFS(filepath.Join(root, "testdata", "joint", "chain-12-3"))); err != nil {
			t.Fatal(err)
		}
		if _, err := Read(dir, "bad"); err != nil {
			t.Error(err)
		}
		if err := os.WriteFile(filepath.Join(folder, name), []byte(content), 0o644); err != nil {
			t.Fatal(err)
		}
		if _, err := Read(dir, "bad"); err == nil {
			t.Errorf("%s with %q: no error", name, content)
		}
	}
}
