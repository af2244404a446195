package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net"
	"os"
	"os/exec"
	"runtime"
	"syscall"
	"time"

	"platewright/internal/cli"
	"platewright/internal/web"
)

// open opens a studio and serves it until the context ends.
func open(ctx context.Context, o cli.OpenOptions) (err error) {
	h, err := enter(ctx, o.Studio, time.Now)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, h.leave()) }()
	return serve(ctx, h, o, "/")
}

// serve listens as told, says where, opens a browser at path and serves until the context ends.
func serve(ctx context.Context, h *house, o cli.OpenOptions, path string) error {
	kept, err := h.password(ctx)
	if err != nil {
		return err
	}
	if err := web.CheckListen(o.Listen, kept != ""); err != nil {
		return err
	}
	l, err := listen(ctx, o.Listen)
	if err != nil {
		return err
	}
	s, err := h.server(l.Addr().String(), slog.New(slog.NewTextHandler(o.Err, nil)))
	if err != nil {
		return errors.Join(err, l.Close())
	}
	addresses := addressesOf(l.Addr())
	for _, a := range addresses {
		fmt.Fprintf(o.Out, "serving at %s\n", a)
	}
	fmt.Fprintln(o.Out, "stop with Ctrl-C; every acknowledged press is on the disk")
	if !o.NoBrowser {
		openBrowser(o.Out, addresses[0]+path)
	}
	return s.Serve(ctx, l)
}

// listen takes the address. When it is the usual one and taken already, any free port of this
// machine does.
func listen(ctx context.Context, address string) (net.Listener, error) {
	var config net.ListenConfig
	l, err := config.Listen(ctx, "tcp", address)
	if errors.Is(err, syscall.EADDRINUSE) && address == cli.DefaultListen {
		l, err = config.Listen(ctx, "tcp", "127.0.0.1:0")
	}
	if err != nil {
		return nil, unheard(address, err)
	}
	return l, nil
}

// addressesOf returns the addresses a browser can open, the one for this machine first.
func addressesOf(at net.Addr) []string {
	host, port, err := net.SplitHostPort(at.String())
	if err != nil {
		return []string{"http://" + at.String()}
	}
	ip := net.ParseIP(host)
	if ip == nil || !ip.IsUnspecified() {
		return []string{"http://" + net.JoinHostPort(host, port)}
	}
	addresses := []string{"http://" + net.JoinHostPort("127.0.0.1", port)}
	interfaces, err := net.InterfaceAddrs()
	if err != nil {
		return addresses
	}
	for _, a := range interfaces {
		if n, ok := a.(*net.IPNet); ok && n.IP.To4() != nil && !n.IP.IsLoopback() {
			addresses = append(addresses, "http://"+net.JoinHostPort(n.IP.String(), port))
		}
	}
	return addresses
}

// openBrowser asks the desktop for its browser; without a desktop it does nothing.
func openBrowser(w io.Writer, address string) {
	var c *exec.Cmd
	switch runtime.GOOS {
	case "darwin":
		c = exec.Command("open", address)
	case "windows":
		c = exec.Command("rundll32", "url.dll,FileProtocolHandler", address)
	default:
		if os.Getenv("DISPLAY") == "" && os.Getenv("WAYLAND_DISPLAY") == "" {
			return
		}
		c = exec.Command("xdg-open", address)
	}
	if err := c.Start(); err != nil {
		fmt.Fprintf(w, "open %s in a browser (%v)\n", address, err)
		return
	}
	go func() { // so that the helper does not stay behind as a dead process
		if err := c.Wait(); err != nil {
			fmt.Fprintf(w, "open %s in a browser (%v)\n", address, err)
		}
	}()
}
