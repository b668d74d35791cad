package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"runtime/debug"
	"strings"
	"unicode"

	"drawbar/route/verdict"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// Exit statuses. 2 is what a panic of the Go runtime gives and is left free.
const (
	exitOK        = 0
	exitError     = 1
	exitSecondTow = 10
	exitDetour    = 11
	exitUnknown   = 12
	exitInterrupt = 130
)

// status ends a command with an exit status other than 1 and no message.
type status int

func (s status) Error() string { return fmt.Sprintf("exit status %d", int(s)) }

// statusOf maps the worst verdict of a run.
func statusOf(v verdict.Verdict) error {
	switch v {
	case verdict.SecondTow:
		return status(exitSecondTow)
	case verdict.Detour:
		return status(exitDetour)
	case verdict.Unknown:
		return status(exitUnknown)
	}
	return nil
}

const exitHelp = `Exit status:
  0    every route is go or caution
  1    usage, input or tool error (the others were still judged)
  10   a second tow is needed
  11   a detour is needed
  12   a question stands in the way, and nothing worse
  130  interrupted
Any other status is a failure.`

// stdio are the streams of one run.
type stdio struct {
	in       io.Reader
	out, err io.Writer
}

// run is the whole program: what the tests call.
func run(args []string, in io.Reader, out, errs io.Writer) int {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	// A second interrupt ends the program at once.
	context.AfterFunc(ctx, stop)
	errs = plainWriter{errs}
	sure := &sureWriter{to: out}
	root := newRoot(stdio{&interruptible{ctx: ctx, from: in}, sure, errs})
	root.SetArgs(args)
	err := root.ExecuteContext(ctx)
	var code status
	if sure.err != nil && (err == nil || errors.As(err, &code)) {
		err, code = fmt.Errorf("standard output: %w", sure.err), 0
	}
	switch {
	case err == nil:
		return exitOK
	case ctx.Err() != nil:
		fmt.Fprintln(errs, "drawbar: interrupted")
		return exitInterrupt
	case errors.As(err, &code):
		return int(code)
	}
	fmt.Fprintf(errs, "drawbar: %s\n", strings.TrimRight(err.Error(), "\n"))
	return exitError
}

func newRoot(io stdio) *cobra.Command {
	root := &cobra.Command{
		Use:   "drawbar",
		Short: "Check whether a loaded heavy transporter can make a way",
		Long: `Drawbar drapes a route over an elevation raster and checks its grades, bends,
bridges and postings against a loaded transporter. It says where the train
stalls, where a second tow must wait, where to go round, and what is still
unknown. Unknown is never shown as go.`,
		Example: `  drawbar check samples/routes.geojson --dem samples/valley.tif \
    --transporter samples/transporter-112t.yaml --helper samples/helper-40t.yaml
  drawbar transporter samples/transporter-112t.yaml
  drawbar profile samples/routes.geojson --dem samples/valley.tif \
    --route lakeside`,
		SilenceErrors: true,
		SilenceUsage:  true,
		Args:          knownCommand,
		RunE:          func(c *cobra.Command, _ []string) error { return c.Help() },
		// Before anything is read or written.
		PersistentPreRunE: func(c *cobra.Command, _ []string) error { return validFlags(c) },
	}
	root.SetIn(io.in)
	root.SetOut(io.out)
	root.SetErr(io.err)
	root.SetFlagErrorFunc(nearestFlag)
	root.AddCommand(newCheck(io), newClimb(io), newProfile(io), newTransporter(io), newFormats(io), newVersion(io))
	root.InitDefaultCompletionCmd()
	shortCompletionHelp(root)
	root.SetHelpCommand(helpOf(root))
	root.SetUsageTemplate(usage)
	root.SetHelpTemplate("{{.UsageString}}")
	return root
}

// plainWriter takes out of messages what names of files may hold and a terminal
// would obey: control characters and changes of the direction of writing.
type plainWriter struct{ to io.Writer }

func (p plainWriter) Write(b []byte) (int, error) {
	s := strings.Map(func(r rune) rune {
		if r != '\n' && r != '\t' && unicode.In(r, unicode.Cc, unicode.Cf, unicode.Zl, unicode.Zp) {
			return '?'
		}
		return r
	}, string(b))
	_, err := io.WriteString(p.to, s)
	return len(b), err
}

// sureWriter remembers that something could not be written: help is printed
// without a look at that.
type sureWriter struct {
	to  io.Writer
	err error
}

func (s *sureWriter) Write(b []byte) (int, error) {
	n, err := s.to.Write(b)
	if err != nil {
		s.err = err
	}
	return n, err
}

// helpOf is the help command, which refuses what is no command.
func helpOf(root *cobra.Command) *cobra.Command {
	return &cobra.Command{
		Use:   "help [COMMAND]",
		Short: "Help about a command",
		RunE: func(_ *cobra.Command, args []string) error {
			c, rest, err := root.Find(args)
			switch {
			case err != nil || len(rest) > 0 && c == root:
				return knownCommand(root, args)
			case len(rest) > 0:
				return fmt.Errorf("help for %s, got %q besides", c.Name(), rest[0])
			}
			c.InitDefaultHelpFlag()
			return c.Help()
		},
	}
}

// usage puts the examples first and what a user looks up last.
const usage = `{{if .HasExample}}Examples:
{{.Example}}

{{end}}{{with or .Long .Short}}{{. | trimTrailingWhitespaces}}

{{end}}Usage:{{if .Runnable}}
  {{.UseLine}}{{end}}{{if .HasAvailableSubCommands}}
  {{.CommandPath}} COMMAND

Commands:{{range .Commands}}{{if (or .IsAvailableCommand (eq .Name "help"))}}
  {{rpad .Name .NamePadding}} {{.Short}}{{end}}{{end}}{{end}}{{if .HasAvailableLocalFlags}}

Flags:
{{.LocalFlags.FlagUsagesWrapped 80 | trimTrailingWhitespaces}}{{end}}

` + exitHelp + "\n"

// nearestFlag adds the nearest right name to an unknown flag.
func nearestFlag(c *cobra.Command, err error) error {
	name, ok := strings.CutPrefix(err.Error(), "unknown flag: --")
	if !ok {
		return fmt.Errorf("%w (see %s --help)", err, c.CommandPath())
	}
	best, least := "", 4
	c.Flags().VisitAll(func(f *pflag.Flag) {
		d := edits(name, f.Name)
		if strings.HasPrefix(f.Name, name) {
			d = 1
		}
		// Help is on every command: it is meant only when nothing else is as near.
		if d < least || d == least && best == "help" {
			best, least = f.Name, d
		}
	})
	if best == "" {
		return fmt.Errorf("%w (see %s --help)", err, c.CommandPath())
	}
	return fmt.Errorf("%w, did you mean --%s?", err, best)
}

// edits is the number of letters to put in, take out or change (Levenshtein).
func edits(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		diagonal := row[0]
		row[0] = i + 1
		for j := range len(b) {
			change := diagonal
			if a[i] != b[j] {
				change++
			}
			diagonal = row[j+1]
			row[j+1] = min(change, row[j]+1, diagonal+1)
		}
	}
	return row[len(b)]
}

// toolVersion is what the build says of itself.
func toolVersion() string {
	if info, ok := debug.ReadBuildInfo(); ok && info.Main.Version != "" {
		return info.Main.Version
	}
	return "(devel)"
}
