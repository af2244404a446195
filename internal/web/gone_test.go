package web_test

import (
	"bytes"
	"context"
	"log/slog"
	"net/http/httptest"
	"testing"

	"platewright/internal/studio"
	"platewright/internal/web"
)

// One who leaves before the answer is there is no failure, and no error stands in the log.
func TestGoneBeforeTheAnswer(t *testing.T) {
	var log bytes.Buffer
	h := unbegun(t, func(c *web.Config) {
		c.Log = slog.New(slog.NewTextHandler(&log, &slog.HandlerOptions{Level: slog.LevelWarn}))
	})
	must(t)(h.studio.Begin(t.Context(), studio.Profile{Name: "Atelier", Units: studio.Metric}))
	gone, leave := context.WithCancel(t.Context())
	leave()
	for _, page := range []string{"/floor", "/desk", "/plates"} {
		h.ServeHTTP(httptest.NewRecorder(), request("GET", page, "").WithContext(gone))
	}
	if log.Len() > 0 {
		t.Errorf("the log holds %s", log.String())
	}
}
