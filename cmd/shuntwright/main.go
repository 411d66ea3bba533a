// Command shuntwright matches measured resistors to the shunts and multipliers
// of panel meters and says how true every range will then read.
package main

import (
	"context"
	"os"
	"os/signal"
	"strconv"
	"strings"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	code := run(ctx, surroundings(), os.Args[1:], os.Stdin, os.Stdout, os.Stderr)
	stop()
	os.Exit(code)
}

// env is what the program takes from its surroundings besides its arguments.
type env struct {
	// getenv gives an environment variable, empty where it is not set.
	getenv func(string) string
	// asks tells that a person types at standard input.
	asks bool
	// paints tells that standard output is a terminal.
	paints bool
	// watches tells that a person looks at standard error.
	watches bool
}

// defaultWidth is the width of a table where nobody says another.
const defaultWidth = 80

// surroundings looks at the real process.
func surroundings() env {
	return env{
		getenv:  os.Getenv,
		asks:    isTerminal(os.Stdin),
		paints:  isTerminal(os.Stdout),
		watches: isTerminal(os.Stderr),
	}
}

// isTerminal takes every character device for a terminal: only the standard
// library is needed for it, and nobody reads what goes to the null device. That
// one is told by what it is, because standard input has a name of its own.
func isTerminal(file *os.File) bool {
	info, err := file.Stat()
	if err != nil || info.Mode()&os.ModeCharDevice == 0 {
		return false
	}
	null, err := os.Stat(os.DevNull)
	return err != nil || !os.SameFile(info, null)
}

// width is the number of columns a table may take.
func (e env) width() int {
	if columns, err := strconv.Atoi(e.getenv("COLUMNS")); err == nil && columns >= 40 {
		return columns
	}
	return defaultWidth
}

// color tells whether standard output may be painted.
func (e env) color() bool {
	return e.paints && e.getenv("NO_COLOR") == "" && e.getenv("TERM") != "dumb"
}

// plain tells that standard output takes no UTF-8, by the locale: the first of
// these variables that is set decides, and where none is, nothing speaks
// against it.
func (e env) plain() bool {
	for _, name := range []string{"LC_ALL", "LC_CTYPE", "LANG"} {
		if locale := strings.ToLower(e.getenv(name)); locale != "" {
			return !strings.Contains(locale, "utf-8") && !strings.Contains(locale, "utf8")
		}
	}
	return false
}
