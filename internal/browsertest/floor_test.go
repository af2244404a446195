package browsertest

import (
	"fmt"
	"strconv"
	"testing"

	"github.com/chromedp/cdproto/input"
)

// drag takes a handle of the floor by its middle and moves it by so many pixels, in a few steps, and lets
// it go.
func (b *tab) drag(id string, dx, dy float64) {
	b.t.Helper()
	at := eval[[]float64](b, fmt.Sprintf(`(() => {
		const e = document.querySelector('#%s .handle');
		e.scrollIntoView({block: 'center', behavior: 'instant'});
		const r = e.getBoundingClientRect(), x = r.x + r.width / 2, y = r.y + r.height / 2;
		if (!document.elementFromPoint(x, y)?.closest('#%s')) { throw new Error('%s is covered') }
		return [x, y];
	})()`, id, id, id))
	b.do(mouse(input.DispatchMouseEventTypeMouseMoved, at[0], at[1]))
	b.do(mouse(input.DispatchMouseEventTypeMousePressed, at[0], at[1]))
	for i := 1.0; i <= 4; i++ {
		b.do(mouse(input.DispatchMouseEventTypeMouseMoved, at[0]+dx*i/4, at[1]+dy*i/4))
		b.settled()
	}
	b.do(mouse(input.DispatchMouseEventTypeMouseReleased, at[0]+dx, at[1]+dy))
}

// TestFloorHandles drags each handle of the floor's drawings and moves it with the keys: the field it
// belongs to follows, and the server draws anew. On a phone each is a target of 44 pixels at least.
func TestFloorHandles(t *testing.T) {
	needBrowser(t)
	s := exampleServer(t)
	for _, d := range devices {
		t.Run(d.name, func(t *testing.T) {
			t.Parallel()
			sheet := "wide"
			if d.touch {
				sheet = "narrow"
			}
			b := open(t, s, d)
			b.light(day)
			b.goTo("/floor")
			plan(b)
			for _, h := range []struct {
				show, id, field string
				dx, dy          float64
				rises           bool   // the field's value rises
				key             string // and falls back by this key
			}{
				{"side", sheet + "-eye", "distance", 24, 0, true, "ArrowLeft"},
				{"side", sheet + "-lens", "distance", 20, 0, false, "ArrowLeft"},
				{"side", sheet + "-rise", "rise", 0, -10, true, "ArrowDown"},
				{"side", sheet + "-back-tilt", "back_tilt", -6, 0, true, "ArrowRight"},
				{"above", sheet + "-back-swing", "back_swing", -6, 0, true, "ArrowRight"},
				{"head", "head-nod", "nod", 0, 12, true, "ArrowUp"},
				{"head", "head-turn", "turn", 0, 16, true, "ArrowUp"},
			} {
				if d.touch {
					b.press(fmt.Sprintf(`label.show:has([name="show"][value=%q])`, h.show))
					b.wait("the drawing", fmt.Sprintf(`document.querySelector('#%s').getClientRects().length > 0`, h.id))
					if size := eval[float64](b, fmt.Sprintf(`(() => { const r = document.querySelector('#%s .reach').getBoundingClientRect(); return Math.min(r.width, r.height) })()`, h.id)); size < 44 {
						t.Errorf("%s: a finger hits %.1f pixels of it, want 44", h.id, size)
					}
				}
				before, drawn := b.handle(h.id)
				b.drag(h.id, h.dx, h.dy)
				b.wait(h.id+" where it was dragged", fmt.Sprintf(`!document.querySelector('.htmx-request') && Number(document.querySelector('#%s').getAttribute('aria-valuenow')) !== %g`, h.id, before))
				after, again := b.handle(h.id)
				if after > before != h.rises || after == before {
					t.Errorf("%s: dragged by %g, %g its value went from %g to %g", h.id, h.dx, h.dy, before, after)
				}
				if drawn == again {
					t.Errorf("%s: the drawing does not follow", h.id)
				}
				if typed := eval[string](b, fmt.Sprintf(`document.querySelector('#plan').elements.namedItem(%q).value`, h.field)); typed == "" {
					t.Errorf("%s: the field %s is empty", h.id, h.field)
				}
				if h.rises {
					eval[bool](b, fmt.Sprintf(`(() => { const g = document.querySelector('#%s'); g.focus(); g.dispatchEvent(new KeyboardEvent('keydown', {key: %q, bubbles: true, cancelable: true})); return true })()`, h.id, h.key))
					b.wait(h.id+" moved by a key", fmt.Sprintf(`!document.querySelector('.htmx-request') && Number(document.querySelector('#%s').getAttribute('aria-valuenow')) < %g`, h.id, after))
				}
			}
			eval[bool](b, `document.querySelector('#marks-part').open = true`)
			if wide := eval[float64](b, `document.documentElement.scrollWidth - document.documentElement.clientWidth`); wide > 0 {
				t.Errorf("the page is %g pixels wider than the window", wide)
			}
			if words := eval[string](b, `document.querySelector('#line-moves').textContent`); words == "square" {
				t.Errorf("after all that the movements are said to be %q", words)
			}
		})
	}
}

// handle is a handle's value and what is drawn around it.
func (b *tab) handle(id string) (value float64, drawn string) {
	b.t.Helper()
	text := eval[string](b, fmt.Sprintf(`document.querySelector('#%s').getAttribute('aria-valuenow')`, id))
	value, err := strconv.ParseFloat(text, 64)
	if err != nil {
		b.t.Fatal(err)
	}
	return value, eval[string](b, fmt.Sprintf(`document.querySelector('#%s').closest('svg').innerHTML`, id))
}
