package browsertest

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/png"
	"sync"
	"sync/atomic"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/fetch"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// film takes every frame the browser hands out, until it is stopped, and looks at each.
type film struct {
	b      *tab
	look   func(what string, shown image.Image)
	mu     sync.Mutex
	at     string // what is being done
	frames int    // since at was set
	all    int
	stop   func()
	done   chan struct{}
}

func (b *tab) film(look func(what string, shown image.Image)) *film {
	b.t.Helper()
	f := &film{b: b, look: look, done: make(chan struct{})}
	ctx, cancel := context.WithCancel(b.ctx)
	frames := chromedp.Events(ctx, page.ScreencastFrame)
	go func() {
		defer close(f.done)
		for frame, err := range frames {
			if err != nil {
				return
			}
			if _, err := chromedp.Call(ctx, page.ScreencastFrameAck, page.ScreencastFrameAckParams{SessionID: frame.SessionID}); err != nil && ctx.Err() == nil {
				b.t.Errorf("film: %v", err)
			}
			shown, err := png.Decode(bytes.NewReader(frame.Data))
			if err != nil {
				b.t.Errorf("film: %v", err)
				continue
			}
			f.mu.Lock()
			f.frames++
			f.all++
			what := fmt.Sprintf("%s frame %d %s", b.device.name, f.frames, f.at)
			f.mu.Unlock()
			f.look(what, shown)
		}
	}()
	f.stop = func() {
		if _, err := chromedp.Call(b.ctx, page.StopScreencast, cdp.Empty{}); err != nil {
			b.t.Error(err)
		}
		cancel()
		<-f.done
	}
	one := int64(1)
	if _, err := chromedp.Call(ctx, page.StartScreencast, page.StartScreencastParams{
		Format: page.StartScreencastFormatPng, MaxWidth: b.device.width, MaxHeight: b.device.height, EveryNthFrame: one}); err != nil {
		b.t.Fatal(err)
	}
	return f
}

// doing says what the next frames are of.
func (f *film) doing(what string) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.at, f.frames = what, 0
}

// seen tells whether there is a frame of what is being done, and waits a while for one.
func (f *film) seen(within time.Duration) bool {
	for until := time.Now().Add(within); ; time.Sleep(20 * time.Millisecond) {
		f.mu.Lock()
		n := f.frames
		f.mu.Unlock()
		if n > 0 || time.Now().After(until) {
			return n > 0
		}
	}
}

// heldBack is how long style sheets are held back.
const heldBack = 120 * time.Millisecond

// holding holds back, or loses, what the pages ask for by these patterns, until the test ends.
type holding struct {
	lost atomic.Bool
	held atomic.Int64
	gone atomic.Int64
}

// answer lets a request go on after a while, or loses it.
func (h *holding) answer(ctx context.Context, id fetch.RequestID) {
	var err error
	if h.lost.Load() {
		_, err = chromedp.Call(ctx, fetch.FailRequest, fetch.FailRequestParams{RequestID: id, ErrorReason: network.ErrorReasonBlockedByClient})
	} else {
		time.Sleep(heldBack)
		_, err = chromedp.Call(ctx, fetch.ContinueRequest, fetch.ContinueRequestParams{RequestID: id})
	}
	if err != nil {
		h.gone.Add(1) // a page left meanwhile has taken its requests with it
	}
}

func (b *tab) hold(patterns ...string) (*holding, func()) {
	b.t.Helper()
	h := &holding{}
	ctx, cancel := context.WithCancel(b.ctx)
	paused := chromedp.Events(ctx, fetch.RequestPaused)
	done := make(chan struct{})
	go func() {
		defer close(done)
		for request, err := range paused {
			if err != nil {
				return
			}
			h.held.Add(1)
			go h.answer(ctx, request.RequestID)
		}
	}()
	var wanted []*fetch.RequestPattern
	for _, p := range patterns {
		wanted = append(wanted, &fetch.RequestPattern{URLPattern: p})
	}
	if _, err := chromedp.Call(b.ctx, fetch.Enable, fetch.EnableParams{Patterns: wanted}); err != nil {
		b.t.Fatal(err)
	}
	return h, func() {
		if _, err := chromedp.Call(b.ctx, fetch.Disable, cdp.Empty{}); err != nil {
			b.t.Error(err)
		}
		cancel()
		<-done
	}
}

// noCache keeps the browser from its cache, or lets it at it.
func noCache(disabled bool) chromedp.Action[chromedp.Void] {
	return func(ctx context.Context, t *chromedp.Target) (chromedp.Void, error) {
		_, err := cdp.Call(ctx, t, network.SetCacheDisabled, network.SetCacheDisabledParams{CacheDisabled: disabled})
		return chromedp.Void{}, err
	}
}
