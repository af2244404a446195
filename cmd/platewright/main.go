// Command platewright plans, keeps and learns from the plates of a wet-plate portraitist.
package main

import (
	"context"
	"os"
	"os/signal"
	"runtime/debug"
	"syscall"

	"platewright/internal/cli"
	"platewright/reckon"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	status := cli.Main(ctx, os.Args[1:], os.Stdin, os.Stdout, os.Stderr, cli.Deps{
		Registry: reckon.New(),
		Version:  version(),
	})
	stop()
	os.Exit(status)
}

// version is what the build knows of itself.
func version() string {
	if info, ok := debug.ReadBuildInfo(); ok && info.Main.Version != "" {
		return info.Main.Version
	}
	return "unknown"
}
