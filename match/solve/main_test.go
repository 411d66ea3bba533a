package solve

import (
	"flag"
	"os"
	"runtime/debug"
	"testing"
)

// TestMain lets garbage lie longer: in the small heaps of short searches collecting it
// takes a fifth of the time. Memory and times are measured as the program runs.
func TestMain(m *testing.M) {
	flag.Parse()
	if os.Getenv("SHUNTWRIGHT_SLOW") == "" && flag.Lookup("test.bench").Value.String() == "" {
		debug.SetGCPercent(400)
	}
	os.Exit(m.Run())
}
