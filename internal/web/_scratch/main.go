package main

import (
	"context"
	"log/slog"
	"net"
	"os"
	"time"

	"platewright/internal/web"
)

func main() {
	s, err := web.New(web.Config{Clock: time.Now, Log: slog.New(slog.NewTextHandler(os.Stderr, nil)), Listen: "127.0.0.1:8499",
		StudioName: func(context.Context) (string, error) { return "Atelier at the Lock", nil }})
	if err != nil {
		panic(err)
	}
	l, err := net.Listen("tcp", "127.0.0.1:8499")
	if err != nil {
		panic(err)
	}
	panic(s.Serve(context.Background(), l))
}
