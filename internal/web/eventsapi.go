package web

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"mime"
	"net/http"
	"strings"
	"time"

	"platewright/internal/studio"
)

// longestEvent is the greatest length of an event over HTTP, in bytes.
const longestEvent = 64 << 10

// eventsRoutes registers what devices keep their presses with.
func (s *Server) eventsRoutes() {
	s.handle("GET /api/plates/{number}", s.apiPlate)
	s.handleUpload("POST /api/plates/{number}/events", longestEvent, s.apiRecord)
}

// plateAnswer is a plate as devices know it. Its events are those that stand, in the order
// received: what was voided is left out, what was corrected has its later time and detail.
type plateAnswer struct {
	Number string           `json:"number"`
	Last   studio.EventKind `json:"last"`
	Next   studio.EventKind `json:"next"`
	State  string           `json:"state"`
	Events []eventAnswer    `json:"events"`
	Now    time.Time        `json:"now"` // by the server's clock, to set a device's count by
}

type eventAnswer struct {
	ID     studio.ID        `json:"id"`
	Kind   studio.EventKind `json:"kind"`
	At     time.Time        `json:"at"`
	Device string           `json:"device"`
	Detail studio.Detail    `json:"detail"`
}

// plateAnswerOf writes times to the millisecond, which is as fine as a browser reads them.
func (s *Server) plateAnswerOf(story studio.Story) plateAnswer {
	standing := studio.Stands(story.Events)
	a := plateAnswer{
		Number: story.Number.String(), Last: story.Last, Next: story.Next, State: story.State(),
		Events: make([]eventAnswer, len(standing)), Now: s.cfg.Clock().UTC().Truncate(time.Millisecond),
	}
	for i, e := range standing {
		a.Events[i] = eventAnswer{e.ID, e.Kind, e.At.UTC().Truncate(time.Millisecond), e.Device, e.Detail}
	}
	return a
}

// numberOf is the plate an address names. What is no plate number is no page.
func numberOf(r *http.Request) (studio.Number, error) {
	n, err := studio.ParseNumber(r.PathValue("number"))
	if err != nil {
		return n, fmt.Errorf("%v: %w", err, studio.ErrNotFound)
	}
	return n, nil
}

// apiPlate answers GET /api/plates/{number}.
func (s *Server) apiPlate(w http.ResponseWriter, r *http.Request) error {
	n, err := numberOf(r)
	if err != nil {
		return err
	}
	story, err := s.cfg.Studio.Plate(r.Context(), n)
	if err != nil {
		return err
	}
	return s.replyJSON(w, r, http.StatusOK, s.plateAnswerOf(story))
}

// apiRecord answers POST /api/plates/{number}/events.
func (s *Server) apiRecord(w http.ResponseWriter, r *http.Request) error {
	n, err := numberOf(r)
	if err != nil {
		return err
	}
	event, err := readEvent(r)
	if err != nil {
		return err
	}
	story, err := s.cfg.Studio.Record(r.Context(), n, event)
	var done *studio.AlreadyDone
	if errors.As(err, &done) {
		return s.replyAlready(w, r, n, done)
	}
	if errors.Is(err, studio.ErrConflict) {
		return refusedField("id", "%q names an event of another plate; give this one an id of its own", event.ID)
	}
	if err != nil {
		return err
	}
	return s.replyJSON(w, r, http.StatusOK, s.plateAnswerOf(story))
}

// replyAlready tells a device that another was first, and how the plate stands.
func (s *Server) replyAlready(w http.ResponseWriter, r *http.Request, n studio.Number, done *studio.AlreadyDone) error {
	story, err := s.cfg.Studio.Plate(r.Context(), n)
	if err != nil {
		return err
	}
	type said struct {
		Message string `json:"message"`
	}
	return s.replyJSON(w, r, http.StatusConflict, struct {
		Error said        `json:"error"`
		Plate plateAnswer `json:"plate"`
	}{said{s.alreadySentence(done)}, s.plateAnswerOf(story)})
}

// alreadySentence says who was first, in the studio's time.
func (s *Server) alreadySentence(done *studio.AlreadyDone) string {
	by := ""
	switch {
	case strings.HasPrefix(done.Device, "device "): // a code that says nothing to people
		by = ", on another device"
	case done.Device != "":
		by = " by " + done.Device
	}
	return fmt.Sprintf("%q was recorded already at %s%s.", done.Kind, done.At.In(s.cfg.Location).Format("15:04:05"), by)
}

