package web_test

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"fmt"
	"hash/crc32"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"io"
	"mime/multipart"
	"net/http"
	"os"
	"strings"
	"sync"
	"testing"
	"time"

	"golang.org/x/net/html"

	"platewright/internal/studio"
	"platewright/internal/web"
	"platewright/internal/web/screens/plates"
	"platewright/measure"
)

// filesInMemory keeps pictures by the hash of their content.
type filesInMemory struct {
	mu   sync.Mutex
	held map[string][]byte
	puts int
	// busy is how many files are being taken in; most is how many were at once.
	busy, most int
	hold       time.Duration // how long the first file takes
}

func (f *filesInMemory) Put(_ context.Context, r io.Reader) (string, error) {
	f.mu.Lock()
	f.busy++
	f.most = max(f.most, f.busy)
	hold := f.hold
	f.hold = 0
	f.mu.Unlock()
	time.Sleep(hold)
	b, err := io.ReadAll(r)
	f.mu.Lock()
	defer f.mu.Unlock()
	f.busy--
	if err != nil {
		return "", err
	}
	f.puts++
	sum := sha256.Sum256(b)
	name := hex.EncodeToString(sum[:])
	f.held[name] = b
	return name, nil
}

type openFile struct{ *bytes.Reader }

func (openFile) Close() error { return nil }

func (f *filesInMemory) Open(_ context.Context, name string) (io.ReadSeekCloser, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	b, ok := f.held[name]
	if !ok {
		return nil, fmt.Errorf("file %s: %w", name, studio.ErrNotFound)
	}
	return openFile{bytes.NewReader(b)}, nil
}

// store is a house with files, a scratch folder and a plate poured.
type store struct {
	*house
	files   *filesInMemory
	scratch string
	plate   studio.Plate
}

func storeWith(t *testing.T, change func(*web.Config)) *store {
	t.Helper()
	s := &store{files: &filesInMemory{held: map[string][]byte{}}, scratch: t.TempDir()}
	s.house = unbegun(t, func(cfg *web.Config) {
		cfg.Files, cfg.Scratch = s.files, s.scratch
		if change != nil {
			change(cfg)
		}
	})
	must(t)(s.studio.Begin(t.Context(), studio.Profile{Name: "Atelier at the Lock", Units: studio.Metric, Place: "Lower Mill"}))
	s.plate = s.poured(t, "")
	return s
}

