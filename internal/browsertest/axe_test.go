package browsertest

import (
	_ "embed"
	"fmt"
	"strings"
	"testing"
)

// axeSource is the accessibility checker, evaluated in the page through the protocol; the program
// does not serve it.
//
//go:embed testdata/axe.min.js
var axeSource string

// fault is a breach of a rule of accessibility.
type fault struct {
	Rule  string   `json:"rule"`
	Say   string   `json:"say"`
	Nodes []string `json:"nodes"`
}

// faults are the breaches axe-core finds on the page shown, by the rules of WCAG 2.2 at levels A and AA
// and its own best practices. What it cannot decide by itself it does not report, and neither does
// this.
func (b *tab) faults() []fault {
	b.t.Helper()
	if !eval[bool](b, `typeof axe === 'object'`) {
		eval[bool](b, axeSource+"\n;true")
	}
	return eval[[]fault](b, `axe.run(document, {
		runOnly: {type: 'tag', values: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice']},
		resultTypes: ['violations'],
	}).then(r => {
		if (r.passes.length === 0) { throw new Error('axe looked at nothing') }
		return r.violations.map(v => ({rule: v.id, say: v.help, nodes: v.nodes.slice(0, 4).map(n => n.html.slice(0, 160) + ' ... ' + n.failureSummary)}));
	})`)
}

// accessible fails the test for every breach on the page shown, and for a page wider than the window.
func (b *tab) accessible(what string) {
	b.t.Helper()
	for _, f := range b.faults() {
		b.t.Errorf("%s: %s (%s):\n\t%s", what, f.Say, f.Rule, strings.Join(f.Nodes, "\n\t"))
	}
	if over := eval[int](b, `document.documentElement.scrollWidth - document.documentElement.clientWidth`); over > 0 {
		b.t.Errorf("%s: the page is %d px wider than the window", what, over)
	}
}

// TestAxe looks at every page by day and by lamp at both widths.
func TestAxe(t *testing.T) {
	needBrowser(t)
	s := exampleServer(t)
	paths := visited(t, s)
	for _, d := range devices {
		t.Run(d.name, func(t *testing.T) {
			t.Parallel()
			b := open(t, s, d)
			b.excuse(refusedStatus) // of the page that is not there
			for _, light := range []string{day, lamp} {
				b.light(light)
				for _, path := range paths {
					b.goTo(path)
					b.accessible(fmt.Sprintf("%s %s %s", d.name, light, path))
				}
			}
		})
	}
}

// TestAxeFinds proves that the checker can fail.
func TestAxeFinds(t *testing.T) {
	needBrowser(t)
	b := open(t, exampleServer(t), desk)
	b.goTo("/desk")
	eval[bool](b, `(() => {
		const bad = document.createElement('div');
		bad.innerHTML = '<img src="/static/none.png"><input type="text" name="nameless">';
		document.querySelector('#work').append(bad);
		return true;
	})()`)
	b.excuse(refusedStatus) // the picture is not there
	found := map[string]bool{}
	for _, f := range b.faults() {
		found[f.Rule] = true
	}
	for _, rule := range []string{"image-alt", "label"} {
		if !found[rule] {
			t.Errorf("axe-core does not find %s on a page made wrong: %v", rule, found)
		}
	}
}
