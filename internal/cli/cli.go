// Package cli is the command line: it reads words and flags, calls what was asked for, and says in
// plain sentences what went wrong.
//
// It promises one voice. What was asked for goes to standard output and nothing else does; an error
// is one line "error: ..." on standard error, with "hint: ..." lines below it. The exit status is 0
// when the work was done, 1 when it failed, 2 when the command was misused, 3 when a rule of the
// studio or of safety refused it. Where a table is printed, --json prints the same as JSON.
//
// The package knows the reckonings and the look of a photograph; all else is handed in as functions in [Deps], and a command whose
// function is not handed in does not exist.
package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"os"
	"strings"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"platewright/chemistry"
	"platewright/reckon"
)

// Exit statuses.
const (
	Done          = 0
	Failed        = 1
	Misused       = 2
	RefusedByRule = 3
)

// DefaultListen is the address served when none is told: this machine only.
const DefaultListen = "127.0.0.1:8417"

// Deps is what other parts of the product do for the commands.
type Deps struct {
	Registry    *reckon.Registry
	Open        func(ctx context.Context, o OpenOptions) error
	Demo        func(ctx context.Context, o DemoOptions) error
	SetPassword func(ctx context.Context, studio, password string) error
	Studio      string // the studio's folder when none is told
	Letters     [2]int // the least and the most letters of a password
	Version     string
}

// OpenOptions is what the command open was told.
type OpenOptions struct {
	Studio    string // a folder
	Listen    string // host:port
	NoBrowser bool
	Out, Err  io.Writer
}

// DemoOptions is what the command demo was told.
type DemoOptions struct {
	OpenOptions
	Once bool // do the day and leave, serving nothing
}

// refuser is an error by which a rule refuses to do something.
type refuser interface{ Refused() (why, hint string) }

// hinter is an error that knows what to do next.
type hinter interface{ Hint() string }

// misuse is an error of the one who typed.
type misuse struct {
	err  error
	hint string
}

func (m *misuse) Error() string { return m.err.Error() }
func (m *misuse) Unwrap() error { return m.err }
func (m *misuse) Hint() string  { return m.hint }

func misused(hint, format string, args ...any) error {
	return &misuse{err: fmt.Errorf(format, args...), hint: hint}
}

// errTold ends a command whose errors have been told line by line.
type errTold struct{ status int }

func (e *errTold) Error() string { return "some of it failed" }

// Main runs the command that args (without the program's name) ask for and returns the exit status.
func Main(ctx context.Context, args []string, stdin io.Reader, stdout, stderr io.Writer, deps Deps) int {
	root := newRoot(deps)
	root.SetArgs(args)
	root.SetIn(stdin)
	root.SetOut(stdout)
	root.SetErr(stderr)
	return tell(stderr, root.ExecuteContext(ctx))
}

// tell says an error, once, and returns the exit status it stands for.
func tell(w io.Writer, err error) int {
	if err == nil {
		return Done
	}
	var told *errTold
	if errors.As(err, &told) {
		return told.status
	}
	status, why, hint := judge(err)
	say(w, "error", why)
	say(w, "hint", hint)
	return status
}

// judge returns what an error means to the one who typed the command.
func judge(err error) (status int, why, hint string) {
	why = err.Error()
	var h hinter
	if errors.As(err, &h) {
		hint = h.Hint()
	}
	var r refuser
	var meet *chemistry.Refusal
	var field *reckon.FieldError
	var m *misuse
	switch {
	case errors.As(err, &r):
		sentence, next := r.Refused()
		if sentence != "" {
			why = sentence
		}
		if next != "" {
			hint = next
		}
		return RefusedByRule, why, hint
	case errors.As(err, &meet):
		return RefusedByRule, why, hint
	case errors.As(err, &m), errors.As(err, &field):
		return Misused, why, hint
	case errors.Is(err, context.Canceled):
		return Failed, "stopped before it was done", hint
	}
	return Failed, why, hint
}

