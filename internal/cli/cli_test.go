package cli_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"platewright/internal/cli"
	"platewright/reckon"
)

// ruled is a refusal as another part of the product makes one.
type ruled struct{}

func (ruled) Error() string { return "open: refused" }
func (ruled) Refused() (why, hint string) {
	return "the network may not see a studio without a password", "platewright password sets one"
}

// told stands in for what the rest of the product does: it prints what it was asked.
func told() cli.Deps {
	open := func(name string, o cli.OpenOptions) error {
		switch o.Studio {
		case "ruled":
			return fmt.Errorf("%s: %w", name, ruled{})
		case "broken":
			return errors.New("studio broken: no such folder\nand nothing near it")
		case "stopped":
			return context.Canceled
		}
		_, err := fmt.Fprintf(o.Out, "%s studio=%q listen=%s browser=%t\n", name, o.Studio, o.Listen, !o.NoBrowser)
		return err
	}
	return cli.Deps{
		Registry: reckon.New(),
		Studio:   "usual-studio",
		Version:  "1.2.3",
		Open:     func(_ context.Context, o cli.OpenOptions) error { return open("open", o) },
		Demo: func(_ context.Context, o cli.DemoOptions) error {
			return open(fmt.Sprintf("demo once=%t", o.Once), o.OpenOptions)
		},
		SetPassword: func(_ context.Context, studio, password string) error {
			_, err := fmt.Fprintf(os.Stderr, "password of %q is %q\n", studio, password)
			return err
		},
	}
}

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"platewright": func() {
			os.Exit(cli.Main(context.Background(), os.Args[1:], os.Stdin, os.Stdout, os.Stderr, told()))
		},
		"bare": func() {
			os.Exit(cli.Main(context.Background(), os.Args[1:], os.Stdin, os.Stdout, os.Stderr, cli.Deps{Registry: reckon.New()}))
		},
	})
}

// One script per job of the command line.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir: "testdata",
		Setup: func(env *testscript.Env) error {
			env.Setenv("ESC", "\x1b")
			return nil
		},
		Cmds: map[string]func(ts *testscript.TestScript, neg bool, args []string){
			// exits N COMMAND... runs a command and checks its exit status.
			"exits": func(ts *testscript.TestScript, neg bool, args []string) {
				if neg || len(args) < 2 {
					ts.Fatalf("usage: exits STATUS COMMAND [WORD ...]")
				}
				err := ts.Exec(args[1], args[2:]...)
				status := 0
				var exit interface{ ExitCode() int }
				if errors.As(err, &exit) {
					status = exit.ExitCode()
				} else if err != nil {
					ts.Fatalf("%v", err)
				}
				if fmt.Sprint(status) != args[0] {
					ts.Fatalf("exit status %d, want %s", status, args[0])
				}
			},
		},
	})
}

// A batch that waits for its next question ends when it is told to stop.
func TestBatchStops(t *testing.T) {
	in, ask := io.Pipe()
	defer ask.Close()
	ctx, stop := context.WithCancel(context.Background())
	stop()
	var stderr bytes.Buffer
	status := cli.Main(ctx, []string{"reckon", "seconds"}, in, io.Discard, &stderr, told())
	if status != cli.Failed || stderr.String() != "error: stopped before it was done\n" {
		t.Errorf("status %d, %q", status, stderr.String())
	}
}
