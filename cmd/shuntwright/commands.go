package main

import (
	"fmt"
	"slices"
	"strings"

	"shuntwright/cmd/shuntwright/internal/report"
)

// command is one row of the table of commands.
type command struct {
	name     string   // one word or two: "pick", "drawer add"
	operands string   // what follows the flags
	does     string   // one line for the list of commands
	more     string   // what the help says beyond that
	example  string   // a worked example: call and what it does
	flags    []string // names of the flags that it takes, in the order of the help
	least    int      // fewest operands
	most     int      // most operands, -1 for any number
	run      func(*call) (report.Document, error)
}

// commands in the order in which they are listed.
func commands() []*command {
	return []*command{
		demoCommand(),
		drawerAddCommand(), drawerListCommand(), drawerImportCommand(),
		drawerRemeasureCommand(), drawerChangeCommand(), drawerRemoveCommand(), drawerInstrumentCommand(),
		meterNewCommand(), meterChangeCommand(), meterShowCommand(),
		movementDropCommand(), movementHalfCommand(), movementCompareCommand(), movementStandInCommand(), surveyCommand(),
		pickCommand(), targetsCommand(), planCommand(),
		fitCommand(), unfitCommand(), predictCommand(), checkCommand(), protectCommand(), sheetCommand(),
		undoCommand(), redoCommand(),
	}
}

// choose finds the command that the arguments name, and what is left of them.
// No argument at all, "help" and "--help" ask for the list of commands.
func choose(args []string) (*command, []string, error) {
	if len(args) == 0 || args[0] == "--help" || args[0] == "-h" {
		return helpCommand(), nil, nil
	}
	if args[0] == "--version" {
		return versionCommand(), args[1:], nil
	}
	if args[0] == "help" {
		return chooseHelp(args[1:])
	}
	if len(args) == 2 && (args[1] == "--help" || args[1] == "-h") && len(ofGroup(args[0])) > 0 {
		return groupCommand(args[0]), nil, nil
	}
	for _, c := range commands() {
		words := strings.Fields(c.name)
		if len(args) >= len(words) && strings.Join(args[:len(words)], " ") == c.name {
			return c, args[len(words):], nil
		}
	}
	return nil, nil, usageError{unknownCommand(args)}
}

// chooseHelp turns "help limits" into that page, and "help pick" into
// "pick --help". Where a command and a page share a name it is the page, which
// says where the flags are.
func chooseHelp(args []string) (*command, []string, error) {
	switch {
	case len(args) == 0 || args[0] == "--help" || args[0] == "-h":
		return helpCommand(), nil, nil
	case strings.HasPrefix(args[0], "-"):
		return helpCommand(), args, nil
	}
	if t, found := topicNamed(args[0]); found && (len(args) == 1 || len(ofGroup(args[0])) == 0) {
		return topicCommand(t), args[1:], nil
	}
	if len(args) == 1 && len(ofGroup(args[0])) > 0 {
		return groupCommand(args[0]), nil, nil
	}
	chosen, _, err := choose(args)
	if err != nil {
		return nil, nil, usageError{fmt.Errorf("%w; pages of help: %s", err, report.List(topicNames()))}
	}
	return chosen, []string{"--help"}, nil
}

// ofGroup are the commands of two words that begin with this one.
func ofGroup(word string) []*command {
	var out []*command
	for _, c := range commands() {
		if strings.HasPrefix(c.name, word+" ") {
			out = append(out, c)
		}
	}
	return out
}

// unknownCommand says what was meant to be a command, and which there are.
func unknownCommand(args []string) error {
	var seconds, all []string
	for _, c := range ofGroup(args[0]) {
		seconds = append(seconds, strings.Fields(c.name)[1])
	}
	for _, c := range commands() {
		all = append(all, c.name)
	}
	if len(seconds) > 0 {
		second := strings.Join(args[1:], " ")
		if second != "" {
			second = fmt.Sprintf(", not %q%s", second, report.Meant(second, seconds))
		}
		return fmt.Errorf("%s needs one of %s after it%s", args[0], strings.Join(seconds, ", "), second)
	}
	asked := report.Meant(args[0], all)
	if asked == "" && len(args) > 1 {
		asked = report.Meant(args[0]+" "+args[1], all)
	}
	if second := slices.IndexFunc(all, func(name string) bool { return strings.HasSuffix(name, " "+args[0]) }); asked == "" && second >= 0 {
		asked = fmt.Sprintf(" (did you mean %q?)", all[second])
	}
	return fmt.Errorf("unknown command %q%s: one of %s", args[0], asked, strings.Join(all, ", "))
}
