package main

import (
	"encoding/xml"
	"html"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"shuntwright/cmd/shuntwright/internal/predict"
)

// figuresOf are all figures of a page with their digits.
func figuresOf(t *testing.T, page string) map[float64]string {
	t.Helper()
	out := map[float64]string{}
	for _, m := range regexp.MustCompile(`<data value="([^"]*)">([^<]*)</data>`).FindAllStringSubmatch(page, -1) {
		x, err := strconv.ParseFloat(html.UnescapeString(m[1]), 64)
		if err != nil {
			t.Fatalf("data %q: %v", m[1], err)
		}
		out[x] = m[2]
	}
	return out
}

// TestSheetSaysWhatPredictSays: for every published meter the sheet has the
// very figures of predict --format json.
func TestSheetSaysWhatPredictSays(t *testing.T) {
	t.Parallel()
	files, err := filepath.Glob("../../testdata/circuits/*.json")
	if err != nil || len(files) < 30 {
		t.Fatalf("%d files: %v", len(files), err)
	}
	for _, file := range files {
		if filepath.Base(file) == "expected.json" {
			continue
		}
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		name, _, _ := strings.Cut(filepath.Base(file), ".")
		dir := t.TempDir() // of its own: every meter beside one is read for its name
		meter, drawer := put(t, dir, "meter.json", string(text)), filepath.Join(dir, "none.csv")
		if parts, err := os.ReadFile(filepath.Join(filepath.Dir(file), name+".drawer.csv")); err == nil {
			drawer = put(t, dir, name+".drawer.csv", string(parts)) // the journal of what is written stands beside it
		}
		var want predict.Answer
		answered(t, &want, "predict", meter, "--drawer", drawer, "--from", "0C", "--to", "45C")
		out := filepath.Join(dir, "sheet.html")
		if s := program("sheet", meter, "--drawer", drawer, "--output", out); s.code == exitWrong {
			t.Fatalf("%s: %s", file, s.err)
		}
		page, err := os.ReadFile(out)
		if err != nil {
			t.Fatal(err)
		}
		figures := figuresOf(t, string(page))
		has := func(what string, x *float64) {
			if x != nil && !math.IsNaN(*x) && figures[*x] == "" {
				t.Errorf("%s: %s, %v, does not stand on the sheet", file, what, *x)
			}
		}
		for _, r := range want.Ranges {
			has(r.Range, r.FullScaleError)
		}
		for _, p := range want.Positions {
			has(p.Position, p.TargetOhms)
			has(p.Position, p.Ohms)
		}
		for _, open := range *want.Open {
			if !strings.Contains(string(page), "Missing: ") || !strings.Contains(string(page), open) {
				t.Errorf("%s: the sheet does not say that %s is missing", file, open)
			}
		}
	}
}

// TestHostileNames: names of meter, range, part, place do no harm on the sheet,
// whatever they hold, and are shown as they are.
func TestHostileNames(t *testing.T) {
	page := hostileSheet(t)
	for _, name := range []string{"<script>alert(1)</script>", "</svg><img src=x onerror=alert(1)>", "מד זרם", "مقياس", "電圧計", "Τάση"} {
		escaped := strings.NewReplacer("<", "&lt;", ">", "&gt;", `"`, "&#34;").Replace(name)
		if !strings.Contains(page, escaped) {
			t.Errorf("%q does not stand on the page", name)
		}
		if escaped != name && strings.Contains(page, name) {
			t.Errorf("%q stands on the page unescaped", name)
		}
	}
	if regexp.MustCompile(`(?i)<script|<img|<iframe|<link|javascript:|https?://[^w]|url\(|@import`).MatchString(page) {
		t.Error("the page loads or runs something")
	}
}

// hostileSheet is the sheet of a meter whose names are as bad as can be.
func hostileSheet(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	long := strings.Repeat("long name ", 19) + "5 mA"
	meter := put(t, dir, "m.json", `{"name": "<script>alert(1)</script> `+strings.Repeat("W", 200)+`", "movement": {"full_scale": "1 mA", "coil": "98.6 ohm", "divisions": 50}, "class": 2.5, "circuits": [
		{"circuit": "shunt", "range": "`+long+`", "fitted": "</svg><img_src=x_onerror=alert`+strings.Repeat("x", 60)+`>"},
		{"circuit": "shunt", "range": "מד זרם 20 mA", "fitted": "電圧計 || מדזרם"},
		{"circuit": "shunt", "range": "مقياس 50 mA"},
		{"circuit": "ring", "ranges": ["</svg><img src=x onerror=alert(1)> 2 mA", "電圧計 200 mA"], "fitted": {"</svg><img src=x onerror=alert(1)> 2 mA": "R1", "電圧計 200 mA": "R2"}},
		{"circuit": "multiplier", "range": "Τάση `+strings.Repeat("Ω", 190)+` 300 V", "fitted": "R3 + R4"}]}`)
	drawer := put(t, dir, "drawer.csv", "id,ohms,place\n</svg><img_src=x_onerror=alert"+strings.Repeat("x", 60)+">,24.65,<b>tray</b>\n電圧計,10.4,棚 一\nמדזרם,10.3,מגירה\nR1,90,درج\nR2,8,"+
		strings.Repeat("tray ", 40)+"\nR3,150000,\nR4,149900,\n")
	out := filepath.Join(dir, "m.html")
	if s := program("sheet", meter, "--drawer", drawer, "--output", out); s.code == exitWrong {
		t.Fatal(s.err)
	}
	page, err := os.ReadFile(out)
	if err != nil {
		t.Fatal(err)
	}
	return string(page)
}

// TestDrawingFile: meter show --output is one SVG that is well formed and says
// what it shows.
func TestDrawingFile(t *testing.T) {
	dir := t.TempDir()
	out := filepath.Join(dir, "m.svg")
	if s := program("meter", "show", "../../testdata/circuits/teaching-multimeter.json", "--drawer", filepath.Join(dir, "none.csv"), "--output", out); s.code != exitGood {
		t.Fatal(s.err)
	}
	data, err := os.ReadFile(out)
	if err != nil {
		t.Fatal(err)
	}
	var svg struct {
		XMLName xml.Name `xml:"http://www.w3.org/2000/svg svg"`
		Title   string   `xml:"title"`
		Words   string   `xml:"desc"`
	}
	if err := xml.Unmarshal(data, &svg); err != nil {
		t.Fatal(err)
	}
	if svg.Title == "" || !strings.Contains(svg.Words, "Ring ranges. The movement (") || !strings.Contains(svg.Words, "Chain ranges. ") {
		t.Errorf("title %q, text %q", svg.Title, svg.Words)
	}
}
