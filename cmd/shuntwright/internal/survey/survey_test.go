package survey

import (
	"math"
	"strings"
	"testing"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/asbuilt/asbuilttest"
	"shuntwright/inventory"
	"shuntwright/meter/quantity"
)

func value(t *testing.T, text string) quantity.Value {
	t.Helper()
	v, err := quantity.Parse(text, quantity.Ohm, quantity.Positive)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// one is a part of a set: nominal, tolerance, reading (none where empty), watts,
// volts.
func one(t *testing.T, nominal string, tolerance float64, measured string, watts, volts float64) inventory.SetPart {
	t.Helper()
	p := inventory.NewPart(quantity.Value{})
	p.Nominal, p.TolerancePercent, p.Watts, p.Volts = value(t, nominal), tolerance, watts, volts
	if measured != "" {
		p.Ohms = value(t, measured)
	}
	return inventory.SetPart{Ref: "R" + nominal, Part: p}
}

// survey judges a set beside a drawer and replaces what is out.
func survey(t *testing.T, drawer string, s Survey, set ...inventory.SetPart) *Survey {
	t.Helper()
	s.Bench = asbuilttest.Bench(t, drawer, `{"leads": {"gain_percent": 0, "leads": "0.4 ohm"}}`)
	if err := s.Judge(set); err != nil {
		t.Fatal(err)
	}
	s.Chosen = s.Bench.Free(nil, asbuilt.Wanted{})
	if err := s.Replace(t.Context()); err != nil {
		t.Fatal(err)
	}
	return &s
}

var nan = math.NaN()

// A workbench page of 30 January 2024: new old stock of 4.7 kΩ ±5 % reads 5.4
// kΩ. 14.89361702 % is computed from that; the page says between +10 and +20 %.
func TestPublishedDrift(t *testing.T) {
	s := survey(t, "id,ohms\nA,1\n", Survey{AtMost: 1}, one(t, "4.7k", 5, "5.40k", nan, nan))
	if p := s.parts[0]; math.Abs(p.drift-14.89361702) > 1e-8 || p.verdict != outside {
		t.Errorf("%g %%, %s", p.drift, p.verdict)
	}
	// By hand: 0.8 % and one count of 5.40 kΩ, 43.2 and 10 Ω of 4700; the first
	// dominates, so the factor is 1.65.
	if got, want := s.parts[0].limit.Limit, 1.65*math.Hypot(43.2, 10)/math.Sqrt(3)/47; math.Abs(got-want) > 1e-9 {
		t.Errorf("limit %g %%, want %g", got, want)
	}
}

// The leads of an instrument are subtracted before the drift is taken, and a
// part that nobody measured has no verdict.
func TestLeadsAndUnmeasured(t *testing.T) {
	p := one(t, "10", 5, "10.9", nan, nan)
	p.Part.Instrument = "leads"
	s := survey(t, "id,ohms\nA,1\n", Survey{AtMost: 1}, p, one(t, "22", 5, "", nan, nan), inventory.SetPart{Ref: "R9", Part: one(t, "33", 5, "", nan, nan).Part, Open: true})
	if math.Abs(s.parts[0].drift-5) > 1e-9 || s.parts[1].verdict != "" || !math.IsNaN(s.parts[1].drift) || s.parts[2].verdict != outside {
		t.Errorf("%+v", s.parts)
	}
	if a := s.Document("x.csv").Answer.(*answer); a.Unmeasured != 1 || a.Out != 1 {
		t.Errorf("%+v", a)
	}
	p.Part.Instrument = "unheard of"
	if err := s.Judge([]inventory.SetPart{p}); err == nil || !strings.Contains(err.Error(), `part R10: the instrument "unheard of" is not defined`) {
		t.Error(err)
	}
}

// No part is used twice, and the choice is a joint one: 99 ohm is nearest to
// both, and both are within their tolerance only if the one that can do with 94
// does.
func TestReplacementsAreJoint(t *testing.T) {
	s := survey(t, "id,ohms\nA,99\nB,94\n", Survey{AtMost: 1}, one(t, "100", 10, "150", nan, nan), one(t, "98", 2, "150", nan, nan))
	if first, second := s.parts[0].network.String(), s.parts[1].network.String(); first != "B" || second != "A" || !s.proven {
		t.Errorf("%s and %s", first, second)
	}
	s = survey(t, "id,ohms\nA,99\n", Survey{AtMost: 1}, one(t, "100", 10, "150", nan, nan), one(t, "98", 2, "150", nan, nan))
	if filled := len(s.refs(part.replaced)); filled != 1 {
		t.Errorf("one part fills %d places", filled)
	}
	if s = survey(t, "id,ohms\nA,89.9\nB,110.1\n", Survey{AtMost: 1}, one(t, "100", 10, "150", nan, nan)); s.parts[0].replaced() {
		t.Errorf("%s is outside of the tolerance", s.parts[0].network)
	}
}

// Where the tolerance is enough one part wins over two that are nearer; else
// the two do.
func TestEnoughIsTheTolerance(t *testing.T) {
	const drawer = "id,ohms\nA,95\nB,60\nC,40\n"
	for enough, want := range map[bool]string{false: "B + C", true: "A"} {
		if got := survey(t, drawer, Survey{AtMost: 2, Enough: enough}, one(t, "100", 10, "150", nan, nan)).parts[0].network.String(); got != want {
			t.Errorf("enough %v: %s, want %s", enough, got, want)
		}
	}
	// A twentieth of the tolerance, half an ohm, is no reason for two parts.
	if got := survey(t, "id,ohms\nA,99.6\nB,60\nC,40\n", Survey{AtMost: 2}, one(t, "100", 10, "150", nan, nan)).parts[0].network.String(); got != "A" {
		t.Error(got)
	}
}

// Ratings: what takes a part's place bears the current that the part was rated
// for. 10 kΩ of a half watt bears 7.07 mA, and 70.7 V; with 50 V marked 5 mA; 1
// MΩ of a half watt as composition parts do, 350 V, and not the 707 V that half
// a watt would be.
func TestRatingsAreRespected(t *testing.T) {
	for _, test := range []struct {
		drawer       string
		nominal      string
		watts, volts float64
		want         string
	}{
		{"id,ohms,watts\nA,10000,0.49\nB,10400,0.53\n", "10k", 0.5, nan, "B"},
		{"id,ohms,watts\nA,10000,0.5\nB,10400,1\n", "10k", 0.5, nan, "A"}, // a rating for a rating: neither is derated
		{"id,ohms,volts\nA,10000,49\nB,10400,60\n", "10k", 0.5, 50, "B"},
		{"id,ohms,volts\nA,10000,51\n", "10k", 0.5, 50, "A"},
		{"id,ohms,watts,volts\nA,1e6,1,300\nB,1.04e6,1,400\n", "1M", 0.5, nan, "B"},
		{"id,ohms,watts,volts\nA,1e6,0.25,350\n", "1M", 0.5, nan, "A"}, // 350 V over 1 MΩ are 0.12 W
		{"id,ohms,watts,volts\nA,510000,0.1,180\nB,490000,0.1,180\n", "1M", 0.5, nan, "A + B"},
		{"id,ohms,watts\nA,10000,0.001\n", "10k", nan, nan, "A"}, // nothing is known to hold it against
	} {
		s := survey(t, test.drawer, Survey{AtMost: 2}, one(t, test.nominal, 10, "15M", test.watts, test.volts))
		if got := s.parts[0].network.String(); got != test.want {
			t.Errorf("%s of %g W, %g V from %q: %s, want %s", test.nominal, test.watts, test.volts, test.drawer, got, test.want)
		}
	}
}

// Carbon composition of a quarter, a half, one and two watts: 250, 350 and 500
// V by three makers' data sheets, 750 V from memory.
func TestUsualVolts(t *testing.T) {
	for watts, want := range map[float64]float64{0.25: 250, 0.5: 350, 1: 500, 2: 750} {
		if got := usualVolts(watts); got != want {
			t.Errorf("%g W: %g V, want %g", watts, got, want)
		}
	}
	if !math.IsNaN(usualVolts(0.3)) || !math.IsNaN(usualVolts(nan)) {
		t.Error("volts of watts that no sheet has")
	}
}

// The words: counts, the worst, what is open, what reads low, what is
// undecided, and what was taken for granted.
func TestDocument(t *testing.T) {
	set := []inventory.SetPart{one(t, "100", 10, "150", 0.5, nan), one(t, "220", 10, "110", nan, nan), one(t, "330", 10, "362.5", nan, nan), one(t, "470", 10, "480", nan, nan)}
	s := survey(t, "id,ohms,place\nA,99,tin 3\nB,1,\n", Survey{AtMost: 1}, set...)
	doc := s.Document("my set.csv")
	answer := doc.Answer.(*answer)
	if answer.Out != 2 || answer.In != 1 || answer.Undecided != 1 || doc.Good {
		t.Errorf("%+v", answer)
	}
	all := strings.Join(append(append(append([]string{doc.Heading, doc.Next}, doc.BottomLine...), doc.Closing...), append(doc.Notes.Assumptions, doc.Notes.Warnings...)...), "\n")
	for _, want := range []string{"2 of 4 parts out of tolerance (R100 +50.0 %), 1 undecided, 1 in", "nothing in the drawer is within the tolerance of R220, rated as the part was",
		"undecided, within the limit of the reading: R330", "reads low: R220", "dry it at 100 °C", "volts as for carbon composition (makers' sheets): R100", "neither watts nor volts are known of R220;",
		"neither watts nor volts are known of A;", "shuntwright drawer remove A"} {
		if !strings.Contains(all, want) {
			t.Errorf("no %q in\n%s", want, all)
		}
	}
	good := survey(t, "id,ohms\nA,99\n", Survey{AtMost: 1}, set[3]).Document("set.csv")
	if !good.Good || len(good.Tables) != 1 || good.Next != "" || len(good.Closing) != 0 {
		t.Errorf("%+v", good)
	}
}
