package web

import (
	"bytes"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"

	"platewright/internal/studio"
)

// Brief is what a sitter's brief says, in words as they are printed.
type Brief struct {
	Studio, Light string
	Printed       time.Time   // the instant written into the file as its date
	Tones         []BriefTone // the darkest on the plate first
	Ask           []string    // what the sitter is asked to tell, in sentences
	Study         string      // how sure it is
}

// BriefTone are things that come out alike; Grey is the plate's there, 0 black to 1 white.
type BriefTone struct {
	Word              string
	Grey              float64
	Things, Otherwise []string
}

const briefPath = "/floor/wardrobe/brief.pdf"

// wardrobeBrief answers GET /floor/wardrobe/brief.pdf: what to wear, for the sitter.
func (s *Server) wardrobeBrief(w http.ResponseWriter, r *http.Request) error {
	if s.cfg.Brief == nil {
		return errNoPage
	}
	sheet, err := paperOf(r)
	if err != nil {
		return err
	}
	f, err := s.readQuery(r)
	if err != nil {
		return err
	}
	asked := f.clothing()
	if !f.OK() {
		return &problem{status: http.StatusUnprocessableEntity, title: "Not taken", what: f.Problems[0].Field + ": " + f.Problems[0].Sentence}
	}
	judge, err := judgeIn(asked.light, asked.exposure)
	if err != nil {
		return err
	}
	things, err := worn(judge, everyGroup)
	if err != nil {
		return err
	}
	profile, err := s.cfg.Studio.Profile(r.Context())
	if err != nil && !errors.Is(err, studio.ErrNotFound) {
		return fmt.Errorf("the studio: %w", err)
	}
	brief := Brief{Studio: profile.Name, Light: string(asked.light), Printed: s.cfg.Clock(), Tones: briefTones(things),
		Ask: []string{
			"Spectacles: lenses that block ultraviolet look clear and may come out grey or dark. Bring an older pair or an empty frame if you have one.",
			"Sunscreen and make-up with a sun filter look like skin and may come out much darker, in patches. Whether to wear any is yours to say.",
			"Tattoos may come out fainter or stronger than they look; freckles and marks come out darker. If you mind either way, say so, and we make a trial plate.",
			"Fine patterns may vanish where their colours come out alike. Bring a second choice.",
		},
		Study: fmt.Sprintf("Computed for the usual collodion and typical colours: a study, not a promise. Four of five colours lie within %.1f stops of it either way.", float64(judge.Fit().Band()))}
	var pdf bytes.Buffer
	if err := s.cfg.Brief(&pdf, brief, sheet); err != nil {
		return fmt.Errorf("brief for the sitter: %w", err)
	}
	h := w.Header()
	h.Set("Content-Type", "application/pdf")
	h.Set("Content-Disposition", disposition("inline", "what to wear.pdf"))
	h.Set("Content-Length", strconv.Itoa(pdf.Len()))
	h.Set("Cache-Control", "no-store")
	if _, err := pdf.WriteTo(w); err != nil {
		s.undelivered(r, err)
	}
	return nil
}

// briefAddress is where the brief of a light and an exposure is.
func briefAddress(f *form) string {
	v := url.Values{"light": {f.text("light")}}
	if exposure := f.text("exposure"); exposure != "" {
		v.Set("exposure", exposure)
	}
	return briefPath + "?" + v.Encode()
}

// briefTones gathers cloths and lips by the first words of how they come out; no one chooses a skin.
func briefTones(things []judged) (out []BriefTone) {
	for _, t := range things {
		if t.Group != "cloth" && t.Group != "lips" {
			continue
		}
		place, how, _ := strings.Cut(t.value.Words, "; ")
		if len(out) == 0 || out[len(out)-1].Word != place {
			out = append(out, BriefTone{Word: place, Grey: float64(t.value.Grey) / 255})
		}
		last := &out[len(out)-1]
		last.Things = append(last.Things, t.Name)
		if strings.HasPrefix(how, "much ") || strings.HasPrefix(how, "far ") {
			last.Otherwise = append(last.Otherwise, t.Name+": "+how)
		}
	}
	return out
}
