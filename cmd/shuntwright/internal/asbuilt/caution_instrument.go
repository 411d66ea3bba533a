package asbuilt

import (
	"fmt"
	"slices"
	"strconv"

	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/inventory"
	"shuntwright/meter/budget"
	"shuntwright/meter/quantity"
	"shuntwright/meter/wiring"
)

// muchSurer is by what factor a limit must be smaller, because a gain error
// cancels, to be said to rest on that.
const muchSurer = 3

// instruments say what is taken for granted of what the readings were taken with:
// that resistances in the meter file are the movement's instrument's, and that
// an instrument errs alike on all its ranges, where limits rest on that.
func instruments(s *Setup) []string {
	var out []string
	if by := s.Meter.Movement.Instrument; by != "" && slices.ContainsFunc(s.Networks, written) {
		said := fmt.Sprintf("resistances in the file were read with %q, like the coil", by)
		if little, _ := s.lessLeads(); len(little) > 0 {
			said += "; less its leads, " + report.Few(little, 2)
		}
		out = append(out, said)
	}
	if asTheyStand := s.withoutLeads(); len(asTheyStand) > 0 {
		out = append(out, "as typed, no leads subtracted: "+report.Few(asTheyStand, 2))
	}
	var names []string
	for r, slopes := range SlopesOf(s.Meter, s.Meter.State(s.Ohms())) {
		inputs := s.RangeInputs(slopes)
		if together := limitOf(inputs); together > 0 && limitOf(apart(inputs)) > muchSurer*together {
			names = append(names, s.Ranges[r].Name)
		}
	}
	if len(names) > 0 {
		out = append(out, "an instrument errs alike on all its ranges; matters most on "+report.Few(names, 2))
	}
	return out
}

// The shares of a typed resistance that leads must be before it is said that
// they are subtracted: among the assumptions, and first of all.
const (
	leadsSaid   = 0.001
	leadsRaised = 0.05
)

// LeadsTaken warns of resistances typed instead of a part of which the leads of
// the movement's instrument, which counts as theirs, take a good deal.
func (s *Setup) LeadsTaken() []string {
	_, much := s.lessLeads()
	if len(much) == 0 {
		return nil
	}
	by := s.Meter.Movement.Instrument
	return []string{fmt.Sprintf("taken as what %q showed, less its leads of %s: %s; type what it showed, leads and all",
		by, quantity.Format(s.Instruments[by].LeadsOhms, quantity.Ohm, 3), report.Few(much, 2))}
}

// lessLeads say what resistances typed instead of a part are without the leads
// of the movement's instrument, where that moves them a little, and much.
func (s *Setup) lessLeads() (little, much []string) {
	for i, n := range s.Networks {
		if n.IsNothing() {
			continue
		}
		for k, l := range n.Leaves() {
			is := s.Leaves[i][k].Measured.Ohms
			words := fmt.Sprintf("%s in %s is %s", l.Ohms.Text, s.Positions[i].Name, quantity.Format(is, quantity.Ohm, 4))
			switch share := 1 - is/l.Ohms.Base; {
			case l.ID != "":
			case share > leadsRaised:
				much = append(much, words)
			case share > leadsSaid:
				little = append(little, words)
			}
		}
	}
	return little, much
}

// withoutLeads names what the meter file says and may have been read through
// leads that are known: what is given, which counts as it stands, and networks
// written out where the file does not say what read them.
func (s *Setup) withoutLeads() []string {
	var names []string
	for i, one := range s.File.Stated {
		if s.Instruments[one.Instrument].LeadsOhms > 0 {
			names = append(names, s.Stated[i].Name)
		}
	}
	anyLeads := false
	for _, by := range s.Instruments {
		anyLeads = anyLeads || by.LeadsOhms > 0
	}
	for i, n := range s.Networks {
		if anyLeads && s.Meter.Movement.Instrument == "" && s.Instruments[inventory.Unnamed].LeadsOhms == 0 && written(n) {
			names = append(names, s.Positions[i].Name)
		}
	}
	return names
}

// written tells whether a network holds a resistance instead of a part's id.
func written(n wiring.Network) bool {
	return !n.IsNothing() && slices.ContainsFunc(n.Leaves(), func(l wiring.Network) bool { return l.ID == "" })
}

func limitOf(inputs []budget.Input) float64 { return budget.Combine(budget.Sources(inputs)).Limit }

// apart are the inputs as if every reading of a named instrument had a gain
// error of its own.
func apart(inputs []budget.Input) []budget.Input {
	out := slices.Clone(inputs)
	for i := range out {
		if out[i].Shared != inventory.Unnamed { // that they share it is said already
			out[i].Shared = strconv.Itoa(i)
		}
	}
	return out
}
