package browsertest

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/png"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	cdplog "github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

// device is a screen the pages are tried on.
type device struct {
	name          string
	width, height int64
	touch         bool
}

var (
	desk  = device{name: "desk", width: 1440, height: 900}
	phone = device{name: "phone", width: 360, height: 740, touch: true}
)

var devices = []device{desk, phone}

// The three lights.
const (
	day  = "day"
	lamp = "lamp"
	red  = "red"
)

// tab is one browser window with cookies of its own, on one device.
type tab struct {
	t      *testing.T
	ctx    context.Context
	server *server
	device device

	mu       sync.Mutex
	troubles []string
	excused  []string
}

// open opens a tab. Everything the browser complains of while it is open fails the test in the end.
func open(t *testing.T, s *server, d device) *tab {
	t.Helper()
	needBrowser(t)
	b := &tab{t: t, server: s, device: d}
	ctx, leave := chromedp.NewContext(workshop.browser, chromedp.WithNewBrowserContext(), chromedp.WithListener(b.heard))
	b.ctx = ctx
	t.Cleanup(func() {
		// What the last act set off arrives within a moment.
		time.Sleep(100 * time.Millisecond)
		leave()
		b.mu.Lock()
		defer b.mu.Unlock()
		for _, trouble := range b.troubles {
			t.Errorf("the browser complains: %s", trouble)
		}
	})
	b.do(func(ctx context.Context, t *chromedp.Target) (chromedp.Void, error) {
		_, err := cdp.Call(ctx, t, emulation.SetDeviceMetricsOverride, emulation.SetDeviceMetricsOverrideParams{
			Width: d.width, Height: d.height, DeviceScaleFactor: 1, Mobile: d.touch})
		if err != nil {
			return chromedp.Void{}, err
		}
		_, err = cdp.Call(ctx, t, emulation.SetTouchEmulationEnabled, emulation.SetTouchEmulationEnabledParams{Enabled: d.touch})
		return chromedp.Void{}, err
	})
	return b
}

// heard keeps what the browser reports as wrong: exceptions, console errors and warnings, breaches
// of the content security policy, files not found. It runs on the goroutine that reads the browser's
// messages and must return at once.
func (b *tab) heard(event any) {
	var trouble string
	switch e := event.(type) {
	case *runtime.EventExceptionThrown:
		trouble = "exception: " + e.ExceptionDetails.Text
		if e.ExceptionDetails.Exception != nil {
			trouble += " " + e.ExceptionDetails.Exception.Description
		}
	case *runtime.EventConsoleAPICalled:
		if e.Type != runtime.ConsoleAPICalledTypeError && e.Type != runtime.ConsoleAPICalledTypeWarning && e.Type != runtime.ConsoleAPICalledTypeAssert {
			return
		}
		trouble = "console " + string(e.Type) + ":"
		for _, arg := range e.Args {
			trouble += " " + string(arg.Value) + arg.Description
		}
	case *cdplog.EventEntryAdded:
		if e.Entry.Level != cdplog.EntryLevelError && e.Entry.Level != cdplog.EntryLevelWarning {
			return
		}
		trouble = fmt.Sprintf("%s %s: %s %s", e.Entry.Source, e.Entry.Level, e.Entry.Text, e.Entry.URL)
	default:
		return
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	for _, excuse := range b.excused {
		if strings.Contains(trouble, excuse) {
			return
		}
	}
	b.troubles = append(b.troubles, trouble)
}

// excuse lets the browser complain of what a test brings about itself.
func (b *tab) excuse(parts ...string) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.excused = append(b.excused, parts...)
}

// refusedStatus is how the browser reports a form that the server sent back.
const refusedStatus = "the server responded with a status of 4"

// actWithin bounds one act of a test in the browser.
const actWithin = 20 * time.Second

// do acts in the browser and fails the test if that does not work.
func (b *tab) do(acts ...chromedp.Action[chromedp.Void]) {
	b.t.Helper()
	ctx, cancel := b.within()
	defer cancel()
	if err := chromedp.Do(ctx, acts...); err != nil {
		b.t.Fatalf("%s: %v", b.where(), err)
	}
}

