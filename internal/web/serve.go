package web

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"time"
)

// How long one request may take to be read and answered, an idle connection
// may stay, an upload may go on, and a stopping server waits for the rest.
const (
	headerTime = 10 * time.Second
	readTime   = 30 * time.Second
	answerTime = 60 * time.Second
	idleTime   = 2 * time.Minute
	uploadTime = 15 * time.Minute
	stopTime   = 10 * time.Second
)

// Serve answers on a listener until the context ends, then lets what is being
// answered finish.
func (s *Server) Serve(ctx context.Context, l net.Listener) error {
	server := &http.Server{
		Handler:           s,
		ReadHeaderTimeout: headerTime,
		ReadTimeout:       readTime,
		WriteTimeout:      answerTime,
		IdleTimeout:       idleTime,
		MaxHeaderBytes:    64 << 10,
		ErrorLog:          slog.NewLogLogger(s.cfg.Log.Handler(), slog.LevelWarn),
	}
	ended := make(chan error, 1)
	go func() { ended <- server.Serve(l) }()
	select {
	case err := <-ended:
		return fmt.Errorf("serve %s: %w", l.Addr(), err)
	case <-ctx.Done():
	}
	stop, cancel := context.WithTimeout(context.WithoutCancel(ctx), stopTime)
	defer cancel()
	err := server.Shutdown(stop)
	if errors.Is(err, context.DeadlineExceeded) {
		if err := server.Close(); err != nil {
			return fmt.Errorf("stop serving %s: %w", l.Addr(), err)
		}
		return fmt.Errorf("stop serving %s: after %v some request was not finished; it was cut off and nothing of it acknowledged", l.Addr(), stopTime)
	}
	if err != nil {
		return fmt.Errorf("stop serving %s: %w", l.Addr(), errors.Join(err, server.Close()))
	}
	return nil
}

// allowSlow gives an upload more time than other requests have. A writer that
// knows no deadlines (a test's) is left as it is.
func (s *Server) allowSlow(w http.ResponseWriter) {
	c := http.NewResponseController(w)
	until := time.Now().Add(uploadTime)
	if err := errors.Join(c.SetReadDeadline(until), c.SetWriteDeadline(until.Add(answerTime))); err != nil && !errors.Is(err, http.ErrNotSupported) {
		s.cfg.Log.Warn("upload deadline", "error", err)
	}
}
