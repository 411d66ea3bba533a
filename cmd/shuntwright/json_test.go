package main

import (
	"encoding/json"
	"maps"
	"math"
	"slices"
	"strings"
	"testing"
)

// A bench of invented parts for the tests of what the answers are called.
const (
	sampleDrawer = `id,ohms,instrument,gain_percent,floor_ohms,nominal,tolerance_percent,watts,volts,tempco_ppm,kind,place,note,fitted,colour
R001,10.91,,,,11,5,0.5,250,+100,metal film,tray 3,good,,red
R002,1.004,bridge,0.1,0.001,,,,,,,,,,
R003,13.40,,,,,,,,,,,,,
R004,14.9k,,,,,,,,,,,,,
R005,24.7,,,,,,,,,,,,other meter: shunt 5 mA,
`
	sampleInstruments = `{"bridge": {"gain_percent": 0.05, "floor": "0.5 mohm", "wires": 4}}`
	sampleMeter       = `{"name": "bench meter", "class": 2.5,
 "movement": {"full_scale": "1 mA", "coil": "98.6 ohm"},
 "circuits": [
  {"circuit": "shunt", "range": "10 mA"},
  {"circuit": "shunt", "range": "100 mA", "fitted": "R002", "circuit_volts": "300 V"},
  {"circuit": "shunt", "range": "2 mA"},
  {"circuit": "multiplier", "range": "15 V"}]}
`
)

// sample lays out the invented bench and returns the flags that name its
// drawer, and its meter.
func sample(t *testing.T) (drawer, meter string) {
	dir := t.TempDir()
	put(t, dir, "instruments.json", sampleInstruments)
	return put(t, dir, "drawer.csv", sampleDrawer), put(t, dir, "meter.json", sampleMeter)
}

// TestFieldNames pins every field of the JSON answers: what stands here is
// what scripts of other people rely on.
func TestFieldNames(t *testing.T) {
	drawer, meter := sample(t)
	for _, test := range []struct {
		call []string
		want string
	}{
		{[]string{"pick", "5.0505", "--within", "40", "--drawer", drawer}, `
			assumptions choices choices[].coverage_factor choices[].error_percent choices[].limit_percent
			choices[].network choices[].ohms choices[].parts networks_considered proven resolution_percent target_ohms`},
		{[]string{"pick", "5Mohm", "--volts", "100", "--drawer", drawer}, `
			cautions choices networks_considered proven resolution_percent target_ohms why_open why_open[].nearest why_open[].nearest.error_percent
			why_open[].nearest.network why_open[].nearest.ohms why_open[].text why_open[].why`},
		{[]string{"targets", meter}, `
			cautions meter positions positions[].position positions[].target_ohms positions[].volts positions[].watts`},
		{[]string{"plan", meter, "--drawer", drawer}, `
			assumptions bound_percent cautions class fewer_parts fewer_parts[].limit_percent fewer_parts[].open fewer_parts[].parts fewer_parts[].soldered
			fewer_parts[].equal fewer_parts[].worst_full_scale_error_percent limit_percent meter networks_considered open positions positions[].coverage_factor
			positions[].error_percent positions[].limit_percent positions[].network positions[].ohms positions[].parts
			positions[].position positions[].target_ohms positions[].volts positions[].watts proven why_open why_open[].nearest why_open[].nearest.error_percent
			why_open[].nearest.network why_open[].nearest.ohms why_open[].position why_open[].text why_open[].why ranges
			ranges[].coverage_factor ranges[].drop_volts ranges[].full_scale ranges[].full_scale_error_percent
			ranges[].limit_percent ranges[].ohms_per_volt ranges[].range ranges[].unit ranges[].verdict warnings
			points resolution_percent positions[].pieces positions[].pieces[].as_typed positions[].pieces[].kind positions[].pieces[].ohms positions[].pieces[].part positions[].pieces[].place positions[].pieces[].rated_volts positions[].pieces[].rated_watts positions[].pieces[].volts positions[].pieces[].watts
			within_class worst_full_scale_error_percent`},
		{[]string{"plan", "--trim", meter, "--drawer", drawer}, `
			assumptions bound_percent cautions class enough_percent limit_percent meter networks_considered open positions positions[].added
			positions[].coverage_factor positions[].error_percent positions[].limit_percent positions[].network positions[].ohms positions[].parts
			positions[].position positions[].target_ohms positions[].to_do positions[].volts positions[].watts proven why_open why_open[].nearest why_open[].nearest.error_percent
			why_open[].nearest.network why_open[].nearest.ohms why_open[].position why_open[].text why_open[].why ranges
			ranges[].coverage_factor ranges[].drop_volts ranges[].full_scale ranges[].full_scale_error_percent
			ranges[].limit_percent ranges[].ohms_per_volt ranges[].range ranges[].unit ranges[].verdict warnings
			points resolution_percent positions[].pieces positions[].pieces[].as_typed positions[].pieces[].kind positions[].pieces[].ohms positions[].pieces[].part positions[].pieces[].place positions[].pieces[].rated_volts positions[].pieces[].rated_watts positions[].pieces[].volts positions[].pieces[].watts
			within_class worst_full_scale_error_percent`},
		{[]string{"predict", meter, "--drawer", drawer}, `
			assumptions cautions class limit_percent meter open positions positions[].coverage_factor positions[].error_percent
			positions[].limit_percent positions[].network positions[].ohms positions[].parts positions[].position
			positions[].target_ohms positions[].volts positions[].watts ranges ranges[].coverage_factor ranges[].drop_volts
			ranges[].full_scale ranges[].full_scale_error_percent ranges[].limit_percent ranges[].range
			ranges[].unit ranges[].verdict warnings within_class worst_full_scale_error_percent
			positions[].pieces positions[].pieces[].as_typed positions[].pieces[].ohms positions[].pieces[].part positions[].pieces[].volts positions[].pieces[].watts`},
		{[]string{"drawer", "list", "--drawer", drawer}, `
			assumptions parts parts[].as_typed parts[].drift_percent parts[].fitted parts[].floor_ohms parts[].gain_percent parts[].id
			parts[].instrument parts[].kind parts[].limit_ohms parts[].nominal parts[].note parts[].ohms parts[].colour
			parts[].place parts[].tempco_ppm parts[].tolerance_percent parts[].volts parts[].watts`},
	} {
		wantFields(t, test.want, test.call...)
	}
}