// within bounds one act, once the tab is open: the context of the first act lives as long as the tab.
func (b *tab) within() (context.Context, context.CancelFunc) {
	if c := chromedp.FromContext(b.ctx); c == nil || c.Target == nil {
		return b.ctx, func() {}
	}
	return context.WithTimeout(b.ctx, actWithin)
}

// where is the page the tab is at, for messages.
func (b *tab) where() string {
	ctx, cancel := context.WithTimeout(b.ctx, 2*time.Second)
	defer cancel()
	at, err := chromedp.Run(ctx, chromedp.Location())
	if err != nil {
		at = "(" + err.Error() + ")"
	}
	return fmt.Sprintf("%s at %s", b.device.name, strings.TrimPrefix(at, b.server.base))
}

// eval evaluates a script in the page through the protocol, which the page's policy does not bind.
func eval[T any](b *tab, script string) T {
	b.t.Helper()
	ctx, cancel := b.within()
	defer cancel()
	v, err := chromedp.Run(ctx, chromedp.Evaluate[T](script, chromedp.EvalAwaitPromise))
	if err != nil {
		b.t.Fatalf("%s: %s: %v", b.where(), brief(script), err)
	}
	return v
}

func brief(s string) string {
	if len(s) > 200 {
		return s[:200] + "..."
	}
	return s
}

// light sets the device's light as the buttons do, before a page is asked for.
func (b *tab) light(light string) {
	b.t.Helper()
	b.do(func(ctx context.Context, t *chromedp.Target) (chromedp.Void, error) {
		_, err := cdp.Call(ctx, t, network.SetCookie, network.SetCookieParams{Name: "light", Value: light, URL: b.server.base})
		return chromedp.Void{}, err
	})
}

// goTo opens a page of the studio and waits until its letters are there too.
func (b *tab) goTo(path string) {
	b.t.Helper()
	b.do(chromedp.Navigate(b.server.base + path))
	b.settled()
}

// settled waits for the letters and for the next two frames.
func (b *tab) settled() {
	b.t.Helper()
	eval[bool](b, `document.fonts.ready.then(() => new Promise(ok => requestAnimationFrame(() => requestAnimationFrame(() => ok(true)))))`)
}

// path is the path and query of the page shown.
func (b *tab) path() string {
	b.t.Helper()
	return eval[string](b, "location.pathname + location.search")
}

// text is all the text of the page as it is drawn.
func (b *tab) text() string {
	b.t.Helper()
	return eval[string](b, "document.body.innerText")
}

// wait waits until a script's value holds.
func (b *tab) wait(what, script string) {
	b.t.Helper()
	until := time.Now().Add(actWithin)
	for {
		ctx, cancel := b.within()
		held, err := chromedp.Run(ctx, chromedp.Evaluate[bool]("!!("+script+")"))
		cancel()
		if err == nil && held {
			return
		}
		if time.Now().After(until) {
			b.t.Fatalf("%s: waited in vain for %s (%v); the page says:\n%s", b.where(), what, err, b.text())
		}
		time.Sleep(40 * time.Millisecond)
	}
}

// press presses what a selector finds, as a finger or a mouse does: in the middle of it, where
// nothing else may lie over it.
func (b *tab) press(selector string) {
	b.t.Helper()
	b.do(b.pressing(selector))
}

func (b *tab) pressing(selector string) chromedp.Action[chromedp.Void] {
	at := eval[struct {
		X, Y  float64
		Wrong string
	}](b, fmt.Sprintf(`(() => {
		const all = [...document.querySelectorAll(%q)].filter(e => e.getClientRects().length > 0);
		if (all.length === 0) { return {Wrong: 'is not to be seen'} }
		const e = all[0];
		let top;
		for (const block of ['center', 'end', 'start']) { // something may stand fast over a part of the page
			e.scrollIntoView({block, behavior: 'instant'});
			const r = e.getBoundingClientRect();
			const x = r.x + r.width / 2, y = r.y + r.height / 2;
			top = document.elementFromPoint(x, y);
			if (top && (e.contains(top) || top.contains(e))) { return {X: x, Y: y, Wrong: ''} }
		}
		return {Wrong: 'is covered by ' + (top ? top.outerHTML.slice(0, 120) : 'nothing of the page')};
	})()`, selector))
	if at.Wrong != "" {
		b.t.Fatalf("%s: %s %s; the page says:\n%s", b.where(), selector, at.Wrong, b.text())
	}
	if b.device.touch {
		return chromedp.TapXY(at.X, at.Y)
	}
	return chromedp.MouseClickXY(at.X, at.Y)
}

