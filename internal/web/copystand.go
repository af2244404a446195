package web

import (
	"errors"
	"fmt"
	"io"
	"mime/multipart"
	"net/http"
	"net/url"
	"os"
	"strconv"
	"strings"

	"platewright/internal/studio"
	"platewright/internal/web/screens/copystand"
	"platewright/internal/web/screens/plates"
	"platewright/internal/web/shared"
	"platewright/measure"
	"platewright/picture"
)

const (
	// uploadLimit is the greatest photograph taken: a 200-megapixel TIFF of sixteen bits and three
	// channels is 1.2 GB.
	uploadLimit = 1_500_000_000
	// partLimit is the longest text field of the form, mostParts how many parts it may have.
	partLimit = 4 << 10
	mostParts = 32
	// lookedThrough is how many of the newest plates the copy stand looks through for its lists.
	lookedThrough = 80
	mostWaiting   = 8
	mostPairs     = 4
)

// copyStand answers for the copy stand. Turning a photograph holds all its pixels in memory, so one
// is turned at a time and the next waits.
type copyStand struct {
	*Server
	turning chan struct{}
}

func (s *Server) copystandRoutes() {
	c := &copyStand{Server: s, turning: make(chan struct{}, 1)}
	s.handle("GET /copystand", c.stand)
	s.handleUpload("POST /copystand", uploadLimit, c.file)
}

// stand answers GET /copystand.
func (c *copyStand) stand(w http.ResponseWriter, r *http.Request) error {
	f := shared.NewForm(map[string]string{"plate": strings.TrimSpace(r.URL.Query().Get("plate"))})
	return c.showStand(w, r, http.StatusOK, f, string(c.cfg.Studio.NewID()))
}

func (c *copyStand) showStand(w http.ResponseWriter, r *http.Request, status int, f shared.Form, id string) error {
	h, err := c.habits(r)
	if err != nil {
		return err
	}
	data := copystand.Stand{Form: f, EventID: id, Most: megabytes(uploadLimit), Here: shared.CopyStand.Path()}
	data.Labels = map[string]string{"already_true": "Left and right"}
	page := shared.PageData{Room: shared.CopyStand, Title: "Copy stand", Lead: "A photograph of a plate, turned to the true view and filed with it.",
		Styles: []string{"copystand.css"}, Scripts: []string{"copystand.js"}}
	if typed := f.Value("plate"); typed != "" {
		data.Here += "?" + url.Values{"plate": {typed}}.Encode()
		if story, err := c.plateTyped(r, typed); err == nil {
			data.Chosen = standPlate(studio.PlateRow{Plate: story.Plate, Summary: story.Summary, SitterName: sitterName(story)}, h)
			page.Slip = c.plateSlip(r.Context(), story)
		} else if !errors.Is(err, studio.ErrNotFound) {
			return err
		}
	}
	recent, err := c.cfg.Studio.Plates(r.Context(), studio.PlateFilter{Begun: true, Most: lookedThrough})
	if err != nil {
		return err
	}
	data.NonePoured = len(recent.Rows) == 0
	for _, row := range recent.Rows {
		p := standPlate(row, h)
		switch {
		case len(row.Copies) == 0 && len(data.Waiting) < mostWaiting:
			p.Href = shared.CopyStand.Path() + "?plate=" + p.Number
			data.Waiting = append(data.Waiting, *p)
		case len(row.Copies) > 0 && len(data.Last) < mostPairs:
			thumb := plates.RowOf(row, h).Thumb
			last := row.Copies[len(row.Copies)-1]
			width, height := plates.Fitted(last, 240)
			data.Last = append(data.Last, copystand.Pair{Plate: *p, Src: thumb.Src, Width: width, Height: height})
		}
	}
	return c.showStatus(w, r, status, page, copystand.Screen(data))
}

// plateTyped is the plate of a number as typed; what is no number is not found.
func (c *copyStand) plateTyped(r *http.Request, typed string) (studio.Story, error) {
	n, err := studio.ParseNumber(typed)
	if err != nil {
		return studio.Story{}, fmt.Errorf("%v: %w", err, studio.ErrNotFound)
	}
	return c.cfg.Studio.Plate(r.Context(), n)
}

func sitterName(story studio.Story) string {
	if story.Sitter == nil {
		return ""
	}
	return story.Sitter.Name
}

func standPlate(row studio.PlateRow, h plates.Habits) *copystand.Plate {
	about := measure.Thin(sizeText(row.Plan.Size, h.Units))
	if row.Plan.Size.Name != "" {
		about = row.Plan.Size.String()
	}
	if row.PouredAt.IsZero() {
		about += ", not poured yet"
	} else {
		about += ", " + row.PouredAt.In(h.Location).Format("2 January 2006")
	}
	number := row.Number.String()
	return &copystand.Plate{Number: number, Href: shared.PlateStore.Path() + "/" + number, Sitter: row.SitterName, About: about}
}

