package reckon_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"strings"
	"testing"

	"platewright/reckon"

	"pgregory.net/rapid"
)

// TestFocus compares with printed figures and with figures reckoned apart from the product.
func TestFocus(t *testing.T) {
	const head = `{"focal_mm":450,"f_number":4.5,"plate":"8x10","magnification":0.43}`
	for _, tt := range []struct {
		question, key string
		want, tol     float64
		source        string
	}{
		// published
		{`{"focal_mm":80,"f_number":8,"plate":"4x5","magnification":0.5}`, "bellows_stops", math.Log2(2.25), 1e-12, "[FocalCh22, worked example] factor 2 1/4"},
		{`{"focal_mm":150,"f_number":11,"plate":"4x5","blur_mm":0.1,"magnification":0.1}`, "hyperfocal_mm", 67 * 304.8, 200, "[ViewFocus1996, part I] about 67 ft"},
		{`{"focal_mm":450,"f_number":4.5,"plate":"8x10","magnification":1}`, "bellows_stops", 2, 1e-12, "[Conj1995] same size"},
		// Common practice, no source: about 7 mm for a head near f/4.5 on 8x10.
		{head, "depth_mm", 7, 0.5, "common practice, no source"},
		{`{"focal_mm":450,"f_number":4.5,"plate":"8x10","magnification":0.2}`, "framed_focal_mm", 70, 0.5, "common practice, no source"},
		// independent: by hand and by a script apart from the product
		{head, "depth_mm", 6.96, 0.005, "by hand"},
		{head, "distance_mm", 1496.51, 0.005, "by hand"},
		{head, "near_mm", 1493.04, 0.005, "by hand"},
		{head, "far_mm", 1500.00, 0.005, "by hand"},
		{head, "extension_mm", 643.5, 1e-9, "by hand"},
		{head, "bellows_stops", 1.032, 0.0005, "by hand"},
		{head, "effective_f_number", 6.435, 1e-9, "by hand"},
		{head, "frame_height_mm", 254 / 0.43, 1e-9, "by hand"},
		{head, "frame_width_mm", 203.2 / 0.43, 1e-9, "by hand"},
		{head, "framed_focal_mm", 81.0, 0.05, "by hand"},
		{head, "equivalent_focal_mm", 59.9, 0.05, "by hand"},
		{head, "equivalent_f_number", 0.60, 0.005, "by hand"},
		{head, "view_deg", 2 * 180 / math.Pi * math.Atan(325.27869/2/643.5), 1e-5, "by hand"},
		{head, "airy_mm", 2.44 * 430e-6 * 6.435, 1e-12, "by hand"},
		{head, "room_mm", 1496.51 + 643.5 + 1000, 0.005, "by hand"},
		{head, "blur_mm", 0.1, 1e-15, "stated default"},
		{`{"focal_mm":450,"f_number":4.5,"plate":"8x10","magnification":0.43,"viewing_mm":500}`, "blur_mm", 0.2, 1e-15, "stated default"},
		{`{"focal_mm":450,"f_number":4.5,"plate":"8x10","magnification":0.43,"viewing_mm":500}`, "depth_mm", 13.92, 0.005, "by hand"},
		{`{"focal_mm":450,"pupil_mm":100,"pupil_mag":0.90463,"plate":"8x10","magnification":0.43}`, "depth_mm", 7.18, 0.005, "by hand"},
		{`{"focal_mm":450,"pupil_mm":100,"pupil_mag":0.90463,"plate":"8x10","magnification":0.43}`, "f_number", 4.5, 1e-12, "by hand"},
		{`{"focal_mm":450,"f_number":4.5,"plate":"8x10","frame_height_mm":590.69767441860467}`, "magnification", 0.43, 1e-12, "by hand"},
		{`{"focal_mm":450,"f_number":4.5,"plate":{"width_mm":254,"height_mm":203.2},"distance_mm":2250}`, "frame_height_mm", 1016, 1e-9, "by hand: the long side, lying or not"},
		{`{"focal_mm":450,"f_number":4.5,"plate":{"width_mm":53.98,"height_mm":82.55},"distance_mm":2250}`, "frame_width_mm", 215.92, 1e-9, "by hand: a size is not rounded to a trade size"},
		{`{"focal_mm":450,"f_number":4.5,"plate":"8x10","magnification":0.43,"wavelength_nm":420}`, "airy_mm", 0.0066, 0.00005, "by hand"},
	} {
		got, ok := ask(t, "focus", tt.question)[tt.key].(float64)
		if !ok || !(math.Abs(got-tt.want) <= tt.tol) {
			t.Errorf("focus %s: %s = %.9g, want %.9g ± %g (%s)", tt.question, tt.key, got, tt.want, tt.tol, tt.source)
		}
	}
}

func TestFocusToInfinity(t *testing.T) {
	a := ask(t, "focus", `{"focal_mm":150,"f_number":11,"plate":"4x5","blur_mm":0.1,"distance_mm":21000}`)
	for _, key := range []string{"far_mm", "depth_mm", "rear_depth_mm"} {
		if v, there := a[key]; !there || v != nil {
			t.Errorf("%s beyond the hyperfocal distance is %v, want null", key, v)
		}
	}
	if notes := fmt.Sprint(a["notes"]); !strings.Contains(notes, "infinity") {
		t.Errorf("no note says so: %s", notes)
	}
}