// follow presses, waits for the page it leads to, and returns that page's status.
func (b *tab) follow(selector string) int64 {
	b.t.Helper()
	act := b.pressing(selector)
	ctx, cancel := b.within()
	defer cancel()
	r, err := chromedp.RunResponse(ctx, act)
	if err != nil {
		b.t.Fatalf("%s: press %s: %v; the page says:\n%s", b.where(), selector, err, b.text())
	}
	b.settled()
	return r.Status
}

// write clears a field and types into it, key by key.
func (b *tab) write(name, text string) {
	b.t.Helper()
	field := fmt.Sprintf("#work [name=%q]", name)
	if id := eval[string](b, fmt.Sprintf("(document.querySelector(%q) || {}).id || ''", field)); id != "" {
		b.unfold(id)
	}
	b.press(field)
	eval[bool](b, fmt.Sprintf("(() => { const f = document.querySelector(%q); f.select(); return true })()", field))
	if text == "" {
		b.do(chromedp.KeyEvent("\b"))
		return
	}
	b.do(chromedp.KeyEvent(text))
}

// choose picks one of a choice by its value or, when the value is an id, by its word.
func (b *tab) choose(name, word string) {
	b.t.Helper()
	id := eval[string](b, fmt.Sprintf(`(() => {
		for (const i of document.querySelectorAll('#work input[type=radio][name=%q], #work input[type=checkbox][name=%q]')) {
			const label = i.closest('label');
			if (i.value === %q || label && label.textContent.trim().startsWith(%q)) { return i.id }
		}
		return '';
	})()`, name, name, word, word))
	if id == "" {
		b.t.Fatalf("%s: no choice %q is called %q; the page says:\n%s", b.where(), name, word, b.text())
	}
	b.unfold(id)
	label := fmt.Sprintf("label:has(#%s)", id)
	b.press(label)
	b.wait("choice "+name+" "+word, fmt.Sprintf("document.getElementById(%q).checked", id))
}

// unfold opens what is folded around an element, by its heading. An answer that comes in between may move
// the heading from under the finger: then it is pressed again, as anybody would.
func (b *tab) unfold(id string) {
	b.t.Helper()
	folded := fmt.Sprintf(`(() => {
		const d = document.getElementById(%q).closest('details:not([open])');
		if (d) { d.querySelector('summary').dataset.browserTestFold = %q }
		return !!d;
	})()`, id, id)
	for range 4 {
		if !eval[bool](b, folded) {
			return
		}
		b.press(fmt.Sprintf("[data-browser-test-fold=%q]", id))
		time.Sleep(80 * time.Millisecond)
	}
	if eval[bool](b, folded) {
		b.t.Fatalf("%s: what is folded around %s does not open", b.where(), id)
	}
}

// picture is what the window shows.
func (b *tab) picture() image.Image {
	b.t.Helper()
	shown, err := png.Decode(bytes.NewReader(b.pictureBytes(nil)))
	if err != nil {
		b.t.Fatal(err)
	}
	return shown
}

func (b *tab) pictureBytes(clip *page.Viewport) []byte {
	b.t.Helper()
	ctx, cancel := b.within()
	defer cancel()
	p := page.CaptureScreenshotParams{Clip: clip}
	if clip != nil {
		beyond := true
		p.CaptureBeyondViewport = &beyond
	}
	r, err := chromedp.Call(ctx, page.CaptureScreenshot, p)
	if err != nil {
		b.t.Fatalf("%s: picture: %v", b.where(), err)
	}
	return r.Data
}