// say writes a text line by line, each with the word before it; an empty text says nothing.
func say(w io.Writer, word, text string) {
	if text == "" {
		return
	}
	for line := range strings.SplitSeq(text, "\n") {
		fmt.Fprintf(w, "%s: %s\n", word, plain(line))
	}
}

// plain leaves no control letters in a line, for what was typed may hold some.
func plain(line string) string {
	return strings.Map(func(r rune) rune {
		if r < ' ' || r >= 0x7f && r < 0xa0 {
			return '\ufffd'
		}
		return r
	}, line)
}

func newRoot(deps Deps) *cobra.Command {
	root := &cobra.Command{
		Use:           "platewright",
		Short:         "Plans, keeps and learns from the plates of a wet-plate portraitist.",
		Version:       deps.Version,
		Args:          cobra.ArbitraryArgs,
		SilenceErrors: true,
		SilenceUsage:  true,
		RunE: func(c *cobra.Command, args []string) error {
			if len(args) > 0 {
				return unknownWord(c, "command", args[0])
			}
			return c.Help()
		},
	}
	root.SetFlagErrorFunc(func(c *cobra.Command, err error) error {
		return misused(c.CommandPath()+" --help lists the flags", "%w", err)
	})
	root.CompletionOptions.HiddenDefaultCmd = true // completion is there for shells, and no work of the trade
	root.AddCommand(reckonCommand(deps.Registry), lookCommand(), versionCommand(deps))
	if deps.Open != nil {
		root.AddCommand(openCommand(deps))
	}
	if deps.Demo != nil {
		root.AddCommand(demoCommand(deps))
	}
	if deps.SetPassword != nil {
		root.AddCommand(passwordCommand(deps))
	}
	return root
}

func versionCommand(deps Deps) *cobra.Command {
	return &cobra.Command{
		Use:   "version",
		Short: "says which version this is",
		Args:  noWords,
		RunE: func(c *cobra.Command, _ []string) error {
			_, err := fmt.Fprintf(c.OutOrStdout(), "platewright version %s\n", deps.Version)
			return err
		},
	}
}

// unknownWord says that no command below c has the name.
func unknownWord(c *cobra.Command, kind, word string) error {
	hint := c.CommandPath() + " --help lists them"
	c.SuggestionsMinimumDistance = 2
	if near := c.SuggestionsFor(word); len(near) > 0 {
		hint = "did you mean " + strings.Join(near, " or ") + "?"
	}
	return misused(hint, "no %s is called %q", kind, word)
}

// noWords refuses words after a command that takes flags only.
func noWords(c *cobra.Command, args []string) error {
	if len(args) > 0 {
		return misused(c.CommandPath()+" --help shows what it takes", "%s takes no word %q", c.CommandPath(), args[0])
	}
	return nil
}

func (o *OpenOptions) flags(c *cobra.Command, deps Deps) {
	c.Flags().StringVar(&o.Studio, "studio", deps.Studio, "the studio's folder `DIR`")
	c.Flags().StringVar(&o.Listen, "listen", DefaultListen, "the address `HOST:PORT` to serve on")
	c.Flags().BoolVar(&o.NoBrowser, "no-browser", false, "open no browser, only print the address")
}

// check refuses what no studio can be opened with.
func (o *OpenOptions) check(c *cobra.Command) error {
	o.Out, o.Err = c.OutOrStdout(), c.ErrOrStderr()
	if o.Studio == "" {
		return misused("say where it lies: --studio DIR", "no folder is told for the studio")
	}
	if _, _, err := net.SplitHostPort(o.Listen); err != nil {
		return misused("for this machine only: --listen "+DefaultListen, "listen is %q; a host and a port are wanted", o.Listen)
	}
	return nil
}

