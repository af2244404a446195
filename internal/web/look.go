package web

import (
	"bytes"
	"crypto/rand"
	"errors"
	"fmt"
	"image"
	"net/http"
	"net/url"
	"strconv"
	"sync"
	"time"

	"platewright/collodion"
	"platewright/colour"
	"platewright/internal/web/screens/look"
	"platewright/internal/web/shared"
	"platewright/light"
	"platewright/measure"
	"platewright/picture"
	study "platewright/study/look"
)

const (
	lookLongest = 1600 // px
	lookPath    = "/floor/look"
	// looksKept is how long a look is kept, mostLooks how many are at a time, mostLookBytes how much of their pictures.
	looksKept     = 30 * time.Minute
	looksKeptWord = "after half an hour, or sooner when others follow"
	mostLooks     = 12
	mostLookBytes = 48 << 20
)

// lookRoom answers for looks of photographs. One is made at a time and the next waits; it is made by one hand, so
// that whatever a photograph does to it ends in an answer.
type lookRoom struct {
	copyStand
	kept *looks
}

func (s *Server) lookRoutes() {
	l := &lookRoom{copyStand{Server: s, turning: make(chan struct{}, 1)}, &looks{now: s.cfg.Clock, held: map[string]keptLook{}}}
	s.handle("GET "+lookPath, l.ask)
	s.handleUpload("POST "+lookPath, uploadLimit, l.make)
	s.handle("GET "+lookPath+"/{id}", l.shown)
	s.handle("GET "+lookPath+"/{id}/{which}", l.picture)
}

// lookMirrored and lookTrue are how the sides lie.
const lookMirrored, lookTrue = "as the plate lies", "as people see"

var lookFresh = map[string]string{"light": string(light.AnyDaylight), "tone": string(collodion.Warm), "sides": lookMirrored}

// ask answers GET /floor/look.
func (l *lookRoom) ask(w http.ResponseWriter, r *http.Request) error {
	return l.showLook(w, r, http.StatusOK, shared.NewForm(lookFresh), nil)
}

func (l *lookRoom) showLook(w http.ResponseWriter, r *http.Request, status int, f shared.Form, made *look.Made) error {
	d := look.Page{Form: f, Here: lookPath, Most: megabytes(uploadLimit), Kept: looksKeptWord, Made: made}
	d.Choices.Lights = usualLights()
	for _, t := range collodion.Tones() {
		d.Choices.Tones = append(d.Choices.Tones, shared.Option{Value: string(t), Word: string(t)})
	}
	d.Choices.Sides = []shared.Option{{Value: lookMirrored, Word: lookMirrored}, {Value: lookTrue, Word: lookTrue}}
	page := shared.PageData{Room: shared.Floor, Title: "Look of a photograph", Lead: "A colour photograph as a plate would show it: a study, not a promise.", Styles: []string{"look.css"}}
	return l.showStatus(w, r, status, page, look.Screen(d))
}

// make answers POST /floor/look. The photograph goes to a file in the scratch folder as it comes in, and that file
// is removed whatever happens.
func (l *lookRoom) make(w http.ResponseWriter, r *http.Request) error {
	sent, err := l.receive(r)
	if sent != nil {
		defer sent.discard(l.Server, r)
	}
	if err != nil {
		return err
	}
	f := &form{Form: shared.Form{Typed: sent.fields, ReadAs: map[string]string{}, Choices: map[string]bool{}}}
	for name, text := range lookFresh {
		if f.text(name) == "" {
			f.setTyped(name, text)
		}
	}
	o := study.Options{Curve: collodion.UsualCurve(), Exposure: f.stopsBeyond("exposure"), Tone: collodion.Tone(f.oneOf("tone", collodion.Warm.Choices()...)),
		Unmirrored: f.oneOf("sides", lookMirrored, lookTrue) == lookTrue, Longest: lookLongest}
	kind := f.kindOfLight("light")
	if sent.size == 0 {
		f.refuse("photograph", "is missing or empty; choose the photograph to look at")
	}
	if f.OK() {
		if o.Sight, err = colour.SightFor(kind); err != nil {
			return err
		}
		made, err := l.render(r, sent, o)
		var refusal *picture.Refusal
		var profile *picture.ProfileError
		switch {
		case err == nil:
			made.typed = url.Values{"light": {string(kind)}, "tone": {string(o.Tone)}, "sides": {f.text("sides")}, "exposure": {f.text("exposure")}}
			http.Redirect(w, r, lookPath+"/"+l.kept.keep(made), http.StatusSeeOther)
			return nil
		case errors.As(err, &refusal):
			f.refuse("photograph", "%v", refusal)
		case errors.As(err, &profile):
			f.refuse("photograph", "%v; save it in sRGB and send that", profile)
		case r.Context().Err() != nil:
			return r.Context().Err()
		default: // a file that breaks off after its head, or holds what its head does not tell
			f.refuse("photograph", "cannot be read to its end: %v", err)
		}
	}
	return l.showLook(w, r, http.StatusUnprocessableEntity, f.Form, nil)
}

