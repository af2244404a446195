package cli_test

import (
	"bytes"
	"context"
	"encoding/json"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"platewright/internal/cli"
)

// looks runs platewright look and returns its exit status and what it said.
func looks(t *testing.T, args ...string) (status int, out, errs string) {
	t.Helper()
	var stdout, stderr bytes.Buffer
	status = cli.Main(context.Background(), append([]string{"look"}, args...), strings.NewReader(""), &stdout, &stderr, told())
	return status, stdout.String(), stderr.String()
}

// photograph lays a small PNG into a folder, lighter on its left.
func photograph(t *testing.T) (dir, file string) {
	t.Helper()
	dir = t.TempDir()
	m := image.NewRGBA(image.Rect(0, 0, 120, 90))
	for i := range 120 * 90 {
		v := uint8(250 - 2*(i%120))
		m.SetRGBA(i%120, i/120, color.RGBA{v, v, v, 255})
	}
	var b bytes.Buffer
	if err := png.Encode(&b, m); err != nil {
		t.Fatal(err)
	}
	file = filepath.Join(dir, "in.png")
	if err := os.WriteFile(file, b.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	return dir, file
}

func TestLook(t *testing.T) {
	dir, in := photograph(t)
	out := filepath.Join(dir, "out.jpg")
	status, said, errs := looks(t, in, "--out", out, "--material", "skin=10,10,20,30", "--light", "flash, clear tube", "--exposure", "-0.5")
	if status != 0 || errs != "" {
		t.Fatalf("status %d: %s", status, errs)
	}
	for _, want := range []string{"out.jpg: 120 x 102 px, a study, not a promise\n", "a computed study, not a promise", "flash, clear tube", "Tagged skin", "Mirrored", "no colour profile"} {
		if !strings.Contains(said, want) {
			t.Errorf("it does not say %q:\n%s", want, said)
		}
	}
	b, err := os.ReadFile(out)
	if err != nil {
		t.Fatal(err)
	}
	m, err := jpeg.Decode(bytes.NewReader(b))
	if err != nil {
		t.Fatal(err)
	}
	left, _, _, _ := m.At(5, 40).RGBA()
	right, _, _, _ := m.At(115, 40).RGBA()
	if left >= right {
		t.Error("the look is not mirrored")
	}

	// As JSON, reduced, not mirrored, to a PNG.
	small := filepath.Join(dir, "small.png")
	status, said, errs = looks(t, in, "--out", small, "--longest", "64", "--unmirrored", "--tone", "cool", "--json", "--halides", "1:1", "--light", "d65", "--beside-paper")
	if status != 0 {
		t.Fatalf("status %d: %s", status, errs)
	}
	var told struct {
		Study    string   `json:"study"`
		Width    int      `json:"width_px"`
		InWidth  int      `json:"in_width_px"`
		Mirrored bool     `json:"mirrored"`
		Notes    []string `json:"notes"`
		Band     float64  `json:"colour_band_stops"`
	}
	if err := json.Unmarshal([]byte(said), &told); err != nil {
		t.Fatal(err)
	}
	if told.Study == "" || told.Width != 64 || told.InWidth != 120 || told.Mirrored || len(told.Notes) < 8 || told.Band <= 0 {
		t.Errorf("%s", said)
	}
	left2, err := os.ReadDir(dir)
	if err != nil || len(left2) != 3 {
		t.Errorf("the folder holds %v, want the photograph and two looks", left2)
	}
}

// Nothing is written over, and least of all the photograph.
func TestLookOverwritesNothing(t *testing.T) {
	dir, in := photograph(t)
	before, err := os.ReadFile(in)
	if err != nil {
		t.Fatal(err)
	}
	linked := filepath.Join(dir, "linked.png")
	if err := os.Link(in, linked); err != nil {
		t.Fatal(err)
	}
	taken := filepath.Join(dir, "taken.jpg")
	if err := os.WriteFile(taken, []byte("a letter"), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct {
		args []string
		says string
	}{
		{[]string{in, "--out", in}, "the photograph itself"},
		{[]string{in, "--out", in, "--replace"}, "the photograph itself"},
		{[]string{in, "--out", linked, "--replace"}, "the photograph itself"},
		{[]string{in, "--out", taken}, "is there already"},
	} {
		status, said, errs := looks(t, tt.args...)
		if status != cli.RefusedByRule || said != "" || !strings.HasPrefix(errs, "error: ") || !strings.Contains(errs, tt.says) || !strings.Contains(errs, "hint: ") {
			t.Errorf("%v: status %d, %q%q", tt.args, status, said, errs)
		}
	}
	after, err := os.ReadFile(in)
	if err != nil || !bytes.Equal(before, after) {
		t.Error("the photograph is another")
	}
	if b, err := os.ReadFile(taken); err != nil || string(b) != "a letter" {
		t.Error("the letter is gone")
	}
	if status, _, errs := looks(t, in, "--out", taken, "--replace"); status != 0 {
		t.Errorf("--replace: status %d, %s", status, errs)
	}
	if b, err := os.ReadFile(taken); err != nil || !bytes.HasPrefix(b, []byte("\xff\xd8\xff")) {
		t.Error("--replace wrote no JPEG")
	}
}

// Misuse is status 2, a file that cannot be taken 1; each says why, and nothing is left behind.
func TestLookRefuses(t *testing.T) {
	dir, in := photograph(t)
	whole, err := os.ReadFile(in)
	if err != nil {
		t.Fatal(err)
	}
	files := map[string][]byte{
		"letter.txt": []byte("Dear sir\n"), "half.png": whole[:len(whole)/2], "empty.jpg": nil,
		"press.jpg": pressed(t),
	}
	for name, b := range files {
		if err := os.WriteFile(filepath.Join(dir, name), b, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	out := filepath.Join(dir, "out.jpg")
	at := func(name string) string { return filepath.Join(dir, name) }
	for _, tt := range []struct {
		status int
		says   string
		args   []string
	}{
		{cli.Misused, "one photograph is wanted", []string{"--out", out}},
		{cli.Misused, "no file is told", []string{in}},
		{cli.Misused, ".png", []string{in, "--out", at("out.tif")}},
		{cli.Misused, `no light is called "moon"`, []string{in, "--out", out, "--light", "moon"}},
		{cli.Misused, "tone", []string{in, "--out", out, "--tone", "pink"}},
		{cli.Misused, "exposure", []string{in, "--out", out, "--exposure", "12"}},
		{cli.Misused, "exposure", []string{in, "--out", out, "--exposure", "NaN"}},
		{cli.Misused, "halides", []string{in, "--out", out, "--halides", "5"}},
		{cli.Misused, "longest side", []string{in, "--out", out, "--longest", "7"}},
		{cli.Misused, "four figures", []string{in, "--out", out, "--material", "skin"}},
		{cli.Misused, "no figure", []string{in, "--out", out, "--material", "skin=1,2,3,x"}},
		{cli.Misused, "within it", []string{in, "--out", out, "--material", "skin=90,2,30,4"}},
		{cli.Misused, `no material is called "cheese"`, []string{in, "--out", out, "--material", "cheese=1,2,3,4"}},
		{cli.Misused, "unknown flag", []string{in, "--outt", out}},
		{cli.Failed, "text", []string{at("letter.txt"), "--out", out}},
		{cli.Failed, "half.png: this PNG is cut off", []string{at("half.png"), "--out", out}},
		{cli.Failed, "empty", []string{at("empty.jpg"), "--out", out}},
		{cli.Failed, "hint: --as-srgb", []string{at("press.jpg"), "--out", out}},
		{cli.Failed, "no such file", []string{at("nothing.jpg"), "--out", out}},
		{cli.Failed, "is a folder", []string{dir, "--out", out}},
		{cli.Failed, "is a folder", []string{in, "--out", folder(t, dir)}},
		{cli.Failed, "no such file", []string{in, "--out", at("nowhere/out.jpg")}},
	} {
		status, said, errs := looks(t, tt.args...)
		if status != tt.status || said != "" || !strings.HasPrefix(errs, "error: ") || !strings.Contains(errs, tt.says) {
			t.Errorf("%v: status %d, want %d, words %q: %s%s", tt.args, status, tt.status, tt.says, said, errs)
		}
	}
	left, err := os.ReadDir(dir)
	if err != nil || len(left) != len(files)+2 {
		t.Errorf("the folder holds %v", left)
	}
	if status, _, errs := looks(t, at("press.jpg"), "--out", out, "--as-srgb"); status != 0 {
		t.Errorf("--as-srgb: status %d, %s", status, errs)
	}
}

// folder makes a folder with a picture's name.
func folder(t *testing.T, dir string) string {
	t.Helper()
	name := filepath.Join(dir, "folder.jpg")
	if err := os.Mkdir(name, 0o700); err != nil {
		t.Fatal(err)
	}
	return name
}

// pressed is a JPEG with a profile for a press.
func pressed(t *testing.T) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, image.NewRGBA(image.Rect(0, 0, 30, 20)), nil); err != nil {
		t.Fatal(err)
	}
	profile := make([]byte, 132)
	profile[3] = 132
	copy(profile[12:], "prtrCMYKLab ")
	copy(profile[36:], "acsp")
	body := append([]byte("ICC_PROFILE\x00\x01\x01"), profile...)
	segment := append([]byte{0xff, 0xe2, 0, byte(2 + len(body))}, body...)
	return append(append(bytes.Clone(b.Bytes()[:2]), segment...), b.Bytes()[2:]...)
}

// Stopped before it was done, the command fails and leaves no file.
func TestLookStops(t *testing.T) {
	dir, in := photograph(t)
	ctx, stop := context.WithCancel(context.Background())
	stop()
	var stderr bytes.Buffer
	out := filepath.Join(dir, "out.png")
	status := cli.Main(ctx, []string{"look", in, "--out", out}, strings.NewReader(""), &bytes.Buffer{}, &stderr, told())
	if _, err := os.Stat(out); status != cli.Failed || err == nil || stderr.String() != "error: stopped before it was done\n" {
		t.Errorf("status %d, %v, %q", status, err, stderr.String())
	}
}