func TestFocusNotes(t *testing.T) {
	const rest = `"focal_mm":450,"plate":"8x10","magnification":0.2`
	for _, tt := range []struct {
		question, part string
		there          bool
	}{
		{`{"f_number":4.5,` + rest + `}`, "pupil_mag 1", true},
		{`{"f_number":4.5,"pupil_mag":0.9,` + rest + `}`, "pupil_mag 1", false},
		{`{"f_number":4.5,` + rest + `}`, "0.10 mm seen from 250 mm", true},
		{`{"f_number":4.5,"blur_mm":0.1,` + rest + `}`, "0.10 mm seen from 250 mm", false},
		{`{"f_number":128,` + rest + `}`, "diffraction", true},
		{`{"f_number":45,` + rest + `}`, "diffraction", false},
		{`{"f_number":4.5,` + rest + `}`, "1 m behind", true},
	} {
		if notes := fmt.Sprint(ask(t, "focus", tt.question)["notes"]); strings.Contains(notes, tt.part) != tt.there {
			t.Errorf("focus %s: %q in the notes: want %t; %s", tt.question, tt.part, tt.there, notes)
		}
	}
}

// refused asks a question that must be refused and returns the key that is blamed and what is said.
func refused(t *testing.T, name, question string) *reckon.FieldError {
	t.Helper()
	r, ok := reckon.New().Lookup(name)
	if !ok {
		t.Fatalf("no reckoning %s", name)
	}
	raw, err := r.Answer([]byte(question))
	fe, ok := err.(*reckon.FieldError)
	if !ok {
		t.Fatalf("%s %s answers %s, error %v; want a refusal", name, question, raw, err)
	}
	return fe
}

func TestFocusRefuses(t *testing.T) {
	for _, tt := range []struct{ question, field, part string }{
		{`{"f_number":4,"plate":"8x10","magnification":1}`, "focal_mm", "10 to 5000 mm"},
		{`{"focal_mm":9.9,"f_number":4,"plate":"8x10","magnification":1}`, "focal_mm", "is 9.9; allowed is 10 to 5000 mm"},
		{`{"focal_mm":300,"f_number":300,"plate":"8x10","magnification":1}`, "f_number", "is 300; allowed is 0.5 to 256"},
		{`{"focal_mm":300,"f_number":4,"pupil_mm":75,"plate":"8x10","magnification":1}`, "pupil_mm", "exactly one of f_number, pupil_mm"},
		{`{"focal_mm":300,"plate":"8x10","magnification":1}`, "f_number", "exactly one of f_number, pupil_mm"},
		{`{"focal_mm":300,"pupil_mm":601,"plate":"8x10","magnification":1}`, "pupil_mm", "is 601; allowed is 1.171875 to 600 mm"},
		{`{"focal_mm":300,"f_number":4,"plate":"8x10"}`, "magnification", "exactly one of magnification, distance_mm, frame_height_mm"},
		{`{"focal_mm":300,"f_number":4,"plate":"8x10","magnification":1,"distance_mm":600}`, "distance_mm", "exactly one of"},
		{`{"focal_mm":300,"f_number":4,"plate":"8x10","distance_mm":300}`, "distance_mm", "is 300; allowed is 303 to 10000000 mm"},
		{`{"focal_mm":300,"f_number":4,"plate":"8x10","frame_height_mm":2}`, "frame_height_mm", "is 2; allowed is 2.54 to 10000000 mm"},
		{`{"focal_mm":300,"f_number":4,"plate":"8x10","magnification":0}`, "magnification", "is 0; allowed is 0.000001 to 100"},
		{`{"focal_mm":300,"f_number":4,"plate":"dinner plate","magnification":1}`, "plate", "dinner plate"},
		{`{"focal_mm":300,"f_number":4,"plate":{"width_mm":5,"height_mm":100},"magnification":1}`, "plate.width_mm", "is 5; allowed is 10 to 1000 mm"},
		{`{"focal_mm":300,"f_number":4,"plate":"8x10","magnification":1,"pupil_mag":0}`, "pupil_mag", "is 0; allowed is 0.1 to 10"},
		{`{"focal_mm":300,"f_number":4,"plate":"8x10","magnification":1,"blur_mm":11}`, "blur_mm", "is 11; allowed is 0.0001 to 10 mm"},
		{`{"focal_mm":300,"f_number":4,"plate":"8x10","magnification":1,"stop":4}`, "stop", "unknown key"},
	} {
		if fe := refused(t, "focus", tt.question); fe.Field != tt.field || !strings.Contains(fe.Message, tt.part) || !strings.Contains(fe.Message, tt.field) {
			t.Errorf("focus %s: %q: %s; want %q and %q", tt.question, fe.Field, fe.Message, tt.field, tt.part)
		}
	}
}

