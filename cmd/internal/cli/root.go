// Package cli is the command ferrule: one file a command, with its options, its
// flags and what it runs. It alone knows of files, streams and exit codes; what it
// prints comes from engine/report and lang/diag.
//
// commands.go is the table of the commands and their options. root.go puts them together and says what is wrong with a
// call, and exit.go maps outcomes to exit codes. streams.go holds where text goes to, files.go what is read, output.go
// where reports go and whole.go how files are written. rules.go loads rule books, and sheets.go opens sheets.
// judging.go takes them through a check, run.go through other commands, and narrow.go holds what a call is narrowed to.
package cli

import (
	"errors"
	"os"
	"runtime/debug"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"ferrule/cmd/internal/watch"
	"ferrule/lang/diag"
	"ferrule/lang/lists"
)

// Main runs the command with the arguments, streams and folder of the process and
// returns its exit code. Today is the day of now, and version that of the program.
func Main(now func() time.Time, version string) int {
	// A call lives for moments: fewer collections are worth a few MiB.
	debug.SetGCPercent(200)
	debug.SetMemoryLimit(192 << 20)
	s := &Streams{In: os.Stdin, Out: os.Stdout, Err: os.Stderr, Now: now, Version: version,
		outTerminal: isTerminal(os.Stdout), errTerminal: isTerminal(os.Stderr)}
	s.undoOnSignals()
	return Run(os.Args[1:], s)
}

// Version is the version of the program, as Go records it in the build: that of a release, else the moment and the
// number of its commit.
func Version() string {
	if info, ok := debug.ReadBuildInfo(); ok && info.Main.Version != "" {
		return info.Main.Version
	}
	return "unknown"
}

// Run runs the command with arguments and returns its exit code. The error stream says what went wrong.
func Run(args []string, s *Streams) int {
	var done outcome
	s.seen = watch.Stamps{}
	s.outFile, s.errFile = infoOf(s.Out), infoOf(s.Err)
	out := &sink{to: s.Out, spare: func() error { return s.spare("", s.outFile) }}
	s.Out = out
	defer s.undo()
	root := newRootCmd(s, args, &done)
	root.SetArgs(args)
	root.SetIn(s.In)
	root.SetOut(s.Out)
	root.SetErr(s.Err)
	err := wrongCommand(args)
	if err == nil {
		err = root.Execute()
	}
	if err == nil {
		err = out.err
	}
	if err != nil {
		s.say(err)
		return unable
	}
	return done.code()
}

// newRootCmd makes the command with those of its commands that the arguments name; for completion with all.
func newRootCmd(s *Streams, args []string, done *outcome) *cobra.Command {
	root := &cobra.Command{
		Use:               "ferrule",
		Version:           s.Version,
		Args:              cobra.ArbitraryArgs,
		SilenceErrors:     true,
		SilenceUsage:      true,
		CompletionOptions: cobra.CompletionOptions{DisableDefaultCmd: true},
		RunE:              func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	root.PersistentFlags().BoolP("help", "h", false, "says this")
	root.PersistentFlags().Lookup("help").Hidden = true
	root.SetVersionTemplate("ferrule {{.Version}}\n")
	root.SetFlagErrorFunc(wrongFlag)
	root.SetHelpFunc(func(cmd *cobra.Command, _ []string) { writeHelp(s.Out, cmd.Name()) })
	for _, t := range commands() {
		if !slices.Contains(args, t.name) && !completes(args) {
			continue
		}
		cmd := s.command(root, t, done)
		if root.AddCommand(cmd); t.name == "help" {
			root.SetHelpCommand(cmd)
		}
	}
	return root
}

// completes reports whether a shell asks for what may come next.
func completes(args []string) bool {
	return len(args) > 0 && strings.HasPrefix(args[0], cobra.ShellCompRequestCmd)
}

// wrongCommand is an error where the first word is not a command, whatever else is wrong with the call.
func wrongCommand(args []string) error {
	names := commandNames()
	if len(args) == 0 || strings.HasPrefix(args[0], "-") || completes(args) || slices.Contains(names, args[0]) {
		return nil
	}
	return mistake("unknown command "+diag.Quote(args[0])+didYouMean(args[0], names), "ferrule help")
}

func commandNames() []string {
	return lists.Each(commands(), func(t spec) string { return t.name })
}

// didYouMean is "; did you mean X?", or nothing where nothing is near.
func didYouMean(word string, from []string) string {
	if near, ok := diag.Nearest(word, from); ok {
		return "; did you mean " + near + "?"
	}
	return ""
}

// wrongFlag says what is wrong with an option.
func wrongFlag(cmd *cobra.Command, err error) error {
	if errors.Is(err, pflag.ErrHelp) {
		return err
	}
	help := "ferrule help" + strings.TrimPrefix(cmd.CommandPath(), "ferrule")
	var unknown *pflag.NotExistError
	var valueless *pflag.ValueRequiredError
	var bad *pflag.InvalidValueError
	switch {
	case errors.As(err, &unknown):
		name, near := unknown.GetSpecifiedName(), ""
		if unknown.GetSpecifiedShortnames() != "" {
			return mistake("unknown option "+diag.Quote("-"+name), help)
		}
		if like, ok := diag.Nearest(name, flagNames(cmd)); ok {
			near = "; did you mean --" + like + "?"
		}
		return mistake("unknown option "+diag.Quote("--"+name)+near, help)
	case errors.As(err, &valueless):
		return mistake("the option --"+valueless.GetFlag().Name+" needs a value", help)
	case errors.As(err, &bad):
		return mistake("the option --"+bad.GetFlag().Name+" does not take "+diag.Quote(bad.GetValue()), help)
	}
	return mistake("an option is not written as it should be; write it like --rules house.ferrule", help)
}

func flagNames(cmd *cobra.Command) []string {
	var names []string
	cmd.Flags().VisitAll(func(f *pflag.Flag) {
		if !f.Hidden {
			names = append(names, f.Name)
		}
	})
	return names
}
