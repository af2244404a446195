package browsertest

import (
	"context"
	"fmt"
	"image"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
)

// TestRedPixels walks through every page in red light and looks at every pixel; the head of
// pixels_test.go says what that proves and what not.
func TestRedPixels(t *testing.T) {
	needBrowser(t)
	built, err := example()
	if err != nil {
		t.Fatal(err)
	}
	for _, d := range devices {
		t.Run(d.name, func(t *testing.T) {
			t.Parallel()
			// A copy of its own, for the walk sends forms.
			dir := filepath.Join(t.TempDir(), "studio")
			if err := os.CopyFS(dir, os.DirFS(built)); err != nil {
				t.Fatal(err)
			}
			s := serve(t, dir)
			w := &redWalk{tab: open(t, s, d), seen: map[string]bool{}}
			w.excuse(refusedStatus, "net::ERR_BLOCKED_BY_CLIENT", "was preloaded using link preload")
			w.walk(visited(t, s))
		})
	}
}

// redWalk is a walk through the pages in red light, filmed from a red page on.
type redWalk struct {
	*tab
	film    *film
	seen    map[string]bool // kinds of things tried
	refused int             // forms sent back
}

func (w *redWalk) walk(paths []string) {
	w.light(day)
	w.goTo("/desk")
	if count, _, _ := lit(w.picture()); count == 0 {
		w.t.Fatal("in day light the check of pixels finds nothing lit, so it proves nothing")
	}
	w.light(red)
	w.goTo("/desk")
	w.film = w.tab.film(w.onlyRed)
	for _, path := range paths {
		w.film.doing("of " + path + ", loading")
		w.goTo(path)
		w.rest(path)
		w.things(path)
		w.forms(path)
	}
	w.late(paths)
	w.film.stop()
	w.t.Logf("%d pages, %d frames, %d kinds of things tried, %d forms sent back", len(paths), w.film.all, len(w.seen), w.refused)
	if w.refused < 5 {
		w.t.Errorf("only %d forms were sent back with refusals; the walk is meant to see those of every room", w.refused)
	}
}

func (w *redWalk) onlyRed(what string, shown image.Image) { onlyRed(w.t, what, shown) }

// look looks at the window as it is now.
func (w *redWalk) look(what string) {
	w.t.Helper()
	onlyRed(w.t, w.device.name+" "+what, w.picture())
}

// rest looks at a page at rest: its top, its end, and with all selected. On the way down the film
// looks.
func (w *redWalk) rest(what string) {
	w.t.Helper()
	shown := w.picture()
	onlyRed(w.t, w.device.name+" "+what, shown)
	if dark(shown) {
		w.t.Errorf("%s %s: nothing is shown", w.device.name, what)
	}
	eval[bool](w.tab, `(async () => {
		for (let step = 0; step < 12; step++) {
			const y = scrollY;
			scrollBy(0, innerHeight * 0.8);
			if (scrollY <= y) { break }
			await new Promise(ok => requestAnimationFrame(() => requestAnimationFrame(ok)));
		}
		getSelection().selectAllChildren(document.body);
		await new Promise(ok => requestAnimationFrame(() => requestAnimationFrame(ok)));
		return true;
	})()`)
	w.look(what + " at its end, with all selected")
	eval[bool](w.tab, `(() => { getSelection().removeAllRanges(); scrollTo(0, 0); return true })()`)
}

// findThings keeps in the page everything that can be focused or pressed and returns a word for the
// kind of each; what looks and acts alike is one kind.
const findThings = `(() => {
	const all = [...document.querySelectorAll('a[href], button, input:not([type=hidden]), textarea, select, summary, label.option, [tabindex], [draggable=true], svg [role]')]
		.filter(e => e.getClientRects().length > 0 && getComputedStyle(e).visibility === 'visible');
	if (!window.browserTestThings) { // what is pressed down is let go again, and nothing shall come of it
		for (const kind of ['click', 'submit']) {
			addEventListener(kind, e => { e.preventDefault(); e.stopImmediatePropagation() }, {capture: true});
		}
	}
	window.browserTestThings = all;
	return all.map(e => {
		const r = e.closest('main, nav, aside, header, form.search') || document.body;
		return [r.tagName, e.tagName, e.type || '', e.getAttribute('class') || '', e.getAttribute('role') || '', e.disabled ? 'disabled' : '',
			e.closest('.wrong') ? 'wrong' : '', (e.parentElement.getAttribute('class') || '')].join('|');
	});
})()`