// render makes both pictures when no others are being made.
func (l *lookRoom) render(r *http.Request, sent *sending, o study.Options) (keptLook, error) {
	select {
	case l.turning <- struct{}{}:
	case <-r.Context().Done():
		return keptLook{}, r.Context().Err()
	}
	defer func() { <-l.turning }()
	name := sent.name
	if name == "" {
		name = "the photograph"
	}
	p, err := picture.Open(sent, sent.size, name)
	if err != nil {
		return keptLook{}, err
	}
	sheet, err := study.Reduce(p, o.Longest, o.AsSRGB, nil)
	if err != nil {
		return keptLook{}, err
	}
	made, err := sheet.Render(o, nil)
	if err != nil {
		return keptLook{}, err
	}
	var before, after bytes.Buffer
	if err := errors.Join(sheet.WriteJPEG(&before), made.WriteJPEG(&after)); err != nil {
		return keptLook{}, err
	}
	return keptLook{before: before.Bytes(), after: after.Bytes(), sizes: [2]image.Point{sheet.Size(), made.Size()}, notes: made.Notes,
		facts: []look.Fact{{Word: "In the plate's blacks", Value: percent(made.Blacks)}, {Word: "In its whites", Value: percent(made.Whites)},
			{Word: "A colour's own error", Value: fmt.Sprintf("±%.1f stops, four of five", float64(made.Band))},
			{Word: "Exposure", Value: fmt.Sprintf("%+.1f stops", float64(o.Exposure))}}}, nil
}

func percent(share float64) string { return measure.Thin(fmt.Sprintf("%.0f %%", 100*share)) }

// shown answers GET /floor/look/{id}.
func (l *lookRoom) shown(w http.ResponseWriter, r *http.Request) error {
	id := r.PathValue("id")
	k, err := l.find(id)
	if err != nil {
		return err
	}
	made := look.Made{Notes: k.notes, Facts: k.facts,
		Before: look.Picture{Src: lookPath + "/" + id + "/before", Width: k.sizes[0].X, Height: k.sizes[0].Y},
		After:  look.Picture{Src: lookPath + "/" + id + "/after", Width: k.sizes[1].X, Height: k.sizes[1].Y}}
	return l.showLook(w, r, http.StatusOK, shared.Form{Typed: k.typed}, &made)
}

// picture answers GET /floor/look/{id}/before and /after.
func (l *lookRoom) picture(w http.ResponseWriter, r *http.Request) error {
	k, err := l.find(r.PathValue("id"))
	if err != nil {
		return err
	}
	body := map[string][]byte{"before": k.before, "after": k.after}[r.PathValue("which")]
	if body == nil {
		return errNoPage
	}
	h := w.Header()
	h.Set("Content-Type", "image/jpeg")
	h.Set("Content-Length", strconv.Itoa(len(body)))
	h.Set("Cache-Control", "no-store")
	if _, err := w.Write(body); err != nil {
		l.undelivered(r, err)
	}
	return nil
}

func (l *lookRoom) find(id string) (keptLook, error) {
	k, ok := l.kept.find(id)
	if !ok {
		return k, &problem{status: http.StatusNotFound, title: "Not kept any more", what: "This look is not kept any more: pictures are forgotten " + looksKeptWord + ".", hint: "Choose the photograph again on the floor's page of looks, " + lookPath + "."}
	}
	return k, nil
}

// keptLook is a photograph made small and its look, as JPEGs.
type keptLook struct {
	before, after []byte
	sizes         [2]image.Point
	notes         []string
	facts         []look.Fact
	typed         url.Values
	at            time.Time
}

// looks keeps a few looks in memory for a while. Their ids cannot be guessed.
type looks struct {
	mu    sync.Mutex
	now   func() time.Time
	held  map[string]keptLook
	order []string // the oldest first
	bytes int
}

// keep takes a look in and lets the oldest go where there are too many.
func (l *looks) keep(k keptLook) (id string) {
	l.mu.Lock()
	defer l.mu.Unlock()
	k.at, id = l.now(), rand.Text()
	l.held[id] = k
	l.order = append(l.order, id)
	l.bytes += len(k.before) + len(k.after)
	l.letGo()
	time.AfterFunc(looksKept, func() {
		l.mu.Lock()
		defer l.mu.Unlock()
		l.letGo()
	})
	return id
}

func (l *looks) find(id string) (keptLook, bool) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.letGo()
	k, ok := l.held[id]
	return k, ok
}

// letGo forgets what is too old, and the oldest of what is too much; the newest stays.
func (l *looks) letGo() {
	for len(l.order) > 0 {
		oldest := l.held[l.order[0]]
		old := l.now().Sub(oldest.at) >= looksKept
		much := len(l.order) > 1 && (len(l.order) > mostLooks || l.bytes > mostLookBytes)
		if !old && !much {
			return
		}
		l.bytes -= len(oldest.before) + len(oldest.after)
		delete(l.held, l.order[0])
		l.order = l.order[1:]
	}
}
