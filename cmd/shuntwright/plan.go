package main

import (
	"fmt"
	"slices"

	"shuntwright/cmd/shuntwright/internal/asbuilt"
	"shuntwright/cmd/shuntwright/internal/plan"
	"shuntwright/cmd/shuntwright/internal/predict"
	"shuntwright/cmd/shuntwright/internal/report"
	"shuntwright/match"
)

// planFlags are the flags that plan and fit share.
var planFlags = []string{"drawer", "instruments", "parts", "within", "resolution", "enough", "class", "derate", "rated-only", "only", "exclude", "sure", "keep/at", "trim", "wind", "time-limit"}

// takenAgain are the flags of a search that make another answer.
var takenAgain = []string{"drawer", "instruments", "accuracy", "parts", "within", "resolution", "enough", "class", "derate", "rated-only", "exclude", "only", "sure", "keep", "trim", "wind", "time-limit", "current", "volts", "instrument"}

func planCommand() *command {
	return &command{
		name: "plan", operands: "METER", least: 1, most: 1,
		does: "fills every open position at once, no part used twice",
		more: `First as many positions as can be filled, then as few ranges as can be outside the
class, then the smallest errors within it, in steps that a pointer can show, then the
fewest parts; shuntwright help search says it exactly. --trim is for a meter whose parts
are all in place: what reads true within the class is left alone (with --sure: error and
limit together), and the fewest parts are added that make the rest true. Nothing is
written: shuntwright fit METER takes the plan.`,
		example: `shuntwright plan bench.json --parts 2
  the best single parts or pairs from drawer.csv for all ranges of bench.json`,
		flags: append(slices.Clone(planFlags), "buy", "series", "buy-watts", "buy-volts", "trials", "seed", "sheet", "force"),
		run:   runPlan,
	}
}

// runPlan answers plan.
func runPlan(c *call) (report.Document, error) {
	if err := c.mayWrite(c.options.sheet); err != nil {
		return report.Document{}, err
	}
	s, made, err := c.makePlan()
	if err == nil && c.options.sheet != "" {
		err = c.saveSheetOfPlan(s, made)
	}
	if err != nil {
		return report.Document{}, err
	}
	doc, err := c.planDocument(s, made)
	if c.options.sheet != "" {
		doc.Closing = append(doc.Closing, "sheet of the plan: "+c.options.sheet)
	}
	return doc, err
}

// planned is what the search found, beside what it was asked.
type planned struct {
	plan.Outcome
	planner  *plan.Planner
	question *plan.Question // as it was asked first
	wound    *windings
	whys     []predict.Why
	foreseen string       // what was warned of before the search
	wait     []plan.Wound // what stays open, the others planned as for a meter in which it is on its target
	onTarget string       // how the meter stands once they are
	surer    string       // how many ranges more --sure has within the class
	shopping *shopping
	buying   report.Table
}

// free is how many parts there were to choose from.
func (made *planned) free() int { return len(made.Chosen) + made.PassedOver }

// asked is what the flags ask; class is the one to judge by, NaN where there is
// none. Steps that nobody asked for are never larger than the class.
func (c *call) asked(class float64) asbuilt.Asked {
	o := &c.options
	out := asbuilt.Asked{Wanted: o.wanted, AtMost: o.parts, Within: float64(o.within) / 100, Reach: !c.flags.Changed("within"), Derate: o.derate, Class: class,
		Resolution: float64(o.resolution), Enough: float64(o.enough.percent), EnoughMeasured: o.enough.measured,
		Sure: o.sure, Trim: o.trim, Simple: o.simple, Top: o.top}
	if c.flags.Lookup("resolution") != nil && !c.flags.Changed("resolution") {
		out.Resolution = min(out.Resolution, out.SearchClass())
	}
	return out
}