// wantFields: the answer of a call has these fields, by their paths, and no others.
func wantFields(t *testing.T, fields string, call ...string) {
	t.Helper()
	var answer any
	answered(t, &answer, call...)
	found, want := map[string]bool{}, strings.Fields(fields)
	walk(t, "", answer, found)
	for _, field := range want {
		if !found[field] {
			t.Errorf("%s: no field %s", call[0], field)
		}
	}
	for _, field := range slices.Sorted(maps.Keys(found)) {
		if !slices.Contains(want, field) {
			t.Errorf("%s: a field %s that nobody knows", call[0], field)
		}
	}
}

// walk notes the path of every field; null has no place in an answer.
func walk(t *testing.T, path string, value any, found map[string]bool) {
	switch v := value.(type) {
	case nil:
		t.Errorf("%s is null", path)
	case map[string]any:
		for key, inner := range v {
			below := strings.TrimPrefix(path+"."+key, ".")
			found[below] = true
			walk(t, below, inner, found)
		}
	case []any:
		for _, inner := range v {
			walk(t, path+"[]", inner, found)
		}
	}
}

// TestEmptyListsAreLists: of a bare movement there is nothing to say, and nothing
// is null.
func TestEmptyListsAreLists(t *testing.T) {
	dir := t.TempDir()
	meter := put(t, dir, "bare.json", `{"class": 2.5, "movement": {"full_scale": "1 mA", "coil": "98.6 ohm"}, "circuits": [{"circuit": "direct", "range": "1 mA"}]}`)
	readings, drawer := put(t, dir, "r.csv", "range,reference,indicated\n1 mA,1.00,1.00\n"), put(t, dir, "drawer.csv", "id,ohms\nR001,10\n")
	for _, call := range [][]string{{"plan", meter}, {"predict", meter}, {"protect", meter}, {"check", meter, readings}, {"meter", "show", meter}} {
		var answer any
		answered(t, &answer, append(call, "--drawer", drawer)...)
		walk(t, call[0], answer, map[string]bool{})
	}
}

