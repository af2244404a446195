package cli

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"sync"

	"github.com/spf13/cobra"

	"platewright/collodion"
	"platewright/colour"
	"platewright/light"
	"platewright/measure"
	"platewright/picture"
	"platewright/study/look"
)

// lookAsked is what the command look was told.
type lookAsked struct {
	in, out             string
	light, halides      string
	exposure            float64
	tone                string
	materials           []string
	longest             int
	unmirrored, measure bool
	asSRGB, replace     bool
	asJSON              bool
}

func lookCommand() *cobra.Command {
	var o lookAsked
	c := &cobra.Command{
		Use:   "look PHOTOGRAPH --out FILE",
		Short: "shows a colour photograph as the plate would see it: a study, not a promise",
		Long: "Shows a colour photograph (JPEG, PNG or TIFF, 8 or 16 bits, by its own colour profile, upright) as a wet\n" +
			"plate would see it, mirrored, and writes a JPEG or PNG. It is a study, not a promise: ultraviolet that the\n" +
			"camera did not see decides much, and --material says where.\n\n" +
			"Exposure 0 brings a surface that sends back 15.7 % of the plate's light, a metered mid-tone, to the middle of\n" +
			"the plate's curve; white in the photograph counts as a surface that sends all light back.",
		Args: func(c *cobra.Command, args []string) error {
			if len(args) != 1 {
				return misused("platewright look PHOTOGRAPH --out FILE", "one photograph is wanted, %d words are told", len(args))
			}
			return nil
		},
		RunE: func(c *cobra.Command, args []string) error {
			o.in = args[0]
			return o.do(c.Context(), c.OutOrStdout())
		},
	}
	f := c.Flags()
	f.StringVar(&o.out, "out", "", "the `FILE` to write, ending in .jpg, .jpeg or .png")
	f.StringVar(&o.light, "light", string(light.AnyDaylight), "the `LIGHT` the plate is made in: "+strings.Join(usualKinds(), "; ")+"; or a published one such as D65, A, LED-B3")
	f.Float64Var(&o.exposure, "exposure", 0, "`STOPS` beyond a metered mid-tone, -10 to 10")
	f.StringVar(&o.tone, "tone", string(collodion.Warm), "the `TONE` of the developed silver: "+strings.Join(collodion.Warm.Choices(), ", "))
	f.StringVar(&o.halides, "halides", "5:1", "iodide to bromide of the collodion in mol, `I:B`")
	f.StringArrayVar(&o.materials, "material", nil, "what a part is of, `MATERIAL=X,Y,WIDTH,HEIGHT` in percent of the upright picture; may be repeated: "+strings.Join(materials(), "; "))
	f.IntVar(&o.longest, "longest", 0, "reduce to `PX` on the longest side, 64 to 4000; 0 keeps the size")
	f.BoolVar(&o.unmirrored, "unmirrored", false, "as people see the scene, not as the plate shows it")
	f.BoolVar(&o.measure, "beside-paper", false, "reflectances as they are beside white paper, darker than the eye takes a plate by itself")
	f.BoolVar(&o.asSRGB, "as-srgb", false, "take the colours as sRGB whatever profile is embedded")
	f.BoolVar(&o.replace, "replace", false, "write over a FILE that is there; never over the photograph")
	f.BoolVar(&o.asJSON, "json", false, "say what was made as JSON")
	return c
}

func usualKinds() []string {
	var all []string
	for _, k := range light.Kinds() {
		if k != light.OwnSpectrum {
			all = append(all, string(k))
		}
	}
	return all
}

func materials() []string {
	var all []string
	for _, m := range colour.AllMaterials() {
		if m != colour.None {
			all = append(all, string(m))
		}
	}
	return all
}