// TestFocusHandFormulas asks over the whole of the stated ranges, through JSON, and compares with the
// formulas as a textbook prints them, by the pupils' own geometry. Kind: identity.
func TestFocusHandFormulas(t *testing.T) {
	r, ok := reckon.New().Lookup("focus")
	if !ok {
		t.Fatal("no focus")
	}
	rapid.Check(t, func(t *rapid.T) {
		wide := func(name string, low, high float64) float64 {
			return min(max(low*math.Pow(high/low, rapid.Float64Range(0, 1).Draw(t, name)), low), high)
		}
		f, p := wide("focal", 10, 5000), wide("pupil_mag", 0.1, 10)
		N, c := wide("f_number", 0.5, 256), wide("blur", 0.0001, 10)
		w, h := wide("width", 10, 1000), wide("height", 10, 1000)
		q := map[string]any{"focal_mm": f, "pupil_mag": p, "blur_mm": c, "plate": map[string]any{"width_mm": w, "height_mm": h}}
		if rapid.Bool().Draw(t, "by pupil") {
			q["pupil_mm"] = min(max(f/N, 0.03), 10000)
		} else {
			q["f_number"] = N
		}
		var m float64
		switch rapid.IntRange(0, 2).Draw(t, "where") {
		case 0:
			m = wide("magnification", 1e-6, 100)
			q["magnification"] = m
		case 1:
			s := wide("distance", f*1.01*(1+1e-12), 1e7)
			q["distance_mm"], m = s, f/(s-f)
		default:
			frame := wide("frame", max(w, h)/100*(1+1e-12), 1e7)
			q["frame_height_mm"], m = frame, max(w, h)/frame
		}
		question, err := json.Marshal(q)
		if err != nil {
			t.Fatal(err)
		}
		raw, err := r.Answer(question)
		if fe, ok := err.(*reckon.FieldError); ok && fe.Field == "pupil_mm" {
			return // at the very end of the f-numbers, by rounding
		} else if err != nil {
			t.Fatalf("%s: %v", question, err)
		}
		var a map[string]any
		if err := json.Unmarshal(raw, &a); err != nil {
			t.Fatal(err)
		}
		check := func(key string, want, slack float64) {
			t.Helper()
			if got, ok := a[key].(float64); !ok || !(math.Abs(got-want) <= 1e-6*math.Abs(want)+slack) {
				t.Fatalf("%s: %s = %.12g, want %.12g", question, key, a[key], want)
			}
		}
		d := math.Hypot(w, h)
		s, v := f+f/m, f+f*m
		u, D := f/m+f/p, f/N
		near := u * m * D / (m*D + c)
		check("magnification", m, 0)
		check("distance_mm", s, 0)
		check("extension_mm", v, 0)
		check("effective_f_number", (v-f*(1-p))/(p*D), 1e-14*N*v/(p*f)) // exit pupil to plate over its diameter
		check("near_mm", near+f-f/p, 1e-13*(near+f+f/p))
		check("front_depth_mm", u-near, 1e-14*u)
		check("view_deg", 2*math.Atan2(d, 2*v)*180/math.Pi, 0)
		check("frame_height_mm", max(w, h)/m, 0)
		check("frame_width_mm", min(w, h)/m, 0)
		check("equivalent_focal_mm", f*math.Hypot(36, 24)/d, 0)
		check("equivalent_f_number", N*math.Hypot(36, 24)/d, 0)
		check("room_mm", s+v+1000, 0)
		switch q := N * c / (m * f); {
		case q < 1-1e-8:
			far := u * m * D / (m*D - c)
			check("far_mm", far+f-f/p, 0)
			check("rear_depth_mm", far-u, 1e-14*far)
			check("depth_mm", far-near, 1e-14*far)
		case q > 1 && a["far_mm"] != nil:
			t.Fatalf("%s: far_mm = %v, want null", question, a["far_mm"])
		}
	})
}

// batch returns n questions a line.
func batch(question string, n int) []byte { return bytes.Repeat([]byte(question+"\n"), n) }

// benchmarkLines answers b.N questions through the batch path and tells them by the second.
func benchmarkLines(b *testing.B, name, question string) {
	r, ok := reckon.New().Lookup(name)
	if !ok {
		b.Fatalf("no reckoning %s", name)
	}
	in := batch(question, b.N)
	b.ReportAllocs()
	b.ResetTimer()
	failed, err := r.Lines(bytes.NewReader(in), io.Discard, func(line int, err error) { b.Error(line, err) })
	if err != nil || failed > 0 {
		b.Fatalf("%d questions failed, %v", failed, err)
	}
	b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "questions/s")
}

func BenchmarkFocus(b *testing.B) {
	for name, question := range map[string]string{
		"by name":  `{"focal_mm":450,"f_number":4.5,"plate":"whole plate","magnification":0.43}`,
		"by sides": `{"focal_mm":300,"pupil_mm":83.3,"pupil_mag":0.905,"plate":{"width_mm":165.1,"height_mm":215.9},"distance_mm":1873.25,"blur_mm":0.12}`,
	} {
		b.Run(name, func(b *testing.B) { benchmarkLines(b, "focus", question) })
	}
}
