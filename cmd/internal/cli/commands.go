package cli

// This file is the table of the commands and of the options that they take, and leads a call to the command that it
// names.

import (
	_ "embed"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"ferrule/engine/report"
	"ferrule/lang/book"
	"ferrule/rulesets"
)

// call is what a command was asked for.
type call struct {
	*Streams
	reporting
	narrowing
	root *cobra.Command
	done *outcome
	args []string // the sheets, books or other words behind the name of the command

	rules           []string
	on              string
	day             book.Day // that on names
	by, to          string   // methods
	same            string   // one of sameIDs
	of              []string // properties
	rule, like      string
	stock           string // risk: the mean and the deviation of one
	beside          string // diff: a sheet of clubs
	order, orderBy  string // the sheet of an order, and the method of its lengths
	grid, extend    string // lengths
	inside          string
	target          string // a chart
	unit, who       string
	purpose         string
	again           bool // check: judge again when a file changes
	fix, write      bool // files of books
	stdio           bool // lsp: an option that editors may add
	list, different bool // fmt: what is shown
}

// today is the word for today where --on takes a day.
const today = "today"

// spec is a command.
type spec struct {
	name    string
	takes   takes
	options string   // that it takes, beside those of its report; "write,w" has a short form
	each    string   // what --explain says more of; "" for a command without that option
	formats []string // of its report; nil for a command without one
	run     func(c *call) error
}

var (
	checks = report.CheckFormats()
	tables = report.Formats("json", "csv")
)

// commands are the commands. What the help says of each is in commands.txt.
func commands() []spec {
	return []spec{
		{"check", takes{0, many, "sheets of clubs", expanded},
			"rules on by same-id order order-by only set club like watch", "result", checks, runCheck},
		{"convert", takes{1, 1, "one sheet of clubs", expanded},
			"rules on by same-id set club to", "length", tables, runConvert},
		{"agree", takes{2, 2, "two sheets of clubs", expanded}, "rules on by same-id of", "pair", tables, runAgree},
		{"trim", takes{1, 1, "one sheet of clubs", expanded},
			"rules on by same-id order order-by only set grid extend inside", "cut", tables, runTrim},
		{"build", takes{1, 1, "one cutting list", expanded},
			"rules on by same-id order order-by only set club target", "club", tables, runBuild},
		{"vet", takes{1, many, "a rule book", bookFiles}, "fix write", "", report.Formats("short", "json"), runVet},
		{"test", takes{1, many, "a rule book", bookFiles}, "only write", "expectation", report.TestFormats(), runTest},
		{"diff", takes{2, 2, "two rule books, the older one first", expanded},
			"on by same-id order order-by only set club clubs", "", report.Formats("json"), runDiff},
		{"risk", takes{0, 0, "options alone", nil}, "rules on rule by like stock", "", report.Formats("json"), runRisk},
		{"fmt", takes{1, many, "a rule book", bookFiles}, "write,w list,l diff,d color", "", nil, runFmt},
		{"bench", takes{1, 1, "a sheet of clubs", nil}, "rules on by order order-by unit who", "", nil, runBench},
		{"lsp", takes{0, 0, "options alone", nil}, "stdio", "", nil, runLsp},
		{"books", takes{0, 1, "one name of a shipped book", nil}, "", "", nil, runBooks},
		{"new", takes{0, 1, "one folder", nil}, "for", "", nil, runNew},
		{"completion", takes{1, 1, "the name of a shell: " + choices(shells), nil}, "", "", nil, runCompletion},
		{"help", takes{0, 2, "a command or a code", nil}, "", "", nil, runHelp},
	}
}

