package matchtest

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
)

// Instance is a drawer and a meter, every position open, with the optimum that
// general solvers proved; testdata/joint/README.md says how.
type Instance struct {
	Ohms          []float64 // the drawer
	Meter         *Meter
	Parts         int     // at most so many a position
	WithinPercent float64 // only networks within so many percent of the target count
	Worst         float64 // the smallest worst error, percent; NaN: not published
	Filled        int     // how many positions can be filled
	Columns       int     // how many networks there are in all positions together
}

// Read reads a folder of testdata/joint; root is the module's.
func Read(root, name string) (Instance, error) {
	folder := filepath.Join(root, "testdata", "joint", name)
	var answer struct {
		Parts    int
		Within   float64  `json:"within_percent"`
		Worst    *float64 `json:"worst_full_scale_error_percent"`
		Fillable int      `json:"fillable_positions"`
		Columns  int
	}
	if err := readJSON(filepath.Join(folder, "answer.json"), &answer); err != nil {
		return Instance{}, err
	}
	meter, err := readMeter(filepath.Join(folder, "meter.json"))
	if err != nil {
		return Instance{}, err
	}
	ohms, err := readDrawer(filepath.Join(folder, "drawer.csv"))
	if err != nil {
		return Instance{}, err
	}
	in := Instance{Ohms: ohms, Meter: meter, Parts: answer.Parts, WithinPercent: answer.Within, Worst: math.NaN(), Filled: answer.Fillable, Columns: answer.Columns}
	if answer.Worst != nil {
		in.Worst = *answer.Worst
	}
	if in.Filled == 0 {
		in.Filled = len(meter.Kinds)
	}
	return in, nil
}

func readJSON(path string, into any) error {
	data, err := os.ReadFile(path)
	if err != nil {
		return err
	}
	if err := json.Unmarshal(data, into); err != nil {
		return fmt.Errorf("%s: %w", path, err)
	}
	return nil
}

func readMeter(path string) (*Meter, error) {
	m, _, err := readMeterOf(path)
	return m, err
}

// readMeterOf reads the meter and its class too, 0 where it has none.
func readMeterOf(path string) (*Meter, float64, error) {
	var m struct {
		Class    float64
		Movement struct {
			FullScale string `json:"full_scale"`
			Coil      string
		}
		Circuits []struct {
			Circuit, Range string
			Ranges         []string
		}
	}
	if err := readJSON(path, &m); err != nil {
		return nil, 0, err
	}
	r := reader{}
	amperes, ohms := r.quantity(m.Movement.FullScale), r.quantity(m.Movement.Coil)
	var circuits []Circuit
	for _, x := range m.Circuits {
		if x.Range != "" {
			x.Ranges = append(x.Ranges, x.Range)
		}
		c := Circuit{Kind: x.Circuit}
		for _, full := range x.Ranges {
			c.Full = append(c.Full, r.quantity(full))
		}
		circuits = append(circuits, c)
	}
	if r.err != nil {
		return nil, 0, fmt.Errorf("%s: %w", path, r.err)
	}
	return NewMeter(amperes, ohms, circuits...), m.Class, nil
}

func readDrawer(path string) ([]float64, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	var ohms []float64
	r := reader{}
	for _, row := range rows[1:] {
		ohms = append(ohms, r.quantity(row[1]))
	}
	return ohms, r.err
}

// reader keeps the first error.
type reader struct{ err error }

// quantity reads "4.7", "4.7k", "50 mA", "100 ohm".
func (r *reader) quantity(text string) float64 {
	at := strings.LastIndexAny(text, "0123456789") + 1
	digits, unit := text[:at], strings.TrimSpace(text[at:])
	exponent, known := map[string]string{"": "", "A": "", "V": "", "ohm": "", "mA": "e-3", "µA": "e-6", "uA": "e-6", "mV": "e-3", "kohm": "e3", "k": "e3", "M": "e6"}[unit]
	v, err := strconv.ParseFloat(digits+exponent, 64)
	if !known {
		err = fmt.Errorf("unit of %q", text)
	}
	if err != nil && r.err == nil {
		r.err = err
	}
	return v
}