// things focuses, points at, presses down, types into and selects in one thing of each kind.
func (w *redWalk) things(path string) {
	w.t.Helper()
	for i, kind := range eval[[]string](w.tab, findThings) {
		if w.seen[kind] {
			continue
		}
		w.seen[kind] = true
		what := path + " " + kind
		w.film.doing("of " + what)
		at := eval[[]float64](w.tab, fmt.Sprintf(`(() => {
			const e = window.browserTestThings[%d];
			e.scrollIntoView({block: 'center', behavior: 'instant'});
			e.focus({focusVisible: true});
			const r = e.getBoundingClientRect();
			return [Math.min(innerWidth - 1, r.x + r.width / 2), Math.min(innerHeight - 1, r.y + r.height / 2)];
		})()`, i))
		w.settled() // the film has it focused
		w.do(mouse(input.DispatchMouseEventTypeMouseMoved, at[0], at[1]))
		w.settled() // and pointed at
		w.do(mouse(input.DispatchMouseEventTypeMousePressed, at[0], at[1]))
		w.settled()
		w.look(what + " pressed down")
		w.do(mouse(input.DispatchMouseEventTypeMouseReleased, at[0], at[1]))
		if strings.Contains(kind, "|text|") || strings.Contains(kind, "TEXTAREA") || strings.Contains(kind, "|password|") {
			eval[bool](w.tab, fmt.Sprintf(`(() => { window.browserTestThings[%d].focus(); return true })()`, i))
			w.do(chromedp.KeyEvent("teh mispeled 6 1/2 in"))
			w.settled() // and typed into
			eval[bool](w.tab, fmt.Sprintf(`(() => { window.browserTestThings[%d].select(); return true })()`, i))
			w.settled()
			w.look(what + " with its text selected")
			eval[bool](w.tab, `(() => { getSelection().removeAllRanges(); return true })()`)
		}
	}
}

func mouse(kind input.DispatchMouseEventType, x, y float64) chromedp.Action[chromedp.Void] {
	return func(ctx context.Context, t *chromedp.Target) (chromedp.Void, error) {
		p := input.DispatchMouseEventParams{Type: kind, X: x, Y: y}
		if kind != input.DispatchMouseEventTypeMouseMoved {
			p.Button, p.ClickCount = input.MouseButtonLeft, 1
		}
		_, err := cdp.Call(ctx, t, input.DispatchMouseEvent, p)
		return chromedp.Void{}, err
	}
}

// forms sends every form of the work with what no field takes, as a page without script does, and
// looks at what comes back.
func (w *redWalk) forms(path string) {
	w.t.Helper()
	w.goTo(path)
	n := eval[int](w.tab, `document.querySelectorAll('#work form').length`)
	for i := range n {
		w.goTo(path)
		key := eval[string](w.tab, fmt.Sprintf(`(() => { const f = document.querySelectorAll('#work form')[%d]; return f ? 'form ' + f.method + ' ' + new URL(f.action).pathname : '' })()`, i))
		if key == "" {
			continue // the page has changed by what was sent
		}
		key = "form of " + patternOf(path) + " " + patternOf(strings.TrimPrefix(key, "form post "))
		if w.seen[key] {
			continue
		}
		w.seen[key] = true
		w.film.doing("of " + key)
		status := w.send(fmt.Sprintf(`(() => {
			const f = document.querySelectorAll('#work form')[%d];
			for (const e of f.elements) { if (e.type === 'text' || e.tagName === 'TEXTAREA') { e.value = '?! 7 of nothing' } }
			HTMLFormElement.prototype.submit.call(f);
			return true;
		})()`, i))
		if status >= 400 {
			w.refused++
		}
		w.settled()
		w.rest(fmt.Sprintf("%s answered with %d", key, status))
		w.things(key)
	}
}