// planDocument says how the meter will read with the plan, what to solder, and
// what it cost to find.
func (c *call) planDocument(s *setup, made *planned) (report.Document, error) {
	f := c.forecast(s)
	doc, answer := inBrief(f)
	answer.NetworksConsidered, answer.Proven = made.Plan.Considered, &made.Plan.Proven
	if len(made.Open) > 0 {
		if !c.options.sure { // else the bound is one of error plus limit
			answer.BoundPercent = report.Some(made.Plan.Bound)
		}
		answer.FewerParts = frontierAnswer(made)
		if made.Problem.Enough > 0 {
			answer.EnoughPercent = report.Some(made.Problem.Enough)
		}
		if made.Problem.Resolution > 0 {
			answer.Resolution = report.Some(made.Problem.Resolution)
		}
		if isNumber(s.class(c)) && made.Problem.Resolution > 0 {
			answer.Points = &made.Plan.Key.Points
		}
		answer.Enough = made.Spares
	}
	var added []string
	for _, position := range made.Open {
		added = append(added, s.added(made, position)...)
	}
	strained, instead, err := c.unknownWords(s, made, answer)
	if err != nil {
		return doc, err
	}
	doc.BottomLine = append(doc.BottomLine, instead...)
	answer.Warnings = append(answer.Warnings, s.unsteadyWords(added)...)
	added = slices.DeleteFunc(added, func(id string) bool { return slices.Contains(strained, id) })
	if unrated := report.Unique(s.Unrated(added)); len(unrated) > 0 {
		answer.Warnings = append(answer.Warnings, "neither watts nor volts are known of "+report.List(unrated)+
			": hold them against what they carry (--full); --rated-only leaves such parts out")
	}
	if made.foreseen != "" && !made.Plan.Proven {
		answer.Warnings = append(answer.Warnings, made.foreseen)
	}
	var todo []int // positions to be soldered
	for position := range s.Positions {
		_, wound := made.wound.at(position)
		if wound || slices.ContainsFunc(made.wait, func(w plan.Wound) bool { return w.Position == position }) || slices.Contains(made.Open, position) && (s.changed(made, position) || s.IsOpen(position)) {
			todo = append(todo, position)
		}
	}
	c.showWindings(s, made, &doc, answer)
	doc.Tables = append([]report.Table{f.Soldering(answer, todo)}, append(doc.Tables, frontierTable(made))...)
	if made.surer, err = c.sureWords(s, made); err != nil {
		return doc, err
	}
	c.sayPlan(s, made, &doc, answer)
	answer.Warnings = append(answer.Warnings, windingWarnings(made)...)
	if f.Draws != nil {
		if _, err := f.Chances(c.ctx, &doc, answer); err != nil {
			return doc, c.trialled(err)
		}
	}
	doc.Notes, doc.Answer = answer.Notes, *answer
	if made.shopping != nil {
		doc.Tables = append(doc.Tables, made.buying)
		if !c.buysNothing(s, made) {
			doc.BottomLine = append(doc.BottomLine, c.shoppingWords(made.shopping, answer.Ranges)...)
		}
		doc.Answer = planAnswer{answer, made.shopping}
	}
	return doc, nil
}

// sayPlan says what is to be done, how good the search knows that to be, and
// which command follows.
func (c *call) sayPlan(s *setup, made *planned, doc *report.Document, answer *predict.MeterAnswer) {
	switch {
	case c.options.trim:
		c.showTrim(s, made, doc, answer)
	case len(made.Open) == 0 && len(made.wound.done) > 0:
		doc.BottomLine = append(doc.BottomLine, fmt.Sprintf("nothing to solder, %d to wind", len(made.wound.done)))
	case len(made.Open) == 0:
		doc.BottomLine = append(doc.BottomLine, "nothing to plan: every position is filled")
	default:
		doc.BottomLine = append(doc.BottomLine, s.solderingWords(made))
		showWhys(made, doc, answer)
		doc.BottomLine = append(doc.BottomLine, s.waitWords(made)...)
		doc.BottomLine = append(doc.BottomLine, c.laterWords(s, made)...)
		doc.BottomLine = append(doc.BottomLine, c.surerWords(s, made, answer)...)
		if made.surer != "" {
			doc.BottomLine = append(doc.BottomLine, made.surer)
		}
		doc.BottomLine = append(doc.BottomLine, c.proof(made))
		doc.Closing = append(doc.Closing, s.planClosing(made)...)
		doc.Details = append(doc.Details, equalWords(made)...)
	}
	if len(made.Open) > 0 {
		doc.Details = append(doc.Details, fmt.Sprintf("%s networks considered, of %s free", made.Plan.Considered, report.Counted(made.free(), "part")))
	}
	doc.Next = c.afterPlan(s, made, doc)
}

