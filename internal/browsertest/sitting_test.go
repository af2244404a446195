package browsertest

import (
	"bytes"
	"encoding/json"
	"fmt"
	"image"
	_ "image/jpeg"
	"io"
	"math"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// photograph is a real photograph, taken as that of a plate.
const photograph = root + "/picture/testdata/black-canyon.jpg"

// twoAtOnce bounds how many sittings run at once, whatever the machine.
var twoAtOnce = make(chan struct{}, 2)

// TestSitting does a whole sitting with a browser, from an empty folder to the passport: at both
// widths and in all three lights.
func TestSitting(t *testing.T) {
	needBrowser(t)
	if _, err := program(); err != nil {
		t.Fatal(err)
	}
	for _, d := range devices {
		for _, light := range []string{day, lamp, red} {
			t.Run(d.name+"/"+light, func(t *testing.T) {
				t.Parallel()
				twoAtOnce <- struct{}{}
				defer func() { <-twoAtOnce }()
				s := serve(t, filepath.Join(t.TempDir(), "studio"))
				b := open(t, s, d)
				b.excuse(refusedStatus, "net::ERR_CONNECTION_REFUSED", "net::ERR_EMPTY_RESPONSE", "net::ERR_CONNECTION_RESET")
				day := &sitting{tab: b, light: light}
				day.begin()
				day.book()
				day.equip()
				day.plan()
				day.clock()
				day.judge()
				day.copy()
				day.passport()
			})
		}
	}
}

// sitting is one sitting, as far as it has come.
type sitting struct {
	*tab
	light  string
	number string // of its plate
}

// shown looks at the page at rest: in red light at its pixels, always at its light and its breadth.
func (s *sitting) shown(what string) {
	s.t.Helper()
	if got := eval[string](s.tab, "document.documentElement.dataset.light"); got != s.light {
		s.t.Errorf("%s: the light is %s, want %s", what, got, s.light)
	}
	if over := eval[int](s.tab, `document.documentElement.scrollWidth - document.documentElement.clientWidth`); over > 0 {
		s.t.Errorf("%s: the page is %d px wider than the window", what, over)
	}
	if s.light == red {
		onlyRed(s.t, s.device.name+" "+what, s.picture())
	}
}

// looked looks at a page as it stands only in the middle of something, where no list of pages leads:
// as shown does, and by the rules of accessibility.
func (s *sitting) looked(what string) {
	s.t.Helper()
	s.shown(what)
	if s.light != red {
		s.accessible(fmt.Sprintf("%s %s %s", s.device.name, s.light, what))
	}
}

// submit presses the form's chief button and wants the page that follows to be answered so.
func (s *sitting) submit(form string, status int64) {
	s.t.Helper()
	if got := s.follow(form + " button.primary"); got != status {
		s.t.Fatalf("%s: the form is answered with %d, want %d; the page says:\n%s", s.where(), got, status, s.text())
	}
}

// keeps wants a field to hold what was typed.
func (s *sitting) keeps(name, text string) {
	s.t.Helper()
	if got := eval[string](s.tab, fmt.Sprintf("document.querySelector('#work [name=%q]').value", name)); got != text {
		s.t.Errorf("%s: %s holds %q, want %q as typed", s.where(), name, got, text)
	}
}

// says wants a sentence on the page.
func (s *sitting) says(part string) {
	s.t.Helper()
	if !strings.Contains(s.text(), part) {
		s.t.Errorf("%s: the page does not say %q:\n%s", s.where(), part, s.text())
	}
}

// switchTo presses a button of the lights.
func (s *sitting) switchTo(light string) {
	s.t.Helper()
	s.follow(fmt.Sprintf(".lights button[value=%s]", light))
	if got := eval[string](s.tab, "document.documentElement.dataset.light"); got != light {
		s.t.Fatalf("%s: after pressing %s the light is %s", s.where(), light, got)
	}
}

// begin answers the first questions, wrongly first.
func (s *sitting) begin() {
	s.t.Helper()
	s.goTo("/plates") // whatever is asked for, the first questions come first
	if got := s.path(); got != "/begin" {
		s.t.Fatalf("a new studio leads to %s, want /begin", got)
	}
	s.switchTo(s.light)
	s.shown("first questions")
	s.write("place", "by the lock")
	s.submit("form.begin", http.StatusUnprocessableEntity)
	s.keeps("place", "by the lock")
	s.says("Nothing was written")
	s.looked("first questions refused")
	s.write("name", "Atelier at the Lock")
	s.choose("units", "metric")
	s.submit("form.begin", http.StatusOK)
	if got := s.path(); got != "/desk" {
		s.t.Fatalf("after the first questions one is led to %s, want /desk", got)
	}
	s.says("Atelier at the Lock")
	s.looked("an empty desk")
}

// book books a sitting for today, wrongly first.
func (s *sitting) book() {
	s.t.Helper()
	s.write("sitter_name", "Theodora Quince")
	s.write("contact", "Lock House 2")
	s.write("time", "half past noonish")
	s.write("lasts", "1 h 30")
	s.write("size", "6 1/2 x 8 1/2 in")
	s.write("plates", "2")
	s.write("purpose", "a likeness")
	s.submit("section.booking", http.StatusUnprocessableEntity)
	s.keeps("time", "half past noonish")
	s.keeps("size", "6 1/2 x 8 1/2 in")
	s.keeps("contact", "Lock House 2")
	s.looked("a booking refused")
	s.write("time", "14:30")
	s.submit("section.booking", http.StatusOK)
	s.says("Theodora Quince")
	s.says("14:30")
	s.shown("the desk with a sitting")
}

// equip writes down a lens, a camera, a holder and two batches.
func (s *sitting) equip() {
	s.t.Helper()
	s.goTo("/floor")
	s.says("no lens")
	s.looked("a floor without a lens")
	s.follow(".no-lens a.button")
	s.write("name", "House brass 210")
	s.write("focal", "8 1/4 in")
	s.write("stops", "f/4.5, f/5.6 second stop, f/8")
	s.submit("form.record", http.StatusOK)
	s.shown("a lens")
	s.goTo("/floor/cameras/new")
	s.write("name", "Stand camera")
	s.write("back", "whole plate")
	s.write("shortest", "80 mm")
	s.write("longest", "20")
	s.submit("form.record", http.StatusUnprocessableEntity)
	s.keeps("longest", "20")
	s.write("longest", "620 mm")
	s.submit("form.record", http.StatusOK)
	s.shown("a camera")
	s.goTo("/floor/holders/new")
	s.write("name", "A, walnut")
	s.write("size", "whole plate")
	s.submit("form.record", http.StatusOK)
	s.shown("a holder")

	for _, batch := range []struct{ kind, name string }{{"collodion", "Collodion 1"}, {"developer", "Developer 1"}} {
		s.goTo("/darkroom/shelf")
		s.shown("the shelf")
		eval[bool](s.tab, fmt.Sprintf(`(() => {
			const kind = [...document.querySelectorAll('.recipe-kind')].find(k => k.querySelector('h3').innerText.toLowerCase().includes(%q));
			kind.querySelector('.recipe-name a').dataset.browserTest = 'here';
			return true;
		})()`, batch.kind))
		s.follow("[data-browser-test=here]")
		s.shown("a recipe")
		s.follow(".new a.button")
		s.write("name", batch.name)
		s.write("volume", "500 ml")
		s.submit("form.record", http.StatusOK)
		s.goTo("/darkroom/shelf")
		s.says(batch.name)
	}
}

// plan plans the plate, and wants the drawing to follow what is typed.
func (s *sitting) plan() {
	s.t.Helper()
	s.goTo("/desk")
	s.follow("#work table a")
	s.shown("a sitting")
	s.follow("form[action='/floor'] button.primary")
	s.choose("lens", "House brass 210")
	s.wait("the stops of the lens", `document.querySelector('#stops input[type=radio]')`)
	s.choose("stop", "f/4.5")
	s.choose("by", "distance")
	s.write("distance", "2.4 m")
	s.write("size", "half plate")
	s.wait("a drawing", `document.querySelector('#reckoned svg')`)
	half := s.drawing("half plate")
	// A drawing that follows each key changes more than once on the way from one size to another.
	eval[bool](s.tab, `(() => {
		window.browserTestDrawn = new Set();
		new MutationObserver(() => { const d = document.querySelector('#reckoned svg'); if (d) { window.browserTestDrawn.add(d.outerHTML) } })
			.observe(document.querySelector('#reckoned'), {subtree: true, childList: true, attributes: true, characterData: true});
		return true;
	})()`)
	s.write("size", "")
	for _, key := range "6 1/2 x 8 1/2 in" {
		s.do(chromedp.KeyEvent(string(key)))
		time.Sleep(30 * time.Millisecond)
	}
	s.wait("the size as it was read", `document.querySelector('#said-size').innerText.includes('165.1')`)
	whole := s.drawing("6 1/2 x 8 1/2 in")
	if whole == half {
		s.t.Errorf("%s: another size of plate does not change the drawing", s.where())
	}
	s.write("distance", "2 mm")
	s.wait("a sentence about 2 mm", `document.querySelector('#said-distance .error')`)
	s.looked("a plan with a distance that cannot be")
	s.write("distance", "1.8 m")
	s.wait("no sentence", `!document.querySelector('#said-distance .error')`)
	if near := s.drawing("1.8 m"); near == whole {
		s.t.Errorf("%s: another distance does not change the drawing", s.where())
	}
	s.write("light_lx", "2600")
	s.wait("seconds", `/\d\s*s/.test(document.querySelector('#reckoned .exposure').innerText)`)
	s.choose("camera", "Stand camera")
	s.choose("holder", "A, walnut")
	s.choose("collodion", "Collodion 1")
	s.choose("developer", "Developer 1")
	s.write("seconds", "2")
	s.shown("a plan")
	s.submit("#plan", http.StatusOK)
	at := regexp.MustCompile(`^/darkroom/([0-9]{2}-[0-9]{4})$`).FindStringSubmatch(s.path())
	if at == nil {
		s.t.Fatalf("after planning one is led to %s, want the clock", s.path())
	}
	s.number = at[1]
}

// drawing is the drawing shown, once the last answer is in.
func (s *sitting) drawing(what string) string {
	s.t.Helper()
	s.wait("the drawing of "+what, `document.querySelector('#reckoned svg') && !document.querySelector('.htmx-request')`)
	time.Sleep(200 * time.Millisecond) // a form waits for a pause in typing before it asks
	s.wait("the drawing of "+what, `!document.querySelector('.htmx-request')`)
	return eval[string](s.tab, `document.querySelector('#reckoned svg').outerHTML`)
}

// clocked is the plate as the interface for devices gives it.
type clocked struct {
	Last   string
	Next   string
	Events []struct{ ID, Kind string }
}

func (s *sitting) plate() clocked {
	s.t.Helper()
	var c clocked
	if err := json.Unmarshal(s.get("/api/plates/"+s.number), &c); err != nil {
		s.t.Fatal(err)
	}
	return c
}

// get asks for an address of the studio outside the browser.
func (s *sitting) get(path string) []byte {
	s.t.Helper()
	r, err := http.Get(s.server.base + path)
	if err != nil {
		s.t.Fatal(err)
	}
	body, err := io.ReadAll(r.Body)
	if closed := r.Body.Close(); err != nil || closed != nil || r.StatusCode != http.StatusOK {
		s.t.Fatalf("%s answers %s, %v, %v", path, r.Status, err, closed)
	}
	return body
}

// gap is how long after a press the clock takes the next for a bounce of the pedal.
const gap = 450 * time.Millisecond

// next presses on, with the space bar or a finger on the lower half, until the clock shows what then
// is to be done.
func (s *sitting) next(bar bool, then string) {
	s.t.Helper()
	time.Sleep(gap)
	if bar {
		s.do(chromedp.KeyEvent(" "))
	} else {
		s.press(".clock-next")
	}
	s.wait("the step "+then, fmt.Sprintf(`document.querySelector('[data-clock]').dataset.now === %q`, then))
}

const allKept = `document.querySelector('[data-kept]').innerText === 'all kept'`

// clock runs the plate: pressed by bar and finger, reloaded once, its studio killed twice.
func (s *sitting) clock() {
	s.t.Helper()
	s.looked("the clock")
	// What one presses next is large, and low: a hand finds it without looking.
	low := eval[[]float64](s.tab, `(() => { const r = document.querySelector('.clock-next').getBoundingClientRect(); return [r.top / innerHeight, r.height / innerHeight] })()`)
	if low[0] < 0.3 || low[1] < 0.25 {
		s.t.Errorf("%s: the press begins at %.0f %% of the window and takes %.0f %%; it is meant to be its lower half", s.where(), 100*low[0], 100*low[1])
	}
	s.next(true, "in bath")
	s.next(false, "out of bath")
	s.wait("both presses kept", allKept)
	s.do(chromedp.Reload())
	s.settled()
	s.wait("the clock after a reload", `document.querySelector('[data-clock]').dataset.now === 'out of bath'`)
	s.looked("the clock reloaded")
	s.next(true, "loaded")
	s.next(false, "exposed")
	s.wait("four presses kept", allKept)

	// The studio is gone. The clock goes on, and what is pressed outlives even its page.
	s.server.killed(s.t)
	s.next(true, "cap off")
	s.next(true, "developer on")
	s.wait("a press that waits", `document.querySelector('[data-kept]').innerText.includes('waits for the studio')`)
	s.looked("the clock without its studio")
	s.do(chromedp.Navigate("about:blank"))
	s.server.again(s.t)
	if c := s.plate(); c.Last != "loaded" {
		s.t.Errorf("after a restart the plate's last step is %q, want loaded: every press that was kept and no other", c.Last)
	}
	s.goTo("/darkroom/" + s.number)
	s.wait("the press handed over", allKept+` && document.querySelector('[data-clock]').dataset.now === 'developer on'`)
	if c := s.plate(); c.Last != "exposed" {
		s.t.Errorf("the press that waited is not in the studio: the last step is %q, want exposed", c.Last)
	}

	// Gone once more, and back while the page stands.
	s.server.killed(s.t)
	s.next(false, "developer off")
	s.server.again(s.t)
	s.wait("the press handed over", allKept)
	s.next(true, "fixed")

	// One press undoes one.
	time.Sleep(gap)
	s.press(".clock-undo button")
	s.wait("the step taken back", `document.querySelector('[data-clock]').dataset.now === 'developer off'`)
	s.wait("the undoing kept", allKept)
	s.next(true, "fixed")
	s.next(false, "washed")
	s.next(true, "varnished")
	s.next(true, "finished")
	s.wait("all kept", allKept)
	s.looked("a finished plate")

	var stands []string
	for _, e := range s.plate().Events {
		stands = append(stands, e.Kind)
	}
	want := []string{"poured", "in bath", "out of bath", "loaded", "exposed", "developer on", "developer off", "fixed", "washed", "varnished"}
	if !slices.Equal(stands, want) {
		s.t.Errorf("the plate's steps that stand are %q, want %q", stands, want)
	}
}

// judge says a word on the plate and marks a fault.
func (s *sitting) judge() {
	s.t.Helper()
	s.follow(".clock-end a")
	s.shown("the plate")
	if void := eval[int](s.tab, `document.querySelectorAll('.story-table tr.void').length`); void != 1 {
		s.t.Errorf("%s: the story shows %d steps taken back, want the one", s.where(), void)
	}
	s.choose("word", "right")
	s.choose("fate", "Keep")
	s.write("say", "Eyes sharp; the collar a little soft.")
	s.submit("section.verdict", http.StatusOK)
	s.says("Eyes sharp; the collar a little soft.")
	s.press("[data-marking]")
	s.wait("the place of the mark", `document.querySelector('#f-x_pct').value !== ''`)
	s.write("x_pct", "92.5")
	if got := s.follow("form.mark-form button.quiet"); got != http.StatusUnprocessableEntity {
		s.t.Errorf("%s: a mark that looks like nothing is answered with %d, want 422", s.where(), got)
	}
	s.keeps("x_pct", "92.5")
	s.looked("a mark refused")
	s.press("form.mark-form label.option")
	if got := s.follow("form.mark-form button.quiet"); got != http.StatusOK {
		s.t.Errorf("%s: a mark is answered with %d", s.where(), got)
	}
	s.shown("a plate judged and marked")
}

// copy files a photograph of the plate. In red light no file can be chosen, so it is done by lamp.
func (s *sitting) copy() {
	s.t.Helper()
	s.goTo("/copystand?plate=" + s.number)
	s.shown("the copy stand")
	if s.light == red {
		if eval[bool](s.tab, `!!document.querySelector('input[type=file]') || !document.querySelector('.stand-form button.primary').disabled`) {
			s.t.Errorf("%s: a file can be chosen in red light", s.where())
		}
		s.follow(".stand-form button[name=light]")
		if got := s.path(); got != "/copystand?plate="+s.number {
			s.t.Errorf("switching to lamp light leads to %s, want back to the copy stand", got)
		}
		s.light = lamp
		s.shown("the copy stand by lamp")
		defer func() {
			s.switchTo(red)
			s.light = red
			s.shown("a plate with its copy")
		}()
	}
	readme, err := filepath.Abs(root + "/README.md")
	if err != nil {
		s.t.Fatal(err)
	}
	real, err := filepath.Abs(photograph)
	if err != nil {
		s.t.Fatal(err)
	}
	s.do(chromedp.SetUploadFiles(chromedp.CSS("input[type=file]"), []string{readme}))
	s.submit(".stand-form", http.StatusUnprocessableEntity)
	s.says("README.md")
	s.keeps("plate", s.number)
	s.looked("a photograph refused")
	s.do(chromedp.SetUploadFiles(chromedp.CSS("input[type=file]"), []string{real}))
	s.submit(".stand-form", http.StatusOK)
	if got, _, _ := strings.Cut(s.path(), "?"); got != "/plates/"+s.number {
		s.t.Fatalf("after filing a copy one is led to %s, want the plate", got)
	}
	s.wait("the true view", `[...document.querySelectorAll('.plate-face img')].some(i => i.complete && i.naturalWidth > 200)`)
	s.shown("the true view")

	original, err := os.ReadFile(photograph)
	if err != nil {
		s.t.Fatal(err)
	}
	if !bytes.Equal(s.get("/plates/"+s.number+"/copies/1/original"), original) {
		s.t.Error("the photograph filed is not the one sent, byte for byte")
	}
	if same, mirrored := likeness(s.t, original, s.get("/plates/"+s.number+"/copies/1/true")); mirrored > 4 || same < 3*mirrored {
		s.t.Errorf("the true view differs by %.1f of 255 from the photograph turned left for right, and by %.1f from the photograph itself", mirrored, same)
	}
}

// likeness is the middling difference between two pictures, and between the first turned left for
// right and the second, of 255.
func likeness(t *testing.T, first, second []byte) (same, mirrored float64) {
	t.Helper()
	a, _, err := image.Decode(bytes.NewReader(first))
	if err != nil {
		t.Fatal(err)
	}
	b, _, err := image.Decode(bytes.NewReader(second))
	if err != nil {
		t.Fatal(err)
	}
	if a.Bounds().Size() != b.Bounds().Size() {
		t.Fatalf("the true view has %v, the photograph %v", b.Bounds().Size(), a.Bounds().Size())
	}
	size, n := a.Bounds().Size(), 0.0
	light := func(m image.Image, x, y int) float64 {
		r, g, b, _ := m.At(m.Bounds().Min.X+x, m.Bounds().Min.Y+y).RGBA()
		return float64(r+g+b) / 3 / 257
	}
	for y := 0; y < size.Y; y += 3 {
		for x := 0; x < size.X; x += 3 {
			shown := light(b, x, y)
			same += math.Abs(light(a, x, y) - shown)
			mirrored += math.Abs(light(a, size.X-1-x, y) - shown)
			n++
		}
	}
	return same / n, mirrored / n
}

// passport fetches the plate's passport, which in red light is not offered.
func (s *sitting) passport() {
	s.t.Helper()
	links := eval[[]string](s.tab, `[...document.querySelectorAll('a[href*="passport.pdf"]')].map(a => a.getAttribute('href'))`)
	if s.light == red {
		if len(links) > 0 {
			s.t.Errorf("a white page is offered in red light: %s", links)
		}
		links = []string{"/plates/" + s.number + "/passport.pdf?paper=a4"}
	}
	if len(links) == 0 {
		s.t.Fatal("no passport is offered")
	}
	for _, link := range links {
		if paper := s.get(link); !bytes.HasPrefix(paper, []byte("%PDF-")) || !bytes.Contains(paper[max(0, len(paper)-1024):], []byte("%%EOF")) {
			s.t.Errorf("%s is no whole PDF: %d bytes, %q", link, len(paper), paper[:min(8, len(paper))])
		}
	}
}
