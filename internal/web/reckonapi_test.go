package web_test

import (
	"encoding/json"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"platewright/internal/web"
	"platewright/reckon"
)

func TestReckonAPI(t *testing.T) {
	server := httptest.NewServer(web.ReckonAPI(reckon.New()))
	defer server.Close()
	const good = `{"ev100":0,"exposure_index":100,"f_number":1}`
	for _, tt := range []struct {
		name, method, path, kind, body string
		status                         int
		want                           string
	}{
		{"an answer", "POST", "/api/reckon/seconds", "application/json", good, 200, `{"seconds":1,`},
		{"a charset is no harm", "POST", "/api/reckon/seconds", "application/json; charset=utf-8", good, 200, `{"seconds":1,`},
		{"a value out of range", "POST", "/api/reckon/seconds", "application/json", `{"ev100":99}`, 422,
			`{"error":{"field":"ev100","message":"ev100 is 99; allowed is -8 to 17"}}`},
		{"an unknown key", "POST", "/api/reckon/seconds", "application/json", `{"ev":9}`, 422, `{"error":{"field":"ev","message":"unknown key`},
		{"no JSON", "POST", "/api/reckon/seconds", "application/json", `ev=9`, 422, `{"error":{"field":"","message":"not JSON:`},
		{"nothing", "POST", "/api/reckon/seconds", "application/json", ``, 422, `{"error":{"field":"","message":"no question:`},
		{"an unknown name", "POST", "/api/reckon/secnds", "application/json", good, 404, `{"error":{"field":"","message":"no reckoning is called \"secnds\"; did you mean seconds?"}}`},
		{"a form", "POST", "/api/reckon/seconds", "application/x-www-form-urlencoded", good, 415, `{"error":`},
		{"no kind", "POST", "/api/reckon/seconds", "", good, 415, `{"error":`},
		{"a long question", "POST", "/api/reckon/seconds", "application/json", strings.Repeat(" ", 64<<10) + good, 413, `{"error":`},
		{"a long question that just fits", "POST", "/api/reckon/seconds", "application/json", strings.Repeat(" ", 64<<10-len(good)) + good, 200, `{"seconds":1,`},
		{"the wrong method", "GET", "/api/reckon/seconds", "", "", 405, `{"error":`},
		{"the list", "GET", "/api/reckon", "", "", 200, `{"reckonings":[{"name":`},
		{"the list cannot be posted to", "POST", "/api/reckon", "application/json", good, 405, `{"error":`},
		{"the document", "GET", "/api/openapi.json", "", "", 200, `{`},
		{"elsewhere", "GET", "/api/other", "", "", 404, `{"error":`},
	} {
		t.Run(tt.name, func(t *testing.T) {
			req, err := http.NewRequest(tt.method, server.URL+tt.path, strings.NewReader(tt.body))
			if err != nil {
				t.Fatal(err)
			}
			if tt.kind != "" {
				req.Header.Set("Content-Type", tt.kind)
			}
			res, err := server.Client().Do(req)
			if err != nil {
				t.Fatal(err)
			}
			defer res.Body.Close()
			body, err := io.ReadAll(res.Body)
			if err != nil {
				t.Fatal(err)
			}
			if res.StatusCode != tt.status || !strings.HasPrefix(string(body), tt.want) {
				t.Errorf("%d %.200s, want %d %s", res.StatusCode, body, tt.status, tt.want)
			}
			if !json.Valid(body) || res.Header.Get("Content-Type") != "application/json" {
				t.Errorf("no JSON: %s %.200s", res.Header.Get("Content-Type"), body)
			}
			if tt.status == 405 && res.Header.Get("Allow") == "" {
				t.Error("405 without saying what is allowed")
			}
		})
	}
}

// The document names every reckoning, and each path it names is answered here.
func TestOpenAPIPathsAreServed(t *testing.T) {
	g := reckon.New()
	h := web.ReckonAPI(g)
	ask := func(method, path, body string) *httptest.ResponseRecorder {
		w := httptest.NewRecorder()
		r := httptest.NewRequest(method, path, strings.NewReader(body))
		r.Header.Set("Content-Type", "application/json")
		h.ServeHTTP(w, r)
		return w
	}
	var document struct {
		Paths map[string]map[string]any
	}
	if err := json.Unmarshal(ask("GET", "/api/openapi.json", "").Body.Bytes(), &document); err != nil {
		t.Fatal(err)
	}
	for _, r := range g.All() {
		if document.Paths["/api/reckon/"+r.Name]["post"] == nil {
			t.Errorf("the document does not name %s", r.Name)
		}
		if w := ask("POST", "/api/reckon/"+r.Name, r.Example); w.Code != 200 {
			t.Errorf("%s answers its example with %d: %s", r.Name, w.Code, w.Body)
		}
	}
	if len(document.Paths) != len(g.All())+1 {
		t.Errorf("%d paths for %d reckonings and the list", len(document.Paths), len(g.All()))
	}
}