// options reads what the words stand for.
func (o *lookAsked) options() (look.Options, error) {
	made := look.Options{Curve: collodion.UsualCurve(), Exposure: measure.Stops(o.exposure), Tone: collodion.Tone(o.tone),
		Unmirrored: o.unmirrored, Measured: o.measure, Longest: o.longest, AsSRGB: o.asSRGB}
	var err error
	if made.Sight, err = sightIn(o.light); err != nil {
		return made, misused("platewright look --help lists the lights", "%w", err)
	}
	i, b, ok := strings.Cut(o.halides, ":")
	iodide, err1 := strconv.ParseFloat(i, 64)
	bromide, err2 := strconv.ParseFloat(b, 64)
	if !ok || err1 != nil || err2 != nil {
		return made, misused("as in --halides 5:1", "halides are %q; two amounts with a colon between them are wanted", o.halides)
	}
	if made.Sight.Sees, err = collodion.Sees(collodion.Halides{Iodide: iodide, Bromide: bromide}); err != nil {
		return made, misused("as in --halides 5:1", "%w", err)
	}
	for _, m := range o.materials {
		t, err := tagged(m)
		if err != nil {
			return made, err
		}
		made.Tagged = append(made.Tagged, t)
	}
	if err := made.Check(); err != nil {
		return made, misused("platewright look --help tells the ranges", "%w", err)
	}
	return made, nil
}

// sightIn returns the usual sight in a kind of light or in a published one.
func sightIn(name string) (colour.Sight, error) {
	for _, k := range usualKinds() {
		if strings.EqualFold(k, name) {
			return colour.SightFor(light.Kind(k))
		}
	}
	s, err := light.Named(name)
	if err != nil {
		return colour.Sight{}, fmt.Errorf("no light is called %q", name)
	}
	return colour.SightIn(s)
}

func tagged(text string) (look.Tagged, error) {
	const hint = "as in --material skin=40,20,15,25"
	name, place, ok := strings.Cut(text, "=")
	parts := strings.Split(place, ",")
	if !ok || len(parts) != 4 {
		return look.Tagged{}, misused(hint, "material is %q; a name and four figures are wanted", text)
	}
	var v [4]float64
	for i, p := range parts {
		var err error
		if v[i], err = strconv.ParseFloat(strings.TrimSuffix(strings.TrimSpace(p), "%"), 64); err != nil {
			return look.Tagged{}, misused(hint, "material is %q, where %q is no figure", text, p)
		}
	}
	for _, m := range materials() {
		if strings.EqualFold(m, strings.TrimSpace(name)) {
			return look.Tagged{X: v[0], Y: v[1], Width: v[2], Height: v[3], Material: colour.Material(m)}, nil
		}
	}
	return look.Tagged{}, misused("known are "+strings.Join(materials(), "; "), "no material is called %q", name)
}

// overwriting refuses to write where something is.
type overwriting struct{ why, hint string }

func (o *overwriting) Error() string             { return o.why }
func (o *overwriting) Refused() (string, string) { return o.why, o.hint }

// vacant refuses to write over the photograph, and over anything unless told to.
func (o *lookAsked) vacant(in os.FileInfo) error {
	there, err := os.Stat(o.out)
	switch {
	case errors.Is(err, os.ErrNotExist):
		return nil
	case err != nil:
		return err
	case os.SameFile(in, there):
		return &overwriting{o.out + " is the photograph itself, which is never written over", "give --out another name"}
	case there.IsDir():
		return fmt.Errorf("%s is a folder; a file is written", o.out)
	case !o.replace:
		return &overwriting{o.out + " is there already", "--replace writes over it, or give --out another name"}
	}
	return nil
}

func (o *lookAsked) do(ctx context.Context, stdout io.Writer) (err error) {
	kind := strings.ToLower(filepath.Ext(o.out))
	switch {
	case o.out == "":
		return misused("platewright look PHOTOGRAPH --out FILE", "no file is told to write to")
	case kind != ".jpg" && kind != ".jpeg" && kind != ".png":
		return misused("a JPEG or a PNG is written", "out is %q; it ends in .jpg, .jpeg or .png", o.out)
	}
	options, err := o.options()
	if err != nil {
		return err
	}
	f, err := os.Open(o.in)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	about, err := f.Stat()
	if err != nil {
		return err
	}
	if about.IsDir() {
		return fmt.Errorf("%s is a folder; a photograph is wanted", o.in)
	}
	if err := o.vacant(about); err != nil {
		return err
	}
	p, err := picture.Open(f, about.Size(), o.in)
	if err != nil {
		return err
	}
	made, err := look.Render(p, options, sideBySide(ctx))
	var profile *picture.ProfileError
	switch {
	case ctx.Err() != nil:
		return ctx.Err()
	case errors.As(err, &profile):
		return &hinted{err, "--as-srgb takes its colours as sRGB"}
	case err != nil:
		return err
	}
	write := made.WriteJPEG
	if kind == ".png" {
		write = made.WritePNG
	}
	if err := o.put(write); err != nil {
		return err
	}
	return o.report(stdout, p, options, made)
}

