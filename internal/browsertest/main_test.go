package browsertest

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// root is the root of the module, seen from this package.
const root = "../.."

// workshop is what all tests of a process share: the folder they work in, the program and the
// browser.
var workshop struct {
	dir     string // removed at the end
	chrome  string // the browser's program; empty when there is none
	browser context.Context
	stop    func()
}

func TestMain(m *testing.M) {
	flag.Parse()
	os.Exit(run(m))
}

func run(m *testing.M) (status int) {
	dir, err := os.MkdirTemp("", "platewright-browser-")
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	workshop.dir = dir
	defer func() {
		stopExample()
		if workshop.stop != nil {
			workshop.stop()
		}
		if err := os.RemoveAll(dir); err != nil {
			fmt.Fprintln(os.Stderr, err)
			status = max(status, 1)
		}
	}()
	workshop.chrome = findChromium()
	switch {
	case workshop.chrome != "":
	case required():
		fmt.Fprintln(os.Stderr, "no chromium on this machine, and PLATEWRIGHT_BROWSER=required wants one")
		return 1
	default:
		sayLeftOut()
		return 0
	}
	return m.Run()
}

// sayLeftOut says that no browser looked at the screens. The go command hides what a passing package
// prints, so it is said on the terminal too where there is one, and by the line that makes the go
// command write "[no tests to run]" behind the package's name.
func sayLeftOut() {
	fmt.Fprintln(os.Stderr, leftOut)
	fmt.Println("testing: warning: no tests to run")
	if terminal, err := os.OpenFile("/dev/tty", os.O_WRONLY, 0); err == nil {
		fmt.Fprintln(terminal, leftOut)
		if err := terminal.Close(); err != nil {
			fmt.Fprintln(os.Stderr, err)
		}
	}
}

const leftOut = "LEFT OUT: no chromium on this machine, so no browser looked at the screens (install chromium and run the tests again)"

func required() bool { return os.Getenv("PLATEWRIGHT_BROWSER") == "required" }

// findChromium returns the path of the browser; empty when there is none, or when
// PLATEWRIGHT_BROWSER=without asks to do as if there were none.
func findChromium() string {
	if os.Getenv("PLATEWRIGHT_BROWSER") == "without" {
		return ""
	}
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome-stable", "google-chrome"} {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	return ""
}

// needBrowser starts the browser that all tests share.
func needBrowser(t *testing.T) {
	t.Helper()
	if err := startBrowser(); err != nil {
		t.Fatal(err)
	}
}

var startBrowser = sync.OnceValue(func() error {
	options := append(slices.Clone(chromedp.DefaultExecAllocatorOptions[:]),
		chromedp.ExecPath(workshop.chrome),
		chromedp.NoSandbox,
		chromedp.Flag("disable-quic", true),
		chromedp.Flag("disable-component-update", true),
		chromedp.Flag("hide-scrollbars", false), // red light must reach the scroll bars too
		chromedp.Flag("disable-gpu", true),
		chromedp.UserDataDir(filepath.Join(workshop.dir, "browser")),
	)
	allocated, free := chromedp.NewExecAllocator(context.Background(), options...)
	ctx, leave := chromedp.NewContext(allocated)
	workshop.browser = ctx
	workshop.stop = func() { leave(); free() }
	if err := chromedp.Do(ctx); err != nil {
		return fmt.Errorf("start %s: %w", workshop.chrome, err)
	}
	return nil
})

// program is the path of the program, built once a process. The go command keeps a passed test's
// result until something the test opened has changed, so every folder the program is built from is
// opened here.
var program = sync.OnceValues(func() (string, error) {
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		switch {
		case err != nil && path != root && errors.Is(err, fs.ErrNotExist):
			return nil // another process took it away in between
		case err != nil:
			return err
		case d.IsDir() && path != root && strings.HasPrefix(d.Name(), "."):
			return fs.SkipDir
		}
		return nil
	})
	if err != nil {
		return "", err
	}
	built := filepath.Join(workshop.dir, "platewright")
	command := exec.Command("go", "build", "-o", built, "./cmd/platewright")
	command.Dir = root
	if out, err := command.CombinedOutput(); err != nil {
		return "", fmt.Errorf("go build: %w\n%s", err, out)
	}
	return built, nil
})

// example is the folder of the example studio, made once a process by the command demo.
var example = sync.OnceValues(func() (string, error) {
	built, err := program()
	if err != nil {
		return "", err
	}
	dir := filepath.Join(workshop.dir, "example")
	ctx, cancel := context.WithTimeout(context.Background(), 3*time.Minute)
	defer cancel()
	out, err := exec.CommandContext(ctx, built, "demo", "--once", "--studio", dir).CombinedOutput()
	if err != nil {
		return "", fmt.Errorf("platewright demo --once: %w\n%s", err, out)
	}
	return dir, nil
})
