package web_test

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"mime/multipart"
	"net/http"
	"os"
	"strings"
	"testing"
	"time"
)

// lookAt posts a photograph to the page of looks.
func (s *store) lookAt(t *testing.T, p photo) *http.Response {
	t.Helper()
	var body bytes.Buffer
	form := multipart.NewWriter(&body)
	for name, value := range p.fields {
		must(t)(nil, form.WriteField(name, value))
	}
	part, err := form.CreateFormFile("photograph", p.name)
	must(t)(part, err)
	must(t)(part.Write(p.content))
	must(t)(nil, form.Close())
	r := request("POST", "/floor/look", body.String())
	r.Header.Set("Content-Type", form.FormDataContentType())
	answer := do(s, r)
	if left, err := os.ReadDir(s.scratch); err != nil || len(left) != 0 {
		t.Errorf("%s: the scratch folder holds %v (%v), want nothing", p.name, left, err)
	}
	return answer
}

// twoHalves is a photograph whose left half is one colour and whose right half another.
func twoHalves(t *testing.T, left, right color.Color) []byte {
	t.Helper()
	m := image.NewRGBA(image.Rect(0, 0, 400, 300))
	for y := range 300 {
		for x := range 400 {
			m.Set(x, y, map[bool]color.Color{true: left, false: right}[x < 200])
		}
	}
	var b bytes.Buffer
	must(t)(nil, png.Encode(&b, m))
	return b.Bytes()
}

// A photograph's look turns red dark beside a blue of less luminance to the eye, and lies mirrored unless asked
// otherwise; both pictures are there for half an hour and no longer, under addresses that no one can guess.
func TestLookOfAPhotograph(t *testing.T) {
	s := storeWith(t, nil)
	red, blue := color.RGBA{R: 220, G: 40, B: 30, A: 255}, color.RGBA{R: 30, G: 50, B: 200, A: 255}
	content := twoHalves(t, red, blue)
	seen := map[string]bool{}
	for _, sides := range []string{"", "as people see"} {
		r := s.lookAt(t, photo{"halves.png", content, map[string]string{"light": "shade", "tone": "cool", "sides": sides, "exposure": "0.5"}})
		to := r.Header.Get("Location")
		if r.StatusCode != http.StatusSeeOther || len(to) < len("/floor/look/")+20 || seen[to] {
			t.Fatalf("answers %d to %q: %s", r.StatusCode, to, text(t, r))
		}
		seen[to] = true
		doc := s.get(t, to)
		if said := mainWords(doc); !strings.Contains(strings.ToLower(said), "a study, not a promise") || !strings.Contains(said, "+0.5 stops") {
			t.Errorf("the page says %q", said)
		}
		imgs := find(doc, tag("img"))
		if len(imgs) != 2 {
			t.Fatalf("%d pictures", len(imgs))
		}
		var pictures []image.Image
		for _, img := range imgs {
			got := do(s, request("GET", attr(img, "src"), ""))
			if got.Header.Get("Content-Type") != "image/jpeg" || got.Header.Get("Cache-Control") != "no-store" {
				t.Errorf("%s: %v", attr(img, "src"), got.Header)
			}
			m, _, err := image.Decode(got.Body)
			if err != nil {
				t.Fatal(err)
			}
			pictures = append(pictures, m)
		}
		if before := pictures[0]; !redder(before.At(50, 100)) || redder(before.At(350, 100)) {
			t.Error("the photograph itself is not as it was")
		}
		l, r2 := grey(pictures[1].At(50, 100)), grey(pictures[1].At(350, 100))
		if mirrored := sides == ""; mirrored && l <= r2+20 || !mirrored && r2 <= l+20 {
			t.Errorf("sides %q: left is %d and right %d", sides, l, r2)
		}
	}
	for to := range seen {
		*s.clock = s.clock.Add(31 * time.Minute)
		r := do(s, request("GET", to, ""))
		if said := text(t, r); r.StatusCode != http.StatusNotFound || !strings.Contains(said, "not kept any more") {
			t.Errorf("after half an hour %s answers %d: %s", to, r.StatusCode, said)
		}
		if r := do(s, request("GET", to+"/after", "")); r.StatusCode != http.StatusNotFound {
			t.Errorf("after half an hour its picture answers %d", r.StatusCode)
		}
	}
}

func redder(c color.Color) bool { r, _, b, _ := c.RGBA(); return r > b }

func grey(c color.Color) int { return int(color.GrayModel.Convert(c).(color.Gray).Y) }

// No more than twelve are kept, the oldest going first.
func TestLooksAreFew(t *testing.T) {
	s := storeWith(t, nil)
	content := twoHalves(t, color.White, color.Black)
	var all []string
	for range 13 {
		all = append(all, s.lookAt(t, photo{name: "h.png", content: content}).Header.Get("Location"))
	}
	for i, to := range all {
		want := map[bool]int{true: http.StatusNotFound, false: http.StatusOK}[i == 0]
		if r := do(s, request("GET", to, "")); r.StatusCode != want {
			t.Errorf("look %d answers %d, want %d", i+1, r.StatusCode, want)
		}
	}
	if r := do(s, request("GET", all[12]+"/original", "")); r.StatusCode != http.StatusNotFound {
		t.Errorf("a third picture answers %d", r.StatusCode)
	}
}

// A file that is no photograph, or half of one, and what cannot be read get a sentence, and leave nothing behind.
func TestLookRefuses(t *testing.T) {
	s := storeWith(t, nil)
	whole := twoHalves(t, color.White, color.Black)
	for name, c := range map[string]struct {
		photo
		want string
	}{
		"no photograph": {photo{"notes.txt", []byte("these are only some notes"), nil}, "notes.txt"},
		"broken off":    {photo{"half.png", whole[:len(whole)*2/3], nil}, "half.png"},
		"nothing":       {photo{"", nil, nil}, "is missing or empty"},
		"far exposed":   {photo{"h.png", whole, map[string]string{"exposure": "11"}}, "10"},
		"no such light": {photo{"h.png", whole, map[string]string{"light": "moon"}}, "moon"},
		"no such tone":  {photo{"h.png", whole, map[string]string{"tone": "green"}}, "green"},
		"no such sides": {photo{"h.png", whole, map[string]string{"sides": "upside down"}}, "upside down"},
	} {
		r := s.lookAt(t, c.photo)
		doc := document(t, r)
		if said := words(doc); r.StatusCode != http.StatusUnprocessableEntity || !strings.Contains(said, c.want) || len(find(doc, tag("img"))) != 0 {
			t.Errorf("%s answers %d, want 422 with %q: %s", name, r.StatusCode, c.want, said)
		}
	}
}
