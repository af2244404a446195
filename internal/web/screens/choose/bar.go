package choose

import (
	"strconv"

	"github.com/a-h/templ"

	"platewright/internal/web/shared"
)

// shownRefusals is how many refusals stand open.
const shownRefusals = 6

// open shows a folded part that has a fault in it.
func open(f shared.Form, fields ...string) templ.Attributes {
	for _, name := range fields {
		if f.Problem(name) != "" {
			return templ.Attributes{"open": true}
		}
	}
	return nil
}

// draw is a share as a bar on its track, for the eye; the words beside it say the same.
func (b Bar) draw() string {
	return `<svg viewBox="0 0 100 8" preserveAspectRatio="none" aria-hidden="true" focusable="false"><path class="track" d="M0 7.5H100M0 4v4M100 4v4"></path><rect class="share" x="0" y="1" width="` +
		n(100*min(1, max(0, b.Share))) + `" height="5"></rect>` + b.reach() + `</svg>`
}

// reach is the band of a share as a line over its bar.
func (b Bar) reach() string {
	if b.Band[1] == 0 {
		return ""
	}
	return `<path class="reach" d="M` + n(100*b.Band[0]) + ` 3.5H` + n(100*b.Band[1]) + `M` + n(100*b.Band[0]) + ` 1v5M` + n(100*b.Band[1]) + ` 1v5"></path>`
}

func restWords(n int) string {
	if n == 1 {
		return "One more way, no better in anything than one above or as good as lost"
	}
	return strconv.Itoa(n) + " more ways, each no better in anything than one above or as good as lost"
}