// into are the places of the options' values.
func (c *call) into() map[string]any {
	return map[string]any{"rules": &c.rules, "on": &c.on, "by": &c.by, "same-id": &c.same, "only": &c.only,
		"order": &c.order, "order-by": &c.orderBy,
		"set": &c.sets.named, "club": &c.clubs.named, "rule": &c.rule, "like": &c.like, "stock": &c.stock,
		"watch": &c.again, "to": &c.to, "of": &c.of, "grid": &c.grid, "extend": &c.extend, "inside": &c.inside,
		"target": &c.target, "fix": &c.fix, "write": &c.write, "clubs": &c.beside, "list": &c.list,
		"diff": &c.different, "unit": &c.unit,
		"who": &c.who, "for": &c.purpose, "explain": &c.explain, "format": &c.format, "output": &c.outputs,
		"color": &c.colour, "stdio": &c.stdio}
}

// commandTexts are what the help says of each command: its use behind "= ", a line on what it does, more about it, and
// examples, with a blank line between them.
//
//go:embed commands.txt
var commandTexts string

// texts are what the help says of a command.
func (t spec) texts() (use, short, long, examples string) {
	_, text, _ := strings.Cut(commandTexts, "\n= "+t.name+" ")
	text, _, _ = strings.Cut(text, "\n= ")
	use, text, _ = strings.Cut(text, "\n")
	short, text, _ = strings.Cut(text, "\n\n")
	text = strings.TrimSpace(text)
	last := strings.LastIndex(text, "\n\n")
	return use, short, text[:last], text[last+2:]
}

// allOptionTexts are what the help says of each option: what it calls the value and, behind two blanks, what the option
// does. A command may have a line of its own, which begins with its name.
//
//go:embed options.txt
var allOptionTexts string

// optionTexts are what the help says of an option of the command.
func (t spec) optionTexts(option string) (value, says string) {
	_, line, own := strings.Cut(allOptionTexts, "\n"+t.name+" --"+option+" ")
	if !own {
		_, line, _ = strings.Cut(allOptionTexts, "\n--"+option+" ")
	}
	line, _, _ = strings.Cut(line, "\n")
	value, says, _ = strings.Cut(line, "  ")
	says = strings.ReplaceAll(says, "EACH", t.each)
	says = strings.ReplaceAll(says, "FORMATS", choices(t.formats))
	return value, strings.TrimSpace(says)
}

// optionNames are the names of its options.
func (t spec) optionNames() []string {
	names := strings.Fields(t.options)
	if t.each != "" {
		names = append(names, "explain")
	}
	if t.formats != nil {
		names = append(names, "format", "output", "color")
	}
	return names
}

// command is a command with its options.
func (s *Streams) command(root *cobra.Command, t spec, done *outcome) *cobra.Command {
	_, short, _, _ := t.texts()
	cmd := &cobra.Command{Use: t.name, Short: short}
	cmd.ValidArgs = map[string][]string{"books": rulesets.Names(), "completion": shells}[t.name]
	c := &call{Streams: s, root: root, done: done, on: today, grid: "1/16 in",
		reporting: reporting{format: "text", colour: "auto", formats: t.formats}}
	cmd.RunE = func(_ *cobra.Command, args []string) (err error) {
		if c.args, err = t.takes.words(t.name, args); err != nil {
			return err
		}
		c.chosen = cmd.Flags().Changed("format")
		if c.again {
			return c.watch(func() error { return c.settled(t.run) })
		}
		return c.settled(t.run)
	}
	f, places := cmd.Flags(), c.into()
	for _, name := range t.optionNames() {
		name, short, _ := strings.Cut(name, ",")
		_, says := t.optionTexts(name)
		switch into := places[name].(type) {
		case *string:
			f.StringVarP(into, name, short, *into, says)
		case *[]string:
			f.StringArrayVarP(into, name, short, nil, says)
		case *bool:
			f.BoolVarP(into, name, short, false, says)
		}
		if slices.Contains(completed, name) {
			cmd.RegisterFlagCompletionFunc(name, c.completion(name))
		}
	}
	return cmd
}

// settled runs a command once it is settled what its options mean.
func (c *call) settled(run func(*call) error) (err error) {
	one := *c
	if err = one.settle(); err != nil {
		return err
	}
	if one.day, err = one.dayOf(); err != nil {
		return err
	}
	if one.write || one.fix {
		if err = onlyFiles(one.args); err != nil {
			return err
		}
	}
	return run(&one)
}
