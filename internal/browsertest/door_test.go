package browsertest

import (
	"context"
	"net/http"
	"os/exec"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"
)

// TestAtTheDoor looks at the pages before the rooms, in all lights at both widths: the first
// questions, and the login of a device that comes from elsewhere.
func TestAtTheDoor(t *testing.T) {
	needBrowser(t)
	built, err := program()
	if err != nil {
		t.Fatal(err)
	}
	const password = "albumen and lavender"
	dir := t.TempDir()
	set := exec.Command(built, "password", "--studio", dir)
	set.Stdin = strings.NewReader(password + "\n")
	if out, err := set.CombinedOutput(); err != nil {
		t.Fatalf("platewright password: %v\n%s", err, out)
	}
	s := serve(t, dir)
	for _, d := range devices {
		for _, light := range []string{day, lamp, red} {
			t.Run(d.name+"/"+light, func(t *testing.T) {
				b := open(t, s, d)
				b.excuse(refusedStatus)
				look := func(what string) {
					t.Helper()
					if light == red {
						onlyRed(t, d.name+" "+what, b.picture())
						return
					}
					b.accessible(d.name + " " + light + " " + what)
				}
				b.light(light)
				b.goTo("/begin")
				look("first questions")
				if d == desk && light == day {
					beginsOnce(t, b)
				}
				b.fromElsewhere()
				b.goTo("/plates")
				if got := b.path(); got != "/login?next=%2Fplates" {
					t.Fatalf("from elsewhere the plate store leads to %s, want the login", got)
				}
				look("login")
				if d == phone && light != lamp || d == desk && light == lamp {
					return // five tries at once are all the studio allows
				}
				b.write("password", "not this one")
				if got := b.follow("form.login button.primary"); got/100 != 4 {
					t.Errorf("a wrong password is answered with %d", got)
				}
				look("login refused")
				if light != day {
					return
				}
				b.write("password", password)
				if got := b.follow("form.login button.primary"); got != http.StatusOK {
					t.Fatalf("the password is answered with %d; the page says:\n%s", got, b.text())
				}
				if got := b.path(); got != "/begin" {
					t.Errorf("after the login a new studio leads to %s, want the first questions", got)
				}
				look("first questions, logged in")
				b.follow("form.logout button")
				b.goTo("/plates")
				if got := b.path(); !strings.HasPrefix(got, "/login") {
					t.Errorf("after logging out the plate store leads to %s, want the login", got)
				}
			})
		}
	}
}

// beginsOnce sends the first questions, held back from the studio, and looks at what the page says
// meanwhile.
func beginsOnce(t *testing.T, b *tab) {
	t.Helper()
	const send = `(start => {
		const form = document.querySelector("[data-begins]");
		form.querySelector("[name=name]").value = "Atelier";
		form.querySelector("[name=start][value=" + start + "]").checked = true;
		addEventListener("submit", event => event.preventDefault(), {once: true});
		form.requestSubmit();
		return form.querySelector("[data-making]").hidden;
	})`
	if hidden := eval[bool](b, send+`("empty")`); !hidden {
		t.Error("an empty studio is said to take half a minute")
	}
	if hidden := eval[bool](b, send+`("example")`); hidden {
		t.Error("the page does not say that the example takes a while")
	}
	b.wait("Begin withheld while the example is made", `document.querySelector("[data-begins] button.primary").disabled`)
	b.goTo("/begin")
}

// fromElsewhere lets the tab's requests look as if they came through a proxy from another machine.
func (b *tab) fromElsewhere() {
	b.t.Helper()
	b.do(func(ctx context.Context, t *chromedp.Target) (chromedp.Void, error) {
		_, err := cdp.Call(ctx, t, network.SetExtraHTTPHeaders, network.SetExtraHTTPHeadersParams{
			Headers: network.Headers{"X-Forwarded-For": "192.0.2.17"}})
		return chromedp.Void{}, err
	})
}
