package main

import (
	"bytes"
	"context"
	_ "embed"
	"encoding/json"
	"fmt"
	"html"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"
)

// browser runs a headless Chromium with arguments and returns its standard
// output. The test is skipped where there is none.
func browser(t *testing.T, args ...string) []byte {
	t.Helper()
	path := ""
	for _, name := range []string{"chromium", "chromium-browser", "chrome-headless-shell"} {
		if found, err := exec.LookPath(name); err == nil {
			path = found
			break
		}
	}
	if path == "" {
		t.Skip("no chromium here: install the Debian package chromium")
	}
	usual := []string{"--headless", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--user-data-dir=" + t.TempDir()}
	for try := 1; ; try++ {
		ctx, stop := context.WithTimeout(context.Background(), 2*time.Minute)
		var errs bytes.Buffer
		call := exec.CommandContext(ctx, path, append(usual, args...)...)
		call.Stderr, call.WaitDelay = &errs, 5*time.Second
		out, err := call.Output()
		stop()
		if err == nil {
			return out
		}
		if try == 3 { // a browser that dies by itself is not what is tested
			t.Fatalf("%s: %v\n%s", path, err, errs.String())
		}
	}
}

// sheetsForBrowser are sheets of all sorts, by name.
func sheetsForBrowser(t *testing.T) map[string]string {
	t.Helper()
	dir := t.TempDir()
	t.Chdir(dir)
	out := map[string]string{"hostile names": ""}
	do := func(args ...string) {
		t.Helper()
		if s := program(args...); s.code == exitWrong {
			t.Fatalf("shuntwright %s: %s", strings.Join(args, " "), s.err)
		}
	}
	keep := func(name, path string) {
		t.Helper()
		page, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		out[name] = string(page)
	}
	do("demo", "--write", ".")
	do("plan", "meter.json", "--sheet", "plan.html")
	keep("plan", "plan.html")
	do("fit", "meter.json")
	do("sheet", "meter.json", "--date", "2024-05-31")
	keep("demo", "meter.html")
	do("check", "meter.json", "readings.csv", "--save", "--date", "2024-05-31", "--as", "found")
	do("check", "meter.json", "readings.csv", "--save", "--date", "2025-05-31", "--as", "left")
	do("sheet", "meter.json", "readings.csv", "--output", "read.html", "--reference-limit", "0.2 % + 1 count")
	keep("readings and visits", "read.html")
	do("meter", "new", "twelve.json", "--full-scale", "500uA", "--coil", "186.4", "--divisions", "50", "--class", "2.5",
		"--shunt", "1 mA,5 mA,10 mA,50 mA,100 mA", "--shunt", "plate 250 mA,circuit-volts=600V", "--multiplier", "1 V,5 V,10 V,50 V,250 V,500 V")
	do("plan", "twelve.json", "--within", "60", "--sheet", "twelve.html")
	keep("twelve ranges planned", "twelve.html")
	do("fit", "twelve.json", "--within", "60", "--drawer", "drawer.csv")
	read := put(t, dir, "twelve.csv", readOnTwelve())
	do("check", "twelve.json", read, "--save", "--date", "2024-05-31", "--as", "found")
	do("check", "twelve.json", read, "--save", "--date", "2025-05-31", "--as", "left")
	do("sheet", "twelve.json", read, "--output", "twelve-read.html")
	keep("twelve ranges, readings and visits", "twelve-read.html")
	do("meter", "new", "multi.json", "--full-scale", "50uA", "--coil", "2150", "--divisions", "50", "--class", "2.5",
		"--ring", "100 uA,1 mA,10 mA,100 mA,500 mA", "--chain", "0.5 V,2.5 V,10 V,50 V,250 V,1000 V,with-ring=100 uA")
	do("plan", "multi.json", "--sheet", "multi.html")
	keep("multimeter", "multi.html")
	do("meter", "new", "open.json", "--full-scale", "1mA", "--coil", "98.6", "--direct", "1 mA", "--multiplier", "15 V",
		"--external-shunt", "plate 200 mA,shunt=0.5ohm", "--external-shunt", "screen 20 mA,series=900ohm", "--external-shunt", "500 mA,drop=150mV")
	do("sheet", "open.json")
	keep("open positions, no class", "open.html")
	do("meter", "new", "kinds.json", "--full-scale", "1mA", "--coil", "98.6", "--swamp", "20", "--divisions", "50", "--class", "2.5", "--direct", "1 mA",
		"--shunt", "grid 5 mA,circuit-volts=300V", "--multiplier", "150 V", "--multiplier", "through 20 V,with-ring=10 mA", "--ring", "10 mA,100 mA,1 A",
		"--chain", "3 V,30 V,with-ring=100 mA", "--external-shunt", "screen 20 mA,series=900ohm", "--external-shunt", "plate 500 mA,drop=150mV")
	put(t, dir, "kinds.csv", "id,ohms,watts,volts,place\nR1,19.9,0.5,350,tin A\nR2,20.1,0.5,350,tin B\nR3,9.98,0.5,350,tin A\nR4,9.2,,,\nR5,1.02,0.25,250,reel\nR6,149900,0.5,350,tin C\n")
	for position, network := range map[string]string{"shunt grid 5 mA": "(R1 || 40.2 ohm) + (R2 || 39.8 ohm)", "ring 10 mA": "R3 + (R4 || 9.1 ohm)", "chain 3 V": "820 ohm + 680 ohm + 470 ohm + 390 ohm",
		"ring 100 mA": "R5 || 4.7 ohm || 10 ohm || 22 ohm", "multiplier 150 V": "(R6 + 150k ohm) || (149k ohm + 151k ohm)"} {
		do("fit", "kinds.json", position, network, "--drawer", "kinds.csv")
	}
	do("sheet", "kinds.json", "--drawer", "kinds.csv")
	keep("every kind", "kinds.html")
	out["hostile names"] = hostileSheet(t)
	return out
}

// readOnTwelve are readings of twelve ranges, all a little high.
func readOnTwelve() string {
	out := "range,reference,indicated\n"
	for i, name := range []string{"1 mA", "5 mA", "10 mA", "50 mA", "100 mA", "plate 250 mA", "1 V", "5 V", "10 V", "50 V", "250 V", "500 V"} {
		full, _ := strconv.ParseFloat(strings.Fields(strings.TrimPrefix(name, "plate "))[0], 64)
		for k := 1; k <= 5; k++ {
			if i == 0 || k%2 == 1 {
				out += fmt.Sprintf("%s,%g,%.1f div\n", name, full*float64(k)/5, 10.1*float64(k))
			}
		}
	}
	return out
}

// TestSheetInBrowser has sheets of all sorts measured in a browser, printed and
// held against a validator.
func TestSheetInBrowser(t *testing.T) {
	if os.Getenv("SHUNTWRIGHT_SLOW") == "" {
		t.Skip("starts a browser; set SHUNTWRIGHT_SLOW=1")
	}
	sheets := sheetsForBrowser(t)
	t.Run("measured", func(t *testing.T) { measured(t, sheets) })
	t.Run("printed", func(t *testing.T) { printed(t, sheets) })
	t.Run("valid", func(t *testing.T) { valid(t, sheets) })
}

//go:embed testdata/measure.js
var measureScript string

// seen is what the browser measures of a page at a width.
type seen struct {
	Name         string
	Width        int
	ScrollWidth  int
	Requests     int
	Overlapping  []string
	Overflowing  []string
	LowContrast  []string
	SmallestText float64 // CSS pixels
}

// measured: at 390 and 1280 pixels, and as printed, no page is wider than its
// window, nothing overlaps or runs out of its cell, text stands out at least
// 4.5 : 1, and no request leaves the page. In print text is 7 point high at least.
func measured(t *testing.T, sheets map[string]string) {
	const printed = 740 // A4 between the margins of the sheet
	var frames strings.Builder
	for name, page := range sheets {
		for _, width := range []int{390, 1280, printed} {
			shown := page
			if width == printed {
				shown = strings.ReplaceAll(strings.ReplaceAll(page, "@media print", "@media all"), "@media (m", "@media print and (m")
			}
			fmt.Fprintf(&frames, "<iframe name=\"%s\" style=\"width:%dpx;height:900px;border:0\" srcdoc=\"%s\"></iframe>\n", html.EscapeString(name), width, html.EscapeString(shown))
		}
	}
	harness := put(t, t.TempDir(), "harness.html", "<!DOCTYPE html><meta charset=\"utf-8\"><body>"+frames.String()+"<script>"+measureScript+"</script>")
	dom := browser(t, "--virtual-time-budget=20000", "--dump-dom", "file://"+harness)
	found := regexp.MustCompile(`(?s)<pre id="measured">(.*?)</pre>`).FindSubmatch(dom)
	if found == nil {
		t.Fatalf("the browser measured nothing: %d bytes", len(dom))
	}
	var all []seen
	if err := json.Unmarshal([]byte(html.UnescapeString(string(found[1]))), &all); err != nil {
		t.Fatal(err)
	}
	if len(all) != 3*len(sheets) {
		t.Fatalf("%d pages measured, want %d", len(all), 3*len(sheets))
	}
	for _, s := range all {
		what := fmt.Sprintf("%s at %d px", s.Name, s.Width)
		if s.ScrollWidth > s.Width {
			t.Errorf("%s: %d px wide", what, s.ScrollWidth)
		}
		if s.Requests > 0 {
			t.Errorf("%s: %d requests", what, s.Requests)
		}
		for list, texts := range map[string][]string{"overlap": s.Overlapping, "run over": s.Overflowing, "hardly stand out": s.LowContrast} {
			if len(texts) > 0 {
				t.Errorf("%s: %d %s: %s", what, len(texts), list, strings.Join(texts[:min(3, len(texts))], "; "))
			}
		}
		const sevenPoint = 7.0 * 96 / 72
		if s.Width == printed && s.SmallestText < sevenPoint-1e-3 {
			t.Errorf("%s: text of %.2f px, less than 7 point", what, s.SmallestText)
		}
	}
}

// printed: one or two pages of A4 and of Letter, for up to twelve ranges.
func printed(t *testing.T, sheets map[string]string) {
	for name, papers := range map[string][]string{"demo": {"A4"}, "readings and visits": {"letter"}, "twelve ranges planned": {"letter"},
		"twelve ranges, readings and visits": {"A4", "letter"}, "multimeter": {"A4"}, "every kind": {"letter"}} {
		for _, paper := range papers {
			page := strings.Replace(sheets[name], "@page { ", "@page { size: "+paper+"; ", 1)
			file := put(t, t.TempDir(), "sheet.html", page)
			pdf := filepath.Join(filepath.Dir(file), "sheet.pdf")
			browser(t, "--no-pdf-header-footer", "--print-to-pdf="+pdf, "file://"+file)
			data, err := os.ReadFile(pdf)
			if err != nil {
				t.Fatal(err)
			}
			if pages := len(regexp.MustCompile(`/Type /Page\b`).FindAll(data, -1)); pages < 1 || pages > 2 {
				t.Errorf("%s on %s: %d pages", name, paper, pages)
			}
		}
	}
}

// valid: the validator of .ci/run, where it is, finds nothing in any sheet.
func valid(t *testing.T, sheets map[string]string) {
	validator := os.Getenv("SHUNTWRIGHT_HTML_VALIDATE")
	if validator == "" {
		t.Skip("SHUNTWRIGHT_HTML_VALIDATE names no html-validate; .ci/run installs it")
	}
	dir := t.TempDir()
	var files []string
	for name, page := range sheets {
		files = append(files, put(t, dir, regexp.MustCompile(`\W+`).ReplaceAllString(name, "-")+".html", page))
	}
	slices.Sort(files)
	put(t, dir, ".htmlvalidate.json", `{"root": true, "extends": ["html-validate:standard"]}`)
	call := exec.Command(validator, files...)
	call.Dir = dir
	if out, err := call.CombinedOutput(); err != nil {
		t.Errorf("%v\n%s", err, out)
	}
}