// send runs a script that leads to another page and returns that page's status.
func (w *redWalk) send(script string) int64 {
	w.t.Helper()
	ctx, cancel := w.within()
	defer cancel()
	r, err := chromedp.RunResponse(ctx, chromedp.Evaluate[chromedp.Void](script))
	if err != nil {
		w.t.Fatalf("%s: %s: %v", w.where(), brief(script), err)
	}
	return r.Status
}

// late walks to the pages while their style sheets are held back, and while style sheets, letters and
// scripts never arrive.
func (w *redWalk) late(paths []string) {
	w.t.Helper()
	held, let := w.hold("*/static/*.css*")
	for _, path := range paths {
		w.film.doing("of " + path + ", its style sheets held back")
		held.held.Store(0)
		w.do(noCache(true), chromedp.Navigate(w.server.base+path))
		w.settled()
		if held.held.Load() == 0 {
			w.t.Errorf("%s: no style sheet was held back", path)
		}
		w.look(path + " after its style sheets were held back")
		if !w.film.seen(5 * time.Second) {
			w.t.Errorf("%s with its style sheets held back: the film has no frame of it", path)
		}
	}
	let()
	lost, let := w.hold("*/static/*")
	lost.lost.Store(true)
	for _, path := range paths {
		w.film.doing("of " + path + ", without style sheets")
		w.do(noCache(true), chromedp.Navigate(w.server.base+path))
		w.look(path + " without style sheets")
		if !w.film.seen(5 * time.Second) {
			w.t.Errorf("%s without style sheets: the film has no frame of it", path)
		}
	}
	let()
	w.do(noCache(false))
}

// glare is the part of a picture's pixels that light green more than half.
func glare(shown image.Image) float64 {
	bounds, bright, all := shown.Bounds(), 0, 0
	for y := bounds.Min.Y; y < bounds.Max.Y; y += 2 {
		for x := bounds.Min.X; x < bounds.Max.X; x += 2 {
			if _, g, _, _ := shown.At(x, y).RGBA(); g>>8 > 128 {
				bright++
			}
			all++
		}
	}
	return float64(bright) / float64(all)
}

// TestRedComesWhole switches from lamp to red, and then back in the browser's history to a page that
// was last seen by day. Of the frames the browser hands out none flashes, and from the first red one
// on all are red.
func TestRedComesWhole(t *testing.T) {
	needBrowser(t)
	s := exampleServer(t)
	for _, d := range devices {
		t.Run(d.name, func(t *testing.T) {
			b := open(t, s, d)
			b.light(day)
			b.goTo("/desk")
			if g := glare(b.picture()); g < 0.5 {
				t.Fatalf("by day %.0f %% of the desk is bright, so the check of glare proves nothing", 100*g)
			}
			b.light(lamp)
			b.goTo("/plates")
			came, frames := false, 0
			f := b.film(func(what string, shown image.Image) {
				frames++
				if count, _, _ := lit(shown); count == 0 {
					came = true
				} else if came {
					onlyRed(t, what, shown)
				}
				if g := glare(shown); g > 0.25 {
					t.Errorf("%s: %.0f %% of the window is bright", what, 100*g)
				}
			})
			f.doing("of the switch to red")
			b.follow(".lights button[value=red]")
			onlyRed(t, "the plate store after the switch", b.picture())
			f.doing("of going back")
			b.do(goBack)
			b.wait("the desk", `location.pathname === '/desk' && document.readyState === 'complete'`)
			b.wait("red light", `document.documentElement.dataset.light === 'red' && !document.documentElement.classList.contains('away')`)
			b.settled()
			onlyRed(t, "the desk after going back", b.picture())
			f.stop()
			if !came {
				t.Errorf("of %d frames none is red", frames)
			}
		})
	}
}

// goBack goes back two pages in the browser's history: over the switch to what was before it.
func goBack(ctx context.Context, t *chromedp.Target) (chromedp.Void, error) {
	return chromedp.Evaluate[chromedp.Void](`setTimeout(() => history.go(-2), 10); 0`)(ctx, t)
}