// planned plans a plate, of a sitting or of none.
func (s *store) planned(t *testing.T, sitting studio.ID) studio.Plate {
	t.Helper()
	size, err := measure.ParsePlateSize("half plate")
	if err != nil {
		t.Fatal(err)
	}
	p, err := s.studio.PlanPlate(t.Context(), studio.Plan{Sitting: sitting, Size: size, Exposure: 4 * time.Second})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func (s *store) poured(t *testing.T, sitting studio.ID) studio.Plate {
	t.Helper()
	p := s.planned(t, sitting)
	s.record(t, p, studio.Poured, studio.Detail{})
	return p
}

func (s *store) record(t *testing.T, p studio.Plate, kind studio.EventKind, d studio.Detail) studio.ID {
	t.Helper()
	id := s.studio.NewID()
	must(t)(s.studio.Record(t.Context(), p.Number, studio.Event{ID: id, Kind: kind, At: *s.clock, Device: "tablet", Detail: d}))
	return id
}

func (s *store) story(t *testing.T) studio.Story {
	t.Helper()
	story, err := s.studio.Plate(t.Context(), s.plate.Number)
	if err != nil {
		t.Fatal(err)
	}
	return story
}

// photo is a form for the copy stand with its photograph.
type photo struct {
	name    string
	content []byte
	fields  map[string]string
}

// send posts a photograph.
func (s *store) send(t *testing.T, p photo) *http.Response {
	t.Helper()
	var body bytes.Buffer
	form := multipart.NewWriter(&body)
	for name, value := range p.fields {
		if err := form.WriteField(name, value); err != nil {
			t.Fatal(err)
		}
	}
	part, err := form.CreateFormFile("photograph", p.name)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := part.Write(p.content); err != nil {
		t.Fatal(err)
	}
	if err := form.Close(); err != nil {
		t.Fatal(err)
	}
	r := request("POST", "/copystand", body.String())
	r.Header.Set("Content-Type", form.FormDataContentType())
	answer := do(s, r)
	if left, err := os.ReadDir(s.scratch); err != nil || len(left) != 0 {
		t.Errorf("%s: the scratch folder holds %v (%v), want nothing", p.name, left, err)
	}
	return answer
}

func (s *store) fields(id string) map[string]string {
	return map[string]string{"plate": s.plate.Number.String(), "already_true": "", "id": id}
}

// file sends a photograph that must be taken.
func (s *store) file(t *testing.T, name string, content []byte, id string) {
	t.Helper()
	r := s.send(t, photo{name, content, s.fields(id)})
	if want := "/plates/" + s.plate.Number.String(); r.StatusCode != http.StatusSeeOther || strings.Split(r.Header.Get("Location"), "?")[0] != want {
		t.Fatalf("%s: status %d to %q, want 303 to %s: %s", name, r.StatusCode, r.Header.Get("Location"), want, text(t, r))
	}
}

// testdata is a photograph that lies with the package picture.
func testdata(t testing.TB, name string) []byte {
	t.Helper()
	b, err := os.ReadFile("../../picture/testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// halves is a picture whose left half is red and whose right half is blue.
func halves(t testing.TB) []byte {
	t.Helper()
	m := image.NewRGBA(image.Rect(0, 0, 64, 48))
	for y := range 48 {
		for x := range 64 {
			c := color.RGBA{R: 255, A: 255}
			if x >= 32 {
				c = color.RGBA{B: 255, A: 255}
			}
			m.SetRGBA(x, y, c)
		}
	}
	var b bytes.Buffer
	if err := png.Encode(&b, m); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// giant is the head of a PNG that says it is 60000 pixels square.
func giant() []byte {
	chunk := func(kind string, data []byte) []byte {
		b := binary.BigEndian.AppendUint32(nil, uint32(len(data)))
		b = append(append(b, kind...), data...)
		return binary.BigEndian.AppendUint32(b, crc32.ChecksumIEEE(b[4:]))
	}
	head := binary.BigEndian.AppendUint32(binary.BigEndian.AppendUint32(nil, 60000), 60000)
	b := append([]byte("\x89PNG\r\n\x1a\n"), chunk("IHDR", append(head, 8, 2, 0, 0, 0))...)
	b = append(b, chunk("IDAT", []byte{0x78, 0x9c, 0x63, 0, 0, 0, 1, 0, 1})...)
	return append(b, chunk("IEND", nil)...)
}

// Photographs of real plates are filed with the plate: as they came, byte for byte, and turned.
func TestPhotographsAreFiled(t *testing.T) {
	s := storeWith(t, nil)
	for k, name := range []string{"black-canyon.jpg", "nagasaki-boats.jpg"} {
		content := testdata(t, name)
		s.file(t, name, content, fmt.Sprintf("copy-id-%04d", k))
		at := fmt.Sprintf("/plates/%s/copies/%d/", s.plate.Number, k+1)
		if got := text(t, do(s, request("GET", at+"original", ""))); got != string(content) {
			t.Errorf("%s: the original is %d bytes, not the %d that were sent", name, len(got), len(content))
		}
		sent, err := jpeg.DecodeConfig(bytes.NewReader(content))
		if err != nil {
			t.Fatal(err)
		}
		for what, longest := range map[string]int{"true": max(sent.Width, sent.Height), "view": min(1600, max(sent.Width, sent.Height)), "thumb": 400} {
			got, err := jpeg.DecodeConfig(do(s, request("GET", at+what, "")).Body)
			if err != nil {
				t.Fatalf("%s: %s: %v", name, what, err)
			}
			if side := max(got.Width, got.Height); side != longest {
				t.Errorf("%s: %s is %d x %d px, want the longest side %d", name, what, got.Width, got.Height, longest)
			}
		}
	}
	if n := len(s.story(t).Copies); n != 2 {
		t.Errorf("%d copies with the plate, want 2", n)
	}
	doc := s.get(t, "/plates/"+s.plate.Number.String())
	if n := len(find(doc, tag("a"), func(n *html.Node) bool { return strings.HasSuffix(strings.Split(attr(n, "href"), "?")[0], "/original") })); n != 2 {
		t.Errorf("%d originals to download on the page, want 2", n)
	}
}

// The plate is a mirror: what lies at the left of the photograph stands at the right of the true
// view, unless the photograph is true already.
func TestTrueViewIsTheMirror(t *testing.T) {
	s := storeWith(t, nil)
	s.file(t, "halves.png", halves(t), "copy-id-0001")
	fields := s.fields("copy-id-0002")
	fields["already_true"] = "yes"
	if r := s.send(t, photo{"halves.png", halves(t), fields}); r.StatusCode != http.StatusSeeOther {
		t.Fatalf("status %d", r.StatusCode)
	}
	for k, redAt := range map[int]int{1: 48, 2: 16} {
		for _, what := range []string{"true", "view", "thumb"} {
			m, err := jpeg.Decode(do(s, request("GET", fmt.Sprintf("/plates/%s/copies/%d/%s", s.plate.Number, k, what), "")).Body)
			if err != nil {
				t.Fatal(err)
			}
			red, _, blue, _ := m.At(redAt, 24).RGBA()
			otherRed, _, otherBlue, _ := m.At(64-redAt, 24).RGBA()
			if red < 0xc000 || blue > 0x4000 || otherRed > 0x4000 || otherBlue < 0xc000 {
				t.Errorf("copy %d, %s: at %d red %#x blue %#x, at %d red %#x blue %#x; want red, then blue", k, what, redAt, red, blue, 64-redAt, otherRed, otherBlue)
			}
		}
	}
}

// What is no usable photograph is refused by its name, with what is taken instead, and nothing is
// kept of it; what was typed is.
func TestBadPhotographsAreRefused(t *testing.T) {
	canyon := testdata(t, "black-canyon.jpg")
	for _, tt := range []struct {
		name    string
		content []byte
		says    string
	}{
		{"letter.jpg", []byte("Dear sitter, your plate is ready.\n"), "text"},
		{"cut-off.jpg", canyon[:len(canyon)/2], "cut off"},
		{"giant.png", giant(), "60000"},
		{"moving.gif", []byte("GIF89a\x01\x00\x01\x00"), "GIF"},
		{"nothing.jpg", nil, "empty"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			s := storeWith(t, nil)
			fields := s.fields("copy-id-0009")
			fields["already_true"] = "yes"
			r := s.send(t, photo{tt.name, tt.content, fields})
			if r.StatusCode != http.StatusUnprocessableEntity {
				t.Fatalf("status %d, want 422", r.StatusCode)
			}
			doc := document(t, r)
			pageInOrder(t, tt.name, doc)
			said := words(find(doc, tag("main"))[0])
			for _, want := range []string{tt.name, tt.says, "JPEG, PNG or TIFF"} {
				if !strings.Contains(said, want) {
					t.Errorf("the page does not say %q: %s", want, said)
				}
			}
			if got := attr(find(doc, tag("input"), with("name", "plate"))[0], "value"); got != s.plate.Number.String() {
				t.Errorf("the plate typed was %s, the form shows %q", s.plate.Number, got)
			}
			if got := attr(find(doc, tag("input"), with("name", "id"))[0], "value"); got != "copy-id-0009" {
				t.Errorf("the form's id is now %q", got)
			}
			if chosen, _ := kept(doc, "already_true"); chosen != "yes" {
				t.Errorf("already true was chosen; the form shows %q", chosen)
			}
			if s.files.puts != 0 || len(s.story(t).Copies) != 0 {
				t.Errorf("%d files kept and %d copies filed, want none", s.files.puts, len(s.story(t).Copies))
			}
		})
	}
}

// A plate that cannot have a copy is refused at its field, and nothing is kept.
func TestPlatesThatCannotHaveACopy(t *testing.T) {
	s := storeWith(t, nil)
	dry := s.planned(t, "")
	for _, tt := range []struct{ plate, says string }{
		{"", "write the plate's number"},
		{"147", "26-0147"},
		{"26-0999", "there is no plate 26-0999"},
		{dry.Number.String(), "not poured yet"},
	} {
		fields := s.fields("copy-id-0009")
		fields["plate"] = tt.plate
		r := s.send(t, photo{"halves.png", halves(t), fields})
		if r.StatusCode != http.StatusUnprocessableEntity {
			t.Errorf("plate %q: status %d, want 422", tt.plate, r.StatusCode)
			continue
		}
		typed, problem := kept(document(t, r), "plate")
		if typed != tt.plate || !strings.Contains(problem, tt.says) {
			t.Errorf("plate %q: the field shows %q and says %q, want %q in it", tt.plate, typed, problem, tt.says)
		}
	}
	if s.files.puts != 0 {
		t.Errorf("%d files kept, want none", s.files.puts)
	}
}

// A form sent twice files its photograph once, and no second file is kept.
func TestCopySentTwice(t *testing.T) {
	s := storeWith(t, nil)
	s.file(t, "halves.png", halves(t), "copy-id-0001")
	puts := s.files.puts
	s.file(t, "other.jpg", testdata(t, "nagasaki-boats.jpg"), "copy-id-0001")
	if s.files.puts != puts || len(s.story(t).Copies) != 1 {
		t.Errorf("%d more files and %d copies, want none and 1", s.files.puts-puts, len(s.story(t).Copies))
	}
}

// Photographs sent at once are turned one at a time.
func TestOnePhotographAtATime(t *testing.T) {
	s := storeWith(t, nil)
	s.files.hold = 500 * time.Millisecond // time for the others to come by, were they let
	var all sync.WaitGroup
	for k := range 4 {
		all.Go(func() {
			body, kind := manyParts(t, s.fields(fmt.Sprintf("copy-id-%04d", k)), testdata(t, "nagasaki-boats.jpg"))
			r := request("POST", "/copystand", body)
			r.Header.Set("Content-Type", kind)
			if got := do(s, r).StatusCode; got != http.StatusSeeOther {
				t.Errorf("status %d", got)
			}
		})
	}
	all.Wait()
	if s.files.most != 1 {
		t.Errorf("%d files were taken in at once, want 1", s.files.most)
	}
	if n := len(s.story(t).Copies); n != 4 {
		t.Errorf("%d copies, want 4", n)
	}
}

func manyParts(t *testing.T, fields map[string]string, content []byte) (body, kind string) {
	var b bytes.Buffer
	form := multipart.NewWriter(&b)
	for name, value := range fields {
		if err := form.WriteField(name, value); err != nil {
			t.Error(err)
		}
	}
	part, err := form.CreateFormFile("photograph", "boats.jpg")
	if err != nil {
		t.Error(err)
		return "", ""
	}
	if _, err := part.Write(content); err != nil {
		t.Error(err)
	}
	if err := form.Close(); err != nil {
		t.Error(err)
	}
	return b.String(), form.FormDataContentType()
}

// What is sent above the limit is refused before it is read.
func TestPhotographTooLarge(t *testing.T) {
	s := storeWith(t, nil)
	r := request("POST", "/copystand", "x")
	r.Header.Set("Content-Type", "multipart/form-data; boundary=x")
	r.ContentLength = 1<<30 + 1<<29 + 1
	answer := do(s, r)
	if answer.StatusCode != http.StatusRequestEntityTooLarge {
		t.Fatalf("status %d, want 413", answer.StatusCode)
	}
	if said := text(t, answer); !strings.Contains(said, "1.5 GB") {
		t.Error("the page does not say how much is taken")
	}
}

// The stand lists what was poured and not photographed, and the last copies both ways round; in red
// light no file can be chosen.
func TestCopyStandWithoutPlates(t *testing.T) {
	h := opened(t, studio.Metric)
	if got := mainWords(h.get(t, "/copystand")); !strings.Contains(got, "There is no plate yet") || strings.Contains(got, "has its copy") {
		t.Errorf("a studio without plates is told %s", got)
	}
}

func TestCopyStandLists(t *testing.T) {
	s := storeWith(t, nil)
	sitting := s.sitting(t, s.sitter(t, "Ottilie Brandt"), morning().Add(time.Hour))
	waiting := s.poured(t, sitting.ID)
	s.file(t, "halves.png", halves(t), "copy-id-0001")
	s.planned(t, "")
	doc := s.get(t, "/copystand?plate="+waiting.Number.String())
	if typed, _ := kept(doc, "plate"); typed != waiting.Number.String() {
		t.Errorf("the plate asked for is %s, the field shows %q", waiting.Number, typed)
	}
	list := find(doc, tag("section"), with("aria-labelledby", "waiting"))[0]
	if links := find(list, tag("a")); len(links) != 1 || attr(links[0], "href") != "/copystand?plate="+waiting.Number.String() || !strings.Contains(words(links[0]), "Ottilie Brandt") {
		t.Errorf("waiting: %s, want the one plate of Ottilie Brandt", words(list))
	}
	pair := find(find(doc, tag("section"), with("aria-labelledby", "last"))[0], tag("img"))
	if len(pair) != 2 || attr(pair[0], "class") != "lies" || attr(pair[1], "class") != "" {
		t.Errorf("%d pictures of the last copy, want the plate as it lies and its true view", len(pair))
	}
	red := request("GET", "/copystand", "")
	red.AddCookie(&http.Cookie{Name: "light", Value: "red"})
	doc = document(t, do(s, red))
	if n := len(find(doc, tag("input"), with("type", "file"))); n != 0 {
		t.Errorf("%d file fields in red light, want none", n)
	}
	if acts := find(doc, tag("button"), with("class", "primary")); len(acts) != 1 || len(find(acts[0].Parent, with("class", "withheld"))) != 1 {
		t.Error("in red light the act stays in its place and says why it is withheld")
	}
}

// A form of many parts is refused before its texts fill the memory.
func TestTooManyParts(t *testing.T) {
	s := storeWith(t, nil)
	fields := s.fields("copy-of-many-parts")
	for i := range 40 {
		fields[fmt.Sprint("more", i)] = "x"
	}
	r := s.send(t, photo{"canyon.jpg", testdata(t, "black-canyon.jpg"), fields})
	if body := text(t, r); r.StatusCode != http.StatusUnprocessableEntity || !strings.Contains(body, "more than 32 parts") {
		t.Errorf("status %d, want 422 with the number allowed: %.300s", r.StatusCode, body)
	}
	if n := len(s.story(t).Copies); n != 0 {
		t.Errorf("%d copies were filed, want none", n)
	}
}

// A picture that does not fit its plate, or is tiny, is filed and told of; one that fits is not.
func TestOddCopiesAreToldOf(t *testing.T) {
	half := measure.PlateSize{Width: 107.9, Height: 139.7} // 4 1/4 by 5 1/2 inches
	for _, tt := range []struct {
		w, h int
		size measure.PlateSize
		says string
	}{
		{3000, 4000, half, ""}, {3000, 3300, half, ""}, {4000, 3000, half, "lies and the plate was planned so that it stands"},
		{1500, 4000, half, "shape is not the plate's"}, {4000, 1500, half, "shape is not the plate's"}, {4000, 3000, half.Turned(), ""},
		{220, 290, half, "small: 220"}, {300, 400, measure.PlateSize{}, ""},
	} {
		got := strings.Join(plates.OddOf(studio.Copy{WidthPx: tt.w, HeightPx: tt.h}, tt.size), " ")
		if tt.says == "" && got != "" || !strings.Contains(got, tt.says) {
			t.Errorf("%d x %d px of a plate of %v: told %q, want %q", tt.w, tt.h, tt.size, got, tt.says)
		}
	}
	s := storeWith(t, nil)
	r := s.send(t, photo{name: "halves.png", content: halves(t), fields: s.fields("copy-id-0001")})
	at := r.Header.Get("Location")
	if got := mainWords(s.get(t, at)); !strings.HasSuffix(at, "?filed=1") || !strings.Contains(got, "The picture is small: 64") || !strings.Contains(got, "It is filed all the same.") {
		t.Errorf("a tiny picture leads to %s, which says %.400s", at, got)
	}
}