// TestOwnColumns: those of the drawer's owner stand by their own names, whatever
// these hold, and beside where the name means something else.
func TestOwnColumns(t *testing.T) {
	drawer := put(t, t.TempDir(), "drawer.csv", "id,ohms,as_typed,\"a\"\"b\\c\",bin <3>\nR001,10,mine,1,é\n")
	var list struct{ Parts []map[string]any }
	answered(t, &list, "drawer", "list", "--drawer", drawer)
	p := list.Parts[0]
	if p[`a"b\c`] != "1" || p["bin <3>"] != "é" || p["as_typed"] != "10" || p["other"].(map[string]any)["as_typed"] != "mine" {
		t.Errorf("%v", p)
	}
}

// TestAbsentFields: what does not apply is not there at all.
func TestAbsentFields(t *testing.T) {
	drawer, meter := sample(t)
	var answer struct {
		Positions, Ranges []map[string]any
		Open              []string
	}
	answered(t, &answer, "predict", meter, "--drawer", drawer)
	keys := func(m map[string]any) string { return strings.Join(slices.Sorted(maps.Keys(m)), " ") }
	if got := keys(answer.Positions[0]); got != "position target_ohms" {
		t.Errorf("an open position has %s", got)
	}
	if got := keys(answer.Ranges[0]); got != "full_scale range unit" {
		t.Errorf("the range of an open position has %s", got)
	}
	if _, there := answer.Ranges[1]["ohms_per_volt"]; there {
		t.Error("a current range has ohms per volt")
	}
	if want := []string{"shunt 10 mA", "shunt 2 mA", "multiplier 15 V"}; !slices.Equal(answer.Open, want) {
		t.Errorf("open %q, want %q", answer.Open, want)
	}

	whole := put(t, t.TempDir(), "whole.json", `{"movement": {"full_scale": "1 mA", "coil": "98.6 ohm"},
		"circuits": [{"circuit": "multiplier", "range": "15 V", "fitted": "14.9 kohm"}, {"circuit": "shunt", "range": "500 uA", "fitted": "98 ohm"}]}`)
	answer.Positions, answer.Ranges, answer.Open = nil, nil, nil
	answered(t, &answer, "predict", whole, "--drawer", drawer)
	if r := answer.Ranges[0]; r["drop_volts"] != nil || r["verdict"] != nil || r["ohms_per_volt"] == nil {
		t.Errorf("a voltage range without a class: %v", r)
	}
	if p := answer.Positions[1]; p["target_ohms"] != nil || p["error_percent"] != nil || p["ohms"] == nil {
		t.Errorf("a position that has no target: %v", p)
	}
	if answer.Open == nil || len(answer.Open) > 0 {
		t.Errorf("open is %v where every position is filled, not an empty list", answer.Open)
	}
}

// TestFullPrecision: JSON and CSV round nothing. The figures are those of the
// definition: target Rm/(I/Im - 1) and Vfs/Ifs - Rm.
func TestFullPrecision(t *testing.T) {
	drawer, meter := sample(t)
	var answer struct {
		Positions []struct {
			Target *float64 `json:"target_ohms"`
		}
	}
	answered(t, &answer, "targets", meter)
	for i, want := range []float64{98.6 / 9, 98.6 / 99, 98.6, 14901.4} {
		if !near(answer.Positions[i].Target, &want, 1e-15, 0) {
			t.Errorf("target %d: %v, want %v", i, number(answer.Positions[i].Target), want)
		}
	}
	var picked struct {
		Choices []struct{ Ohms, Error json.Number }
	}
	answered(t, &picked, "pick", "6.1", "--drawer", drawer)
	ohms, err := picked.Choices[0].Ohms.Float64()
	if want := 1 / (1/10.91 + 1/13.40); err != nil || math.Abs(ohms-want) > 1e-15*want {
		t.Errorf("%v ohm, want %v", picked.Choices[0].Ohms, want)
	}
	csv := program("pick", "6.1", "--drawer", drawer, "--format", "csv", "--top", "1").out
	if !strings.Contains(csv, string(picked.Choices[0].Ohms)) {
		t.Errorf("CSV rounds %v:\n%s", picked.Choices[0].Ohms, csv)
	}
}