// eventBody is an event as a device sends it.
type eventBody struct {
	ID       studio.ID        `json:"id"`
	Kind     studio.EventKind `json:"kind"`
	At       string           `json:"at"`
	Device   string           `json:"device"`
	By       string           `json:"by"`
	Corrects studio.ID        `json:"corrects"`
	Detail   studio.Detail    `json:"detail"`
}

// refusedField is a field of a request that cannot be taken, in the form the studio refuses with.
func refusedField(field, format string, args ...any) error {
	return &studio.Invalid{Problems: []studio.Problem{{Field: field, Sentence: fmt.Sprintf(format, args...)}}}
}

// readEvent reads one event and nothing else.
func readEvent(r *http.Request) (studio.Event, error) {
	sent := r.Header.Get("Content-Type")
	if kind, _, err := mime.ParseMediaType(sent); err != nil || kind != "application/json" {
		return studio.Event{}, &problem{status: http.StatusUnsupportedMediaType, title: "Not JSON",
			what: fmt.Sprintf("The event is sent as %q; application/json is wanted.", sent)}
	}
	text, err := io.ReadAll(r.Body)
	if large := (*http.MaxBytesError)(nil); errors.As(err, &large) {
		return studio.Event{}, err
	} else if err != nil {
		return studio.Event{}, &problem{status: http.StatusBadRequest, title: "Broken off", what: "The event broke off.", hint: "Send it again; a repeat is harmless."}
	}
	decoder := json.NewDecoder(bytes.NewReader(text))
	decoder.DisallowUnknownFields()
	var body eventBody
	if err := decoder.Decode(&body); err != nil {
		return studio.Event{}, unreadEvent(err)
	}
	if _, err := decoder.Token(); !errors.Is(err, io.EOF) {
		return studio.Event{}, refusedField("", "there is more after the event; send one event at a time")
	}
	if body.Kind == studio.Copied || body.Detail.Copy != nil {
		return studio.Event{}, refusedField("kind", "a copy is filed with its photograph, at the copy stand")
	}
	at, err := time.Parse(time.RFC3339, body.At)
	if err != nil {
		return studio.Event{}, refusedField("at", "%q is not a time as 2026-11-24T14:02:10Z", body.At)
	}
	return studio.Event{
		ID: body.ID, Kind: body.Kind, At: at, Device: body.Device, By: body.By,
		Corrects: body.Corrects, Detail: body.Detail,
	}, nil
}

// unreadEvent says which key could not be read and why.
func unreadEvent(err error) error {
	var wrongType *json.UnmarshalTypeError
	if errors.As(err, &wrongType) {
		return refusedField(wrongType.Field, "is a %s; %s is wanted", wrongType.Value, jsonWord(wrongType.Type.Kind().String()))
	}
	if key, ok := strings.CutPrefix(err.Error(), "json: unknown field "); ok {
		return refusedField(strings.Trim(key, `"`), "is not a key of an event")
	}
	var badTime *time.ParseError
	if errors.As(err, &badTime) {
		return refusedField("detail.instead.at", "%s is not a time as 2026-11-24T14:02:10Z", badTime.Value)
	}
	return &problem{status: http.StatusBadRequest, title: "Not readable",
		what: "The event is not readable as JSON: " + strings.TrimPrefix(err.Error(), "json: ") + "."}
}

// jsonWord is what a Go kind is called in JSON.
func jsonWord(kind string) string {
	switch kind {
	case "string":
		return "a string"
	case "bool":
		return "true or false"
	case "struct", "map":
		return "an object"
	case "slice", "array":
		return "an array"
	default:
		return "a number"
	}
}

// replyJSON answers with an object.
func (s *Server) replyJSON(w http.ResponseWriter, r *http.Request, status int, answer any) error {
	text, err := json.Marshal(answer)
	if err != nil {
		return fmt.Errorf("write an answer down: %w", err)
	}
	h := w.Header()
	h.Set("Content-Type", "application/json")
	h.Set("Cache-Control", "no-store")
	w.WriteHeader(status)
	if _, err := w.Write(text); err != nil {
		s.undelivered(r, err)
	}
	return nil
}