// file answers POST /copystand. The photograph goes to a file in the scratch folder as it comes in,
// and that file is removed whatever happens.
func (c *copyStand) file(w http.ResponseWriter, r *http.Request) error {
	if c.cfg.Files == nil {
		return errNoPage
	}
	sent, err := c.receive(r)
	if sent != nil {
		defer sent.discard(c.Server, r)
	}
	if err != nil {
		return err
	}
	f := &form{Form: shared.Form{Typed: sent.fields, Choices: map[string]bool{"already_true": true}}}
	number := f.text("plate")
	f.need("plate", "write the plate's number, as 26-0147")
	n, err := studio.ParseNumber(number)
	if err != nil && number != "" {
		f.refuse("plate", "%v", err)
	}
	var story studio.Story
	if f.OK() {
		story, err = c.cfg.Studio.Plate(r.Context(), n)
		if errors.Is(err, studio.ErrNotFound) {
			f.refuse("plate", "there is no plate %s", n)
		} else if err != nil {
			return err
		}
	}
	if f.OK() && recorded(story, f.id("id")) {
		return c.filed(w, r, story)
	}
	if sent.name == "" && sent.size == 0 {
		f.refuse("photograph", "is missing; choose the photograph to file")
	}
	if f.OK() {
		after, err := c.turn(r, n, studio.NewCopy{Event: f.id("id"), FileName: sent.name, Content: sent,
			AlreadyTrue: f.checked("already_true"), At: c.cfg.Clock(), Device: pageDevice})
		var refusal *picture.Refusal
		switch {
		case err == nil:
			return c.filed(w, r, after)
		case errors.As(err, &refusal):
			f.refuse("photograph", "%v", refusal)
		default:
			if err := f.take(err, nil); err != nil {
				return err
			}
		}
	}
	return c.showStand(w, r, http.StatusUnprocessableEntity, f.Form, string(f.id("id")))
}

// filed leads to the plate, and to what is odd about the copy just filed if anything is.
func (c *copyStand) filed(w http.ResponseWriter, r *http.Request, story studio.Story) error {
	page := shared.PlateStore.Path() + "/" + story.Number.String()
	if n := len(story.Copies); n > 0 && len(plates.OddOf(story.Copies[n-1], story.Plan.Size)) > 0 {
		k := 0
		for _, e := range story.Events {
			if e.Kind == studio.Copied {
				k++
			}
		}
		page += "?filed=" + strconv.Itoa(k)
	}
	http.Redirect(w, r, page, http.StatusSeeOther)
	return nil
}

// recorded tells whether an event has been recorded before.
func recorded(story studio.Story, id studio.ID) bool {
	for _, e := range story.Events {
		if e.ID == id {
			return true
		}
	}
	return false
}

// turn files a copy when no other is being turned.
func (c *copyStand) turn(r *http.Request, n studio.Number, copied studio.NewCopy) (studio.Story, error) {
	select {
	case c.turning <- struct{}{}:
	case <-r.Context().Done():
		return studio.Story{}, r.Context().Err()
	}
	defer func() { <-c.turning }()
	return c.cfg.Studio.FileCopy(r.Context(), c.cfg.Files, n, copied)
}

// sending is a form as it was sent, its photograph in a file.
type sending struct {
	fields url.Values
	name   string // the photograph's, as it came
	size   int64
	file   *os.File // nil when no photograph was sent
}

func (s *sending) ReadAt(b []byte, off int64) (int, error) { return s.file.ReadAt(b, off) }

// Size is the photograph's, in bytes.
func (s *sending) Size() int64 { return s.size }

// discard removes the photograph's file.
func (s *sending) discard(to *Server, r *http.Request) {
	if s.file == nil {
		return
	}
	if err := errors.Join(s.file.Close(), os.Remove(s.file.Name())); err != nil {
		to.cfg.Log.WarnContext(r.Context(), "upload left in the scratch folder", "error", err)
	}
}

// receive reads a form of several parts, holding no more than its texts in memory. What it returns
// is to be discarded, beside an error too.
func (c *copyStand) receive(r *http.Request) (*sending, error) {
	parts, err := r.MultipartReader()
	if err != nil {
		return nil, unreadable(err)
	}
	sent := &sending{fields: url.Values{}}
	for n := 0; ; n++ {
		part, err := parts.NextPart()
		if errors.Is(err, io.EOF) {
			return sent, nil
		}
		if err != nil {
			return sent, unreadable(err)
		}
		if n == mostParts {
			return sent, &problem{status: http.StatusUnprocessableEntity, title: "Too many parts",
				what: fmt.Sprintf("A form of more than %d parts was sent, so nothing was kept.", mostParts)}
		}
		if part.FormName() == "photograph" {
			err = c.take(sent, part)
		} else {
			err = sent.text(part)
		}
		if err != nil {
			return sent, err
		}
	}
}

// text takes a field of the form.
func (s *sending) text(part *multipart.Part) error {
	b, err := io.ReadAll(io.LimitReader(part, partLimit+1))
	switch {
	case err != nil:
		return unreadable(err)
	case len(b) > partLimit:
		return &problem{status: http.StatusUnprocessableEntity, title: "Too long",
			what: fmt.Sprintf("%s: more than %d letters were sent, so nothing was kept", part.FormName(), partLimit)}
	}
	s.fields.Add(part.FormName(), string(b))
	return nil
}

// uploadPrefix begins the name of an upload's file in the scratch folder.
const uploadPrefix = "platewright-upload-"

// IsUpload tells whether a file in the scratch folder is an upload, by its name. One that is there
// when no server is running was cut off.
func IsUpload(name string) bool { return strings.HasPrefix(name, uploadPrefix) }

// take writes the photograph to a file. A form without one sends an empty part without a name.
func (c *copyStand) take(s *sending, part *multipart.Part) error {
	if s.file != nil {
		return &problem{status: http.StatusUnprocessableEntity, title: "Two photographs",
			what: "Two photographs were sent in one form, so neither was kept.", hint: "File them one after the other."}
	}
	file, err := os.CreateTemp(c.cfg.Scratch, uploadPrefix+"*")
	if err != nil {
		return fmt.Errorf("scratch folder: %w", err)
	}
	s.name, s.file = part.FileName(), file
	if s.size, err = io.Copy(file, part); err == nil {
		return nil
	}
	var onDisk *os.PathError
	if errors.As(err, &onDisk) {
		return fmt.Errorf("scratch folder: %w", err)
	}
	return unreadable(err)
}