// hinted is an error with something to do about it.
type hinted struct {
	error
	hint string
}

func (h *hinted) Unwrap() error { return h.error }
func (h *hinted) Hint() string  { return h.hint }

// sideBySide hands work out to as many hands as there are processors, and stops handing it out when
// the context ends.
func sideBySide(ctx context.Context) look.Each {
	return func(n int, do func(i int)) {
		var wait sync.WaitGroup
		work := make(chan int)
		for range min(n, runtime.GOMAXPROCS(0)) {
			wait.Go(func() {
				for i := range work {
					do(i)
				}
			})
		}
		for i := range n {
			if ctx.Err() != nil {
				break
			}
			work <- i
		}
		close(work)
		wait.Wait()
	}
}

// put writes the file whole or not at all: beside its place first, then under its name.
func (o *lookAsked) put(write func(io.Writer) error) (err error) {
	f, err := os.CreateTemp(filepath.Dir(o.out), ".platewright-look-*")
	if err != nil {
		return err
	}
	defer func() {
		if gone := os.Remove(f.Name()); gone != nil && !errors.Is(gone, os.ErrNotExist) {
			err = errors.Join(err, gone)
		}
	}()
	if err := errors.Join(write(f), f.Chmod(0o644), f.Sync(), f.Close()); err != nil {
		return err
	}
	if o.replace {
		return os.Rename(f.Name(), o.out)
	}
	// A second name is given only where there is none yet, whoever else is writing.
	err = os.Link(f.Name(), o.out)
	if errors.Is(err, os.ErrExist) {
		return &overwriting{o.out + " is there already", "--replace writes over it, or give --out another name"}
	}
	if err != nil { // a disk that knows no second names
		return os.Rename(f.Name(), o.out)
	}
	return nil
}

func (o *lookAsked) report(w io.Writer, p *picture.Photograph, options look.Options, made *look.Look) error {
	size := made.Size()
	if !o.asJSON {
		fmt.Fprintf(w, "%s: %d x %d px, a study, not a promise\n", plain(o.out), size.X, size.Y)
		for _, n := range made.Notes {
			fmt.Fprintf(w, "  %s\n", plain(n))
		}
		return nil
	}
	a := p.About()
	b, err := json.Marshal(struct {
		Study       string   `json:"study"`
		In          string   `json:"in"`
		Out         string   `json:"out"`
		InWidth     int      `json:"in_width_px"`
		InHeight    int      `json:"in_height_px"`
		Bits        int      `json:"in_bits"`
		Profile     string   `json:"in_profile"`
		Width       int      `json:"width_px"`
		Height      int      `json:"height_px"`
		Light       string   `json:"light"`
		Exposure    float64  `json:"exposure_stops"`
		Tone        string   `json:"tone"`
		Mirrored    bool     `json:"mirrored"`
		Blacks      float64  `json:"blacks_percent"`
		Whites      float64  `json:"whites_percent"`
		ColourError float64  `json:"colour_band_stops"`
		Notes       []string `json:"notes"`
	}{look.Study, o.in, o.out, a.Width, a.Height, a.Bits, a.Profile, size.X, size.Y, string(options.Sight.Light.Kind), o.exposure, string(options.Tone),
		!o.unmirrored, 100 * made.Blacks, 100 * made.Whites, float64(made.Band), made.Notes})
	if err != nil {
		return err
	}
	_, err = fmt.Fprintf(w, "%s\n", b)
	return err
}
