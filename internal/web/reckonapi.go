package web

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"mime"
	"net/http"
	"strconv"
	"strings"
	"sync"

	"platewright/reckon"
)

// longestQuestion is the greatest length of a question over HTTP, in bytes.
const longestQuestion = 64 << 10

// ReckonAPI answers the registry's reckonings over HTTP: GET /api/reckon lists them, POST
// /api/reckon/{name} answers one question, GET /api/openapi.json describes both.
// Every refusal has the body {"error":{"field","message"}}.
func ReckonAPI(g *reckon.Registry) http.Handler {
	var a reckonAPI
	openAPI := sync.OnceValues(g.OpenAPI)
	mux := http.NewServeMux()
	mux.HandleFunc("/api/reckon", a.only("GET, HEAD", func(w http.ResponseWriter, r *http.Request) {
		list, err := json.Marshal(g.List())
		a.reply(w, http.StatusOK, list, err)
	}))
	mux.HandleFunc("/api/openapi.json", a.only("GET, HEAD", func(w http.ResponseWriter, r *http.Request) {
		document, err := openAPI()
		a.reply(w, http.StatusOK, document, err)
	}))
	mux.HandleFunc("/api/reckon/{name}", func(w http.ResponseWriter, r *http.Request) {
		name := r.PathValue("name")
		reckoning, ok := g.Lookup(name)
		if !ok {
			hint := ""
			if near := g.Nearest(name); near != "" {
				hint = "; did you mean " + near + "?"
			}
			a.refuse(w, http.StatusNotFound, fmt.Errorf("no reckoning is called %q%s", name, hint))
			return
		}
		a.only("POST", func(w http.ResponseWriter, r *http.Request) { a.answer(w, r, reckoning) })(w, r)
	})
	mux.HandleFunc("/", func(w http.ResponseWriter, r *http.Request) {
		a.refuse(w, http.StatusNotFound, errors.New("nothing lies at this address"))
	})
	return mux
}

// reckonAPI gathers how the reckonings are answered over HTTP.
type reckonAPI struct{}

// answer reads one question and answers it.
func (a reckonAPI) answer(w http.ResponseWriter, r *http.Request, reckoning *reckon.Reckoning) {
	if kind, _, err := mime.ParseMediaType(r.Header.Get("Content-Type")); err != nil || kind != "application/json" {
		a.refuse(w, http.StatusUnsupportedMediaType, fmt.Errorf("the question is sent as %q; application/json is wanted", r.Header.Get("Content-Type")))
		return
	}
	question, err := io.ReadAll(http.MaxBytesReader(w, r.Body, longestQuestion))
	var tooLong *http.MaxBytesError
	switch {
	case errors.As(err, &tooLong):
		a.refuse(w, http.StatusRequestEntityTooLarge, fmt.Errorf("the question has more than %d bytes", longestQuestion))
		return
	case err != nil:
		a.refuse(w, http.StatusBadRequest, errors.New("the question broke off"))
		return
	}
	result, err := reckoning.Answer(question)
	if err != nil {
		a.refuse(w, http.StatusUnprocessableEntity, err)
		return
	}
	a.reply(w, http.StatusOK, result, nil)
}

// only refuses every other method than those listed.
func (a reckonAPI) only(methods string, h http.HandlerFunc) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		for m := range strings.SplitSeq(methods, ", ") {
			if r.Method == m {
				h(w, r)
				return
			}
		}
		w.Header().Set("Allow", methods)
		a.refuse(w, http.StatusMethodNotAllowed, fmt.Errorf("the method is %q; allowed is %s", r.Method, methods))
	}
}

func (a reckonAPI) refuse(w http.ResponseWriter, status int, err error) {
	a.reply(w, status, reckon.AppendError(nil, err), nil)
}

func (a reckonAPI) reply(w http.ResponseWriter, status int, body []byte, err error) {
	if err != nil {
		status, body = http.StatusInternalServerError, reckon.AppendError(nil, errors.New("the answer could not be written down"))
	}
	h := w.Header()
	h.Set("Content-Type", "application/json")
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("Cache-Control", "no-store")
	h.Set("Content-Length", strconv.Itoa(len(body)))
	w.WriteHeader(status)
	if _, err := w.Write(body); err != nil {
		return // whoever asked has gone
	}
}