// solderingWords count what is to be soldered.
func (s *setup) solderingWords(made *planned) string {
	filled, parts := 0, 0
	for _, position := range made.Open {
		if added := len(s.added(made, position)); added > 0 {
			filled, parts = filled+1, parts+added
		}
	}
	out := fmt.Sprintf("%s to solder in %s", report.Counted(parts, "part"), report.Counted(filled, "position"))
	if stays := len(s.OpenPositions()); stays > 0 {
		out += fmt.Sprintf(", %d %s open", stays, report.Either(stays == 1, "stays", "stay"))
	}
	if wound := len(made.wound.done); wound > 0 {
		out += fmt.Sprintf(", %d to wind", wound)
	}
	return out
}

// afterPlan is the command that follows: take the plan, or see what to buy for
// what it leaves open or outside the class. What is outside by what is fitted,
// which no plan moves, is said.
func (c *call) afterPlan(s *setup, made *planned, doc *report.Document) string {
	path := report.InShell(s.Path)
	left, moved := c.outside(s, made)
	whole := len(s.OpenPositions()) == 0 && len(moved) == 0
	switch {
	case c.buysNothing(s, made):
		buy := fmt.Sprintf(" --trim --buy %d", c.options.buy)
		doc.BottomLine = append(doc.BottomLine, fmt.Sprintf("outside by what is fitted already, whatever is bought for other positions: %s; plan%s says what to add, to replace or to buy", report.List(left), buy))
		return c.again("plan", s.Path) + buy
	case len(left) > 0 && !c.options.trim:
		doc.BottomLine = append(doc.BottomLine, fmt.Sprintf("%s by what is fitted already: %s; plan --trim says what to add or to replace", report.Either(c.options.sure, "not surely within", "outside"), report.List(left)))
	}
	if next := c.afterShopping(s, made.shopping); next != "" {
		return next
	}
	nothing := !slices.ContainsFunc(made.Open, func(i int) bool { return s.changed(made, i) }) && !slices.ContainsFunc(made.wound.done, plan.Wound.Spooled)
	toWind := s.afterWinding(made)
	switch {
	case nothing && toWind != "":
		return toWind
	case nothing && whole && len(left) == 0:
		return "shuntwright check " + path
	case nothing && whole && !c.options.trim:
		return "shuntwright plan " + path + " --trim" + c.classFlag(s) + report.Either(c.options.sure, " --sure", "")
	case nothing && made.Plan.End == match.Interrupted:
		return c.again("plan", s.Path, "time-limit") + " --time-limit " + c.moreTime()
	case !whole && !c.options.trim && made.shopping == nil && mostHelp(made.whys) != "":
		return c.againWith("plan", s.Path, mostHelp(made.whys))
	case !whole && (!c.options.trim || nothing) && made.shopping == nil && isNumber(s.class(c)):
		return c.again("plan", s.Path) + " --buy 2"
	case made.surer != "":
		return c.again("plan", s.Path) + " --sure"
	}
	return c.again("fit", s.Path)
}

// outside are the names of the ranges outside the class by what is fitted, and of
// those that the plan moves.
func (c *call) outside(s *setup, made *planned) (fitted, moved []string) {
	f := c.forecast(s)
	by := f.Moved(made.Open)
	for _, r := range f.Outside() {
		if name := s.Ranges[r].Name; slices.Contains(by, r) {
			moved = append(moved, name)
		} else {
			fitted = append(fitted, name)
		}
	}
	return fitted, moved
}

// buysNothing tells that nothing was found to buy because what is fitted already
// has a range outside the class.
func (c *call) buysNothing(s *setup, made *planned) bool {
	fitted, _ := c.outside(s, made)
	return made.shopping != nil && !made.shopping.Found && len(fitted) > 0 && !c.options.trim
}

// classFlag is the class where it is not the meter's own.
func (c *call) classFlag(s *setup) string {
	if class := s.class(c); class != s.Meter.Class && isNumber(class) {
		return " --class " + report.Exact(class)
	}
	return ""
}

// planAnswer is the JSON of plan --buy.
type planAnswer struct {
	*predict.MeterAnswer
	Buy *shopping `json:"buy"`
}

// changed tells whether the plan puts something into a position.
func (s *setup) changed(made *planned, position int) bool {
	return s.Networks[position].String() != made.Before[position].String()
}

// added are the parts that the plan puts into a position beside what was there.
func (s *setup) added(made *planned, position int) []string {
	there := made.Before[position].IDs()
	return slices.DeleteFunc(s.Networks[position].IDs(), func(id string) bool { return slices.Contains(there, id) })
}
