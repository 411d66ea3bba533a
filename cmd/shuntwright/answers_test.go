package main

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"github.com/jedib0t/go-pretty/v6/text"
)

// everyAnswer is what a restorer may be told, in this order, beginning with an
// empty folder: the call, how its first line begins, and how many lines it may
// have.
var everyAnswer = []struct {
	call, first string
	most        int
}{
	{"help", "shuntwright matches measured resistors", 90},
	{"help words", "words: what the numbers in an answer mean", 60},
	{"drawer --help", "The commands of shuntwright drawer.", 30},
	{"--version", "shuntwright ", 3},
	{"undo --list", "there is nothing to take back", 3},
	{"drawer instrument", "what the instruments of instruments.json promise", 5},
	{"drawer instrument bridge --accuracy 0.1% --wires 4", `instruments.json: written what "bridge" promises`, 7},
	{"drawer add 24.65 330 --instrument bridge", "drawer.csv: added 2, now 2 parts: R001, R002", 8},
	{"meter new own.json --full-scale 1mA --coil 98.6 --shunt 5mA --multiplier 100V", "written: own.json, own with 2 ranges and 2 positions", 8},
	{"demo --write boat", "written: boat/drawer.csv, ", 5},
	{"undo", "taken back: demo --write boat", 10},
	{"undo 3", "taken back: 3 changes, from ", 11},
	{"demo --write .", "written: drawer.csv, meter.json, ", 5},
	{"demo", "demo, invented data: ", 87},
	{"drawer list", "drawer.csv: 62 parts, 62 of them free", 85},
	{"drawer add 4.711 --kind film", "drawer.csv: added 1, now 63 parts", 11},
	{"drawer import list.csv", "drawer.csv: imported 1, now 64 parts", 16},
	{"drawer remeasure R064 77.9", "drawer.csv: remeasured 1, now 64 parts", 10},
	{"drawer change R064 --watts 0.5", "drawer.csv: changed 1, now 64 parts", 10},
	{"drawer remove R064", "drawer.csv: removed 1, now 63 parts", 10},
	{"drawer instrument", "what the instruments of instruments.json promise", 8},
	{"targets meter.json", "pilot boat test meter: what every position must be", 15},
	{"pick 24.65", "R024 || R029: 24.681 Ω, +0.127 ±0.048 % off 24.65 Ω", 18},
	{"pick 20.71 --top 3", "R024 || R026: 20.881 Ω, +0.824 ±0.048 % off 20.71 Ω", 12},
	{"pick 15M", "nothing found for 15.0 MΩ", 8},
	{"plan meter.json", "pilot boat test meter: all 6 ranges within class 2.5, worst +0.74 ±0.77 % (grid 5 mA)", 24},
	{"plan meter.json --only R001,R002 --parts 1", "pilot boat test meter: no range within class 2.5; outside: plate 250 mA, +9.20 %", 25},
	{"predict meter.json", "pilot boat test meter: no range is whole", 15},
	{"meter show meter.json", "pilot boat test meter: movement 500.0 µA for the last mark", 34},
	{"sheet meter.json", "written: meter.html, the bench sheet of pilot boat test meter", 8},
	{"protect meter.json", "pilot boat test meter: the movement does not survive multiplier 250 V shorted", 35},
	{"fit meter.json", "pilot boat test meter: all 6 ranges within class 2.5, worst ", 25},
	{"fit meter.json", "pilot boat test meter: all 6 ranges within class 2.5, worst ", 8},
	{"plan meter.json", "pilot boat test meter: all 6 ranges within class 2.5, worst ", 8},
	{"predict meter.json", "pilot boat test meter: all 6 ranges within class 2.5, worst ", 15},
	{"predict meter.json --from 0C --to 45C", "pilot boat test meter: grid 5 mA, screen 50 mA, plate 250 mA within class 2.5 from 16 to 25 °C only\nat 20 °C: all 6 ranges within class 2.5, worst +0.74 ±0.77 % (grid 5 mA)\nworst over temperature: plate 250 mA, -9.46 % at 45.0 °C", 33},
	{"predict meter.json --source-ohms 1k", "pilot boat test meter: all 6 ranges within class 2.5, worst +0.74 ±0.77 % (grid 5 mA)\nin the circuit the worst is 10 V: -4.5 ±1.1 %", 26},
	{"predict meter.json --trials 2000", "pilot boat test meter: all 6 ranges within class 2.5, worst +0.74 ±0.77 % (grid 5 mA)\nchance that all ranges are within the class: 100.0 %", 31},
	{"drawer list --near 102", "drawer.csv: 1 of 63 parts", 7},
	{"drawer remeasure R034 4970", "drawer.csv: remeasured 1, now 63 parts", 11},
	{"check meter.json readings.csv", "pilot boat test meter: 15 readings on 6 ranges in class 2.5: FAIL", 35},
	{"check meter.json good.csv", "pilot boat test meter: 2 readings on 1 of 6 ranges in class 2.5: PASS", 13},
	{"check meter.json good.csv --save --date 2024-05-31", "pilot boat test meter: 2 readings on 1 of 6 ranges in class 2.5: PASS", 15},
	{"check meter.json --history", "pilot boat test meter: 1 visit in meter.history.csv\nlast: 2024-05-31: PASS", 9},
	{"sheet meter.json good.csv --force", "written: meter.html, the bench sheet of pilot boat test meter", 8},
	{`unfit meter.json "multiplier 50 V"`, "pilot boat test meter: multiplier 50 V is open now", 9},
	{`fit meter.json "multiplier 50 V" "R041 + R047"`, "pilot boat test meter: multiplier 50 V now holds R041 + R047; 50 V reads ", 8},
	{"redo --list", "there is nothing to bring back", 3},
	{"undo", "taken back: fit meter.json ", 8},
	{"redo", "brought back: fit meter.json ", 8},
	{"meter change meter.json --coil 190", "meter.json: coil 190 (was 186.4 ohm)", 14},
	{"plan meter.json --trim", "pilot boat test meter: ", 25},
	{"survey set.csv", "1 of 2 parts out of tolerance", 22},
	{"movement drop --battery 1.5V --full-scale 1mA", "before anything is connected: full scale 1.000 mA", 12},
	{"movement drop --current 1.000mA --drop 98.6mV", "full scale 1.000 mA ±12 µA, coil 98.6 Ω ±1.3 Ω", 19},
	{"movement half --series 1402ohm --shunt 92.1ohm", "coil 98.6 Ω ±2.3 Ω", 15},
	{"movement compare --series 3k,5k --reads 45.1,28.1", "coil ", 16},
	{`movement stand-in "200 uA, 1400 ohm" "100 uA, 1000 ohm"`, "100 µA, 1 kΩ made to look like 200 µA, 1.4 kΩ", 26},
}