func openCommand(deps Deps) *cobra.Command {
	var o OpenOptions
	c := &cobra.Command{
		Use:   "open",
		Short: "opens a studio and serves it",
		Long: "Opens a studio and serves it, to this machine alone unless told otherwise; a new one is begun in\n" +
			"the browser. To have it on the network, platewright password comes first, then --listen 0.0.0.0:8417.",
		Args: noWords,
		RunE: func(c *cobra.Command, _ []string) error {
			if err := o.check(c); err != nil {
				return err
			}
			return deps.Open(c.Context(), o)
		},
	}
	o.flags(c, deps)
	return c
}

func demoCommand(deps Deps) *cobra.Command {
	var o DemoOptions
	c := &cobra.Command{
		Use:   "demo",
		Short: "makes an invented studio, does a sitting in it from first to last, and opens it",
		Args:  noWords,
		RunE: func(c *cobra.Command, _ []string) error {
			if !c.Flags().Changed("studio") {
				o.Studio = "" // the demo finds a folder of its own, never the user's studio
			} else if o.Studio == "" {
				return misused("leave --studio out for a folder of its own", "no folder is told for the studio")
			}
			own := o.OpenOptions
			if own.Studio == "" {
				own.Studio = "."
			}
			if err := own.check(c); err != nil {
				return err
			}
			o.Out, o.Err = own.Out, own.Err
			return deps.Demo(c.Context(), o)
		},
	}
	o.flags(c, deps)
	c.Flags().Lookup("studio").DefValue = ""
	c.Flags().BoolVar(&o.Once, "once", false, "leave when the day is done, with the paths of what was made")
	return c
}

func passwordCommand(deps Deps) *cobra.Command {
	var studio string
	c := &cobra.Command{
		Use:   "password",
		Short: "sets the password that a studio asks for on the network",
		Long: "Sets the password that a studio asks for on the network.\n\n" +
			fmt.Sprintf("It has %d to %d letters. It is asked for twice on a terminal; otherwise the first line of\nstandard input is taken. Setting another one logs every device out.", deps.Letters[0], deps.Letters[1]),
		Args: noWords,
		RunE: func(c *cobra.Command, _ []string) error {
			if studio == "" {
				return misused("say where it lies: --studio DIR", "no folder is told for the studio")
			}
			password, err := readPassword(c.InOrStdin(), c.ErrOrStderr())
			if err != nil {
				return err
			}
			if err := deps.SetPassword(c.Context(), studio, password); err != nil {
				return err
			}
			_, err = fmt.Fprintln(c.OutOrStdout(), "password set")
			return err
		},
	}
	c.Flags().StringVar(&studio, "studio", deps.Studio, "the studio's folder `DIR`")
	return c
}

// terminal returns the file behind a stream when a person sits at it.
func terminal(stream any) (*os.File, bool) {
	f, ok := stream.(*os.File)
	return f, ok && term.IsTerminal(int(f.Fd()))
}

// longestPassword bounds what is read when someone pipes the wrong thing.
const longestPassword = 1024

func readPassword(in io.Reader, prompt io.Writer) (string, error) {
	var typed []byte
	if f, ok := terminal(in); ok {
		var twice [2][]byte
		for i, ask := range []string{"new password: ", "once more: "} {
			fmt.Fprint(prompt, ask)
			b, err := term.ReadPassword(int(f.Fd()))
			fmt.Fprintln(prompt)
			if err != nil {
				return "", fmt.Errorf("reading the password: %w", err)
			}
			twice[i] = b
		}
		if string(twice[0]) != string(twice[1]) {
			return "", misused("type it again", "the two passwords differ")
		}
		typed = twice[0]
	} else {
		b, err := io.ReadAll(io.LimitReader(in, longestPassword+2))
		if err != nil {
			return "", fmt.Errorf("reading the password: %w", err)
		}
		line, _, _ := strings.Cut(string(b), "\n")
		typed = []byte(strings.TrimSuffix(line, "\r"))
	}
	switch {
	case len(typed) == 0:
		return "", misused("", "the password is empty")
	case len(typed) > longestPassword:
		return "", misused("", "the password has more than %d bytes", longestPassword)
	}
	return string(typed), nil
}
