package demo

import (
	"io"
	"net/http"
	"strings"
	"testing"
)

// toy answers with a form of every kind of field, and with what was sent in it.
func toy(t *testing.T) http.Handler {
	mux := http.NewServeMux()
	mux.HandleFunc("GET /form", func(w http.ResponseWriter, r *http.Request) {
		write(t, w, `<!doctype html><main><form method="get" action="/find"><input name="words"></form>
			<form method="post" action="/take?x=1" id="f"><input type="hidden" name="version" value="3">
			<input name="name" value="as it was"><textarea name="note">two  words</textarea><input type="checkbox" name="box" value="on">
			<input type="radio" name="side" value="left"><input type="radio" name="side" value="right" checked>
			<select name="lens"><option value="a">A</option><option value="b" selected>B</option><option>c</option></select>
			<input name="off" value="1" disabled><input type="file" name="photo"><button name="pressed" value="go">Go</button></form>
			<input form="f" name="outside" value="o"></main>`)
	})
	mux.HandleFunc("POST /take", func(w http.ResponseWriter, r *http.Request) {
		if r.Host != "127.0.0.1:8417" || r.Header.Get("Origin") != "http://127.0.0.1:8417" {
			t.Errorf("host %q, origin %q", r.Host, r.Header.Get("Origin"))
		}
		if strings.HasPrefix(r.Header.Get("Content-Type"), "multipart/") {
			f, head, err := r.FormFile("photo")
			if err != nil {
				t.Error(err)
				return
			}
			content, err := io.ReadAll(f)
			if err != nil {
				t.Error(err)
			}
			write(t, w, head.Filename+" "+string(content)+" "+r.PostFormValue("name"))
			return
		}
		if err := r.ParseForm(); err != nil {
			t.Error(err)
		}
		if r.PostForm.Get("name") == "" {
			w.WriteHeader(http.StatusUnprocessableEntity)
			write(t, w, `<main>A long page<div role="alert"> Refused:  <b>name</b> is empty </div></main>`)
			return
		}
		http.Redirect(w, r, "/done?"+r.PostForm.Encode(), http.StatusSeeOther)
	})
	mux.HandleFunc("GET /done", func(w http.ResponseWriter, r *http.Request) { write(t, w, "done") })
	mux.HandleFunc("GET /broken", func(w http.ResponseWriter, r *http.Request) {
		w.WriteHeader(http.StatusInternalServerError)
		write(t, w, "<nav>rooms</nav><main>It broke, reference 12</main>")
	})
	return mux
}

func write(t *testing.T, w io.Writer, s string) {
	if _, err := io.WriteString(w, s); err != nil {
		t.Error(err)
	}
}

func TestBrowserSendsFormsAsTheyStand(t *testing.T) {
	b := newBrowser(toy(t), "http://127.0.0.1:8417")
	p, err := b.get(t.Context(), "/form")
	if err != nil {
		t.Fatal(err)
	}
	p2, err := b.fill(t.Context(), p, "/take", map[string]string{"name": "new", "lens": "c", "side": "left", "box": "on"}, nil)
	if err != nil {
		t.Fatal(err)
	}
	if want := "box=on&lens=c&name=new&note=two++words&outside=o&side=left&version=3"; p2.url.Path != "/done" || p2.url.RawQuery != want {
		t.Errorf("led to %s with\n%s, want\n%s", p2.url.Path, p2.url.RawQuery, want)
	}
	p3, err := b.fill(t.Context(), p, "/take", nil, &upload{"photo", "a.jpg", []byte("pixels")})
	if err != nil || string(p3.body) != "a.jpg pixels as it was" {
		t.Errorf("the upload gave %q (%v)", p3.body, err)
	}
}

func TestBrowserSaysWhatIsWrong(t *testing.T) {
	b := newBrowser(toy(t), "http://127.0.0.1:8417")
	p, err := b.get(t.Context(), "/form")
	if err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct {
		fields map[string]string
		action string
		file   *upload
		want   string
	}{
		{map[string]string{"name": ""}, "/take", nil, "status 422: Refused: name is empty"},
		{map[string]string{"nothing": "x"}, "/take", nil, `no field "nothing"`},
		{map[string]string{"off": "x"}, "/take", nil, `no field "off"`},
		{map[string]string{"lens": "d"}, "/take", nil, `["a" "b" "c"] for lens, not "d"`},
		{nil, "/elsewhere", nil, "no form for /elsewhere, only for [/take]"},
		{nil, "/take", &upload{field: "film"}, `takes no file "film"`},
	} {
		if _, err := b.fill(t.Context(), p, tt.action, tt.fields, tt.file); err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("got %v, want %q in it", err, tt.want)
		}
	}
	if _, err := b.get(t.Context(), "/broken"); err == nil || !strings.Contains(err.Error(), "status 500: It broke, reference 12") {
		t.Errorf("a broken page gave %v", err)
	}
}