// alsoShown is what is looked at for its layout alone, after all of that.
var alsoShown = []string{
	"targets coupled.json", "meter show coupled.json", "plan coupled.json --within 5", "drawer add 4.711 0.4712 --kind film --place box",
	"pick 24.65 --parts 3", "pick 24.65 --enough measured", "plan meter.json --parts 3 --within 2", "plan meter.json --enough measured",
	"plan meter.json --trim --class 0.7", `fit meter.json "multiplier 50 V" "(R041 + R047) || 1Mohm"`, "predict meter.json --class 0.5",
	"predict meter.json --budget", "predict meter.json --sensitivity", `meter new new.json --full-scale 1mA --coil 98.6 --chain "3 V,300 V"`,
	"meter change new.json --coil 50uohm", "check meter.json readings.csv --full", "undo --list", "plan meter.json --help", "drawer add --help",
}

// TestEveryAnswer: every answer begins with what it says, is no longer than a
// bench needs, takes no assumption further than a line, and ends with a command
// that can be typed, or copied, as it stands. On terminals of 80 columns and of 60
// it is no wider, and where the locale takes ASCII only there is nothing else.
func TestEveryAnswer(t *testing.T) {
	t.Run("80", func(t *testing.T) {
		show := typedAt(t, 80, "de_DE.UTF-8")
		done := map[string]bool{}
		for _, a := range everyAnswer {
			s := show(a.call)
			lines := strings.Split(strings.TrimRight(s.out, "\n"), "\n")
			if !strings.HasPrefix(unwrapped(s.out), a.first) {
				t.Errorf("%s begins with %q, not %q %s", a.call, lines[0], a.first, s.err)
			}
			if len(lines) > a.most {
				t.Errorf("%s: %d lines, more than %d", a.call, len(lines), a.most)
			}
			if long := regexp.MustCompile(`(?m)^assumed: .*\n  `).FindString(s.out); long != "" {
				t.Errorf("%s: an assumption of more than one line: %s", a.call, long)
			}
			wantNext(t, a.call, lines)
			if chosen, _, err := choose(words(a.call)); err == nil {
				done[chosen.name] = true
			}
		}
		for _, c := range commands() {
			if !done[c.name] {
				t.Errorf("%s answers nothing here", c.name)
			}
		}
		for _, call := range alsoShown {
			show(call)
		}
	})
	t.Run("60", func(t *testing.T) {
		show := typedAt(t, 60, "POSIX")
		for _, a := range everyAnswer {
			show(a.call)
		}
		for _, call := range alsoShown {
			show(call)
		}
	})
}

