// Command platewright plans, keeps and learns from the plates of a wet-plate portraitist.
package main

import (
	"context"
	"os"
	"os/signal"
	"path/filepath"
	"runtime/debug"
	"syscall"

	"platewright/internal/cli"
	"platewright/internal/web"
	"platewright/reckon"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	status := cli.Main(ctx, os.Args[1:], os.Stdin, os.Stdout, os.Stderr, cli.Deps{
		Registry:    reckon.New(),
		Open:        open,
		Demo:        doDemo,
		SetPassword: setPassword,
		Studio:      usualStudio(),
		Letters:     [2]int{web.PasswordLeast, web.PasswordMost},
		Version:     version(),
	})
	stop()
	os.Exit(status)
}

// usualStudio is the folder a studio lies in when none is told; empty when this machine names no
// home.
func usualStudio() string {
	home, err := os.UserHomeDir()
	if err != nil {
		return ""
	}
	return filepath.Join(home, "Platewright")
}

// version is what the build knows of itself.
func version() string {
	if info, ok := debug.ReadBuildInfo(); ok && info.Main.Version != "" {
		return info.Main.Version
	}
	return "unknown"
}
