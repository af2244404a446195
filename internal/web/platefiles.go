package web

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"mime"
	"net/http"
	"path"
	"strconv"
	"strings"
	"time"
	"unicode"

	"platewright/internal/studio"
)

// passport answers GET /plates/{number}/passport.pdf.
func (s *Server) passport(w http.ResponseWriter, r *http.Request) error {
	n, err := numberOf(r)
	if err != nil {
		return err
	}
	if s.cfg.Passport == nil || s.cfg.Files == nil {
		return errNoPage
	}
	sheet := r.URL.Query().Get("paper")
	switch sheet {
	case "":
		sheet = "a4"
	case "a4", "letter":
	default:
		return &problem{status: http.StatusUnprocessableEntity, title: "No such paper", what: "paper: " + quoted(sheet) + " is not a4 or letter"}
	}
	facts, err := s.cfg.Studio.Passport(r.Context(), s.cfg.Files, n)
	if err != nil {
		return err
	}
	facts.Story.PouredAt = facts.Story.PouredAt.In(s.cfg.Location)
	var pdf bytes.Buffer
	if err := s.cfg.Passport(&pdf, facts, sheet); err != nil {
		return fmt.Errorf("passport of plate %s: %w", n, err)
	}
	h := w.Header()
	h.Set("Content-Type", "application/pdf")
	h.Set("Content-Disposition", disposition("inline", "passport-"+n.String()+".pdf"))
	h.Set("Content-Length", strconv.Itoa(pdf.Len()))
	h.Set("Cache-Control", "no-store")
	if _, err := pdf.WriteTo(w); err != nil {
		s.undelivered(r, err)
	}
	return nil
}

// copyPicture answers GET /plates/{number}/copies/{k}/{what}. k counts every copy ever filed with
// the plate, so that it names the same one for ever. An address that says which picture it is (by
// the beginning of the picture's name) shows that one, whatever its k.
func (s *Server) copyPicture(w http.ResponseWriter, r *http.Request) (err error) {
	story, err := s.storyOf(r)
	if err != nil {
		return err
	}
	what := r.PathValue("what")
	c, name := findCopy(story, r.PathValue("k"), what, r.URL.Query().Get("is"))
	if name == "" || s.cfg.Files == nil {
		return errNoPage
	}
	file, err := s.cfg.Files.Open(r.Context(), name)
	if err != nil {
		return fmt.Errorf("picture of plate %s: %w", story.Number, err)
	}
	defer func() { err = errors.Join(err, file.Close()) }()
	h := w.Header()
	h.Set("Content-Type", "image/jpeg")
	if what == "original" {
		kind, err := sniffed(file)
		if err != nil {
			return fmt.Errorf("picture of plate %s: %w", story.Number, err)
		}
		h.Set("Content-Type", kind)
		h.Set("Content-Disposition", disposition("attachment", fileName(c.FileName, story.Number)))
	}
	h.Set("Cache-Control", "private, max-age=31536000, immutable")
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("ETag", `"`+name+`"`)
	http.ServeContent(w, r, "", time.Time{}, file)
	return nil
}

// findCopy returns a copy and the name of the picture asked for; the name is empty when there is none.
func findCopy(story studio.Story, k, what, is string) (studio.Copy, string) {
	var nth int
	if n, err := strconv.Atoi(k); err == nil {
		nth = n
	}
	count := 0
	for _, e := range story.Events {
		if e.Kind != studio.Copied || e.Detail.Copy == nil {
			continue
		}
		count++
		c := *e.Detail.Copy
		name := map[string]string{"original": c.Original, "true": c.TrueView, "view": c.View, "thumb": c.Thumb}[what]
		if name != "" && (is != "" && strings.HasPrefix(name, is) || is == "" && count == nth) {
			return c, name
		}
	}
	return studio.Copy{}, ""
}

// sniffed is the content type of a photograph by its first bytes.
func sniffed(file io.ReadSeeker) (string, error) {
	head := make([]byte, 8)
	n, err := io.ReadFull(file, head)
	if err != nil && !errors.Is(err, io.ErrUnexpectedEOF) && !errors.Is(err, io.EOF) {
		return "", err
	}
	if _, err := file.Seek(0, io.SeekStart); err != nil {
		return "", err
	}
	for _, known := range []struct{ begins, kind string }{
		{"\xff\xd8\xff", "image/jpeg"}, {"\x89PNG\r\n\x1a\n", "image/png"}, {"II*\x00", "image/tiff"}, {"MM\x00*", "image/tiff"},
	} {
		if bytes.HasPrefix(head[:n], []byte(known.begins)) {
			return known.kind, nil
		}
	}
	return "application/octet-stream", nil
}

// disposition is a Content-Disposition; letters beyond ASCII are written as RFC 2231 says.
func disposition(how, name string) string {
	return mime.FormatMediaType(how, map[string]string{"filename": name})
}

// fileName is a photograph's name without anything that could lead elsewhere: no folders, no
// control characters, no leading dots, at most 100 letters.
func fileName(given string, n studio.Number) string {
	given = path.Base(strings.ReplaceAll(given, `\`, "/"))
	kept := strings.Map(func(c rune) rune {
		if unicode.IsControl(c) || !unicode.IsPrint(c) || strings.ContainsRune(`"<>:|?*/`, c) {
			return -1
		}
		return c
	}, given)
	kept = strings.TrimLeft(strings.TrimSpace(kept), ". ")
	if letters := []rune(kept); len(letters) > 100 {
		kept = string(letters[:60]) + string(letters[len(letters)-40:])
	}
	if kept == "" {
		return "plate-" + n.String()
	}
	return kept
}