// typedAt is a terminal, in a folder of its own, that holds the layout of every
// answer against how wide it is and what it can show.
func typedAt(t *testing.T, columns int, locale string) func(call string) said {
	t.Chdir(t.TempDir())
	put(t, ".", "list.csv", "ohms,own\n77.7,x\n")
	put(t, ".", "good.csv", "range,reference,indicated\n50 V,50 V,50.5 V\n50 V,25 V,25.2 V\n")
	put(t, ".", "set.csv", "ref,nominal,tolerance_percent,measured,watts\nR1,470,10,480,0.5\nR2,47k,10,58.3k,0.5\n")
	put(t, ".", "coupled.json", `{"name": "a meter with a name of some length", "class": 2.5, "movement": {"full_scale": "500 uA", "coil": "186.4 ohm", "divisions": 50},
 "circuits": [{"circuit": "direct", "range": "500 uA"}, {"circuit": "ring", "ranges": ["modulator 10 mA", "100 mA", "1 A"]},
  {"circuit": "chain", "ranges": ["3 V", "30 V", "300 V"]}, {"circuit": "external-shunt", "range": "final amplifier plate 200 mA", "drop": "150 mV"}]}`)
	at := env{getenv: variables(map[string]string{"COLUMNS": fmt.Sprint(columns), "LANG": locale})}
	return func(call string) said {
		s := programIn(at, "", words(call)...)
		if s.code == exitWrong {
			t.Errorf("%s: %s", call, s.err)
		}
		if !strings.Contains(locale, "UTF-8") && strings.IndexFunc(s.out+s.err, func(r rune) bool { return r > 0x7f }) >= 0 {
			t.Errorf("%s: not ASCII:\n%s%s", call, s.out, s.err)
		}
		for line := range strings.Lines(s.out) {
			line = strings.TrimRight(line, "\n")
			copied := strings.HasPrefix(line, "  shuntwright ")
			drawn := strings.Contains(line, "[ ") || strings.Contains(line, "──") || strings.HasPrefix(line, "  + ")
			page := strings.HasPrefix(call, "help ") || strings.HasSuffix(call, "--help")
			if wide := text.StringWidth(line); wide > columns && !copied && (columns >= 80 || !drawn && !page) {
				t.Errorf("%s on %d columns: %d: %q", call, columns, wide, line)
			}
			if strings.TrimRight(line, " ") != line {
				t.Errorf("%s: spaces at the end of %q", call, line)
			}
		}
		return s
	}
}

// wantNext: the last line is a command that the program takes.
func wantNext(t *testing.T, asked string, lines []string) {
	t.Helper()
	last := lines[len(lines)-1]
	next, is := strings.CutPrefix(last, "next: ")
	if !is && len(lines) > 1 && lines[len(lines)-2] == "next:" && len("next: "+last) > 80 {
		next, is = strings.TrimPrefix(last, "  "), true
	}
	command, ours := strings.CutPrefix(strings.TrimPrefix(next, "cd boat && "), "shuntwright ")
	if !is || !ours {
		t.Errorf("%s ends with %q", asked, last)
		return
	}
	if sameWords(words(command), words(asked)) {
		t.Errorf("%s: next is the call itself", asked)
	}
	chosen, rest, err := choose(words(command))
	if err != nil {
		t.Errorf("%s: next %q: %v", asked, next, err)
		return
	}
	c := &call{command: chosen, env: env{getenv: variables(nil)}}
	if _, err := c.parse(rest); err != nil {
		t.Errorf("%s: next %q: %v", asked, next, err)
	}
}
