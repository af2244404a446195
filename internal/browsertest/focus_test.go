package browsertest

import (
	"fmt"
	"strings"
	"testing"
)

// hiddenFocus focuses everything that takes the focus, as the tab key does, and returns what then is
// wholly hidden: under something that stands fast, or outside the window.
const hiddenFocus = `(() => {
	const all = [...document.querySelectorAll('a[href], button, input:not([type=hidden]), textarea, select, summary, [tabindex="0"]')]
		.filter(e => !e.disabled && e.getClientRects().length > 0 && getComputedStyle(e).visibility === 'visible');
	if (all.length < 5) { throw new Error('only ' + all.length + ' things take the focus') }
	const hidden = [];
	for (const way of [all, [...all].reverse()]) {
		for (const e of way) {
			e.focus({focusVisible: true});
			if (document.activeElement !== e) { continue }
			const r = e.getBoundingClientRect();
			let seen = false;
			for (const x of [0.1, 0.5, 0.9]) {
				for (const y of [0.1, 0.5, 0.9]) {
					const top = document.elementFromPoint(r.x + x * r.width, r.y + y * r.height);
					seen = seen || top && (e.contains(top) || top.contains(e) && top !== document.body && top !== document.documentElement && top.id !== 'work');
				}
			}
			if (!seen) {
				const over = document.elementFromPoint(r.x + r.width / 2, r.y + r.height / 2);
				hidden.push(e.outerHTML.slice(0, 110) + ' at ' + Math.round(r.x) + ',' + Math.round(r.y) + ' under ' + (over ? over.outerHTML.slice(0, 70) : 'nothing: outside the window'));
			}
		}
	}
	return hidden;
})()`

// TestFocusIsSeen focuses everything on every page, onward and backward, and wants at least a part of
// it in sight: success criterion 2.4.11 of WCAG 2.2, which axe-core does not look at.
func TestFocusIsSeen(t *testing.T) {
	needBrowser(t)
	s := exampleServer(t)
	paths := visited(t, s)
	for _, d := range devices {
		t.Run(d.name, func(t *testing.T) {
			t.Parallel()
			b := open(t, s, d)
			b.excuse(refusedStatus) // of the page that is not there
			for _, light := range []string{day, red} {
				b.light(light)
				for _, path := range paths {
					b.goTo(path)
					if path == "/floor" {
						plan(b) // the drawing stands fast over the form
					}
					if hidden := eval[[]string](b, hiddenFocus); len(hidden) > 0 {
						t.Error(fmt.Sprintf("%s %s %s: %d things are hidden while they have the focus:\n\t", d.name, light, path, len(hidden)) + strings.Join(hidden[:min(4, len(hidden))], "\n\t"))
					}
				}
			}
		})
	}
}
