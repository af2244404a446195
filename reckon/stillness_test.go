package reckon_test

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"
)

func TestStillness(t *testing.T) {
	const seven = `{"support":%q,"time_s":%g,"depth_mm":7,"magnification":0.43,"wait_s":60,"blur_mm":0.1%s}`
	ratio := func(rms float64) string { return fmt.Sprintf(`,"sway_sd_mm":%g`, rms) }
	for _, tt := range []struct {
		question  string
		key       string
		want, tol float64
		source    string
	}{
		// by script: from the middle of the sway a depth of 2 σ holds for 2 τ with 0.6765; p_in_depth_middle
		// starts anywhere in the sway and lies below; a blink in 4 s; rms of the place on the plate in 4 s at 0.43.
		{fmt.Sprintf(seven, "seated", 4.0, ""), "p_blink", 0.678, 0.0005, "[Blinks1997; by script]"},
		{fmt.Sprintf(seven, "seated", 4.0, ""), "sway_mm 1", 0.60 / 0.43, 0.005 / 0.43, "by script"},
		{fmt.Sprintf(seven, "head rest", 4.0, ""), "sway_mm 1", 0.14 / 0.43, 0.005 / 0.43, "by script"},
		{fmt.Sprintf(seven, "standing", 4.0, ""), "sway_mm 1", 1.0 / 0.43, 0.05 / 0.43, "by script"},
		{fmt.Sprintf(seven, "seated", 1.6, ""), "sway_mm 0", 2 * 0.51404, 2e-5, "by script"},
		// by hand: 1 - 2(2T - 3 + (T²+3T+3 - T(T+2)) exp(-T))/T² with T = 2·4/1.6 and 2·4/2, times (2 or 3.3 or 0.5)², the root by 4 and 0.43
		{fmt.Sprintf(seven, "seated", 4.0, ""), "smear_mm", 2.2706, 1e-4, "by hand"},
		{fmt.Sprintf(seven, "head rest", 4.0, ""), "smear_mm", 0.5152, 1e-4, "by hand"},
		{fmt.Sprintf(seven, "standing", 4.0, ""), "smear_mm", 3.7465, 1e-4, "by hand"},
		// a flash stops a sitter who stands: 4.1 mm/s over a thousandth of a second
		{fmt.Sprintf(seven, "standing", 0.001, ""), "p_no_smear", 1, 1e-6, "[HeadMotion20] speed"},
		{fmt.Sprintf(seven, "head rest", 2.0, ""), "sway_sd_mm", 0.5, 1e-12, "an assumption"},
		{fmt.Sprintf(seven, "standing", 2.0, ""), "sway_sd_mm", 5.0, 1e-12, "[CopTable2014]"},
		{fmt.Sprintf(seven, "seated", 2.0, ""), "open_share", 0.958, 0.0005, "by script"},
		{fmt.Sprintf(seven, "seated", 2.0, ""), "lid_stops", 0.06, 0.005, "by script"},
		// exact: at once, after so long a wait, two draws of the sway: erf(h/2σ)
		{fmt.Sprintf(seven, "seated", 0.00001, ""), "p_in_depth", math.Erf(3.5 / 4), 0.003, "identity"},
		{fmt.Sprintf(seven, "seated", 0.00001, ratio(1.75)), "p_in_depth", math.Erf(1), 0.003, "identity"},
		{fmt.Sprintf(seven, "seated", 0.00001, ""), "p_no_smear", 1, 1e-9, "identity"},
		// by script: eyes 64 mm apart turned by 6.279° are 3.5 mm off, and there is no depth left
		{fmt.Sprintf(seven, "head rest", 2.0, `,"eye_span_mm":64,"turn_deg":6.279`), "eyes_off_mm", 3.5, 0.0005, "by script"},
		{fmt.Sprintf(seven, "head rest", 2.0, `,"eye_span_mm":64,"turn_deg":6.28`), "p_in_depth", 0, 0, "by script"},
		{fmt.Sprintf(seven, "head rest", 2.0, `,"eye_span_mm":64,"turn_deg":-6.28`), "p_good", 0, 0, "by script"},
	} {
		key, place, _ := strings.Cut(tt.key, " ")
		v := dig(t, ask(t, "stillness", tt.question), key)
		if list, ok := v.([]any); ok {
			at, _ := strconv.Atoi(place)
			v = list[at]
		}
		got, ok := v.(float64)
		if !ok || math.Abs(got-tt.want) > tt.tol {
			t.Errorf("%s\n%s is %v, want %g ± %g %s", tt.question, tt.key, v, tt.want, tt.tol, tt.source)
		}
	}
}

// identity: bands hold their middle, chances multiply, notes say what to do.
func TestStillnessIsConsistent(t *testing.T) {
	for _, support := range []string{"standing", "seated", "head rest"} {
		for _, seconds := range []float64{0.001, 0.5, 4, 30} {
			q := fmt.Sprintf(`{"support":%q,"time_s":%g,"depth_mm":9,"magnification":0.2,"wait_s":45,"blur_mm":0.2}`, support, seconds)
			a := ask(t, "stillness", q)
			p := func(key string) float64 { return dig(t, a, key).(float64) }
			if math.Abs(p("p_good")-p("p_in_depth")*p("p_no_smear")) > 1e-9 {
				t.Errorf("%s: %g is not %g by %g", q, p("p_good"), p("p_in_depth"), p("p_no_smear"))
			}
			for _, key := range []string{"p_in_depth", "p_no_smear", "p_good"} {
				band := numbers(t, dig(t, a, key+"_band"))
				if band[0] > p(key)+1e-9 || p(key) > band[1]+1e-9 {
					t.Errorf("%s: %s is %g, its band %v", q, key, p(key), band)
				}
			}
			if p("p_in_depth_middle") < p("p_in_depth")-1e-5 {
				t.Errorf("%s: focusing on the middle keeps %g, at one moment %g", q, p("p_in_depth_middle"), p("p_in_depth"))
			}
		}
	}
	own := ask(t, "stillness", `{"support":"seated","time_s":2,"depth_mm":7,"magnification":0.43,"wait_s":60,"blur_mm":0.1,"sway_sd_mm":0.8,"settle_s":3}`)
	if own["p_good_band"] != nil || dig(t, own, "settle_s").(float64) != 3 {
		t.Errorf("with a figure of one's own: %v", own)
	}
	// what the note says would keep the smear within the blur does
	rest := `{"support":"head rest","time_s":%g,"depth_mm":7,"magnification":0.43,"wait_s":60,"blur_mm":0.1%s}`
	if notes := fmt.Sprint(dig(t, ask(t, "stillness", fmt.Sprintf(rest, 4.0, "")), "notes")); !strings.Contains(notes, "5.2 times") || !strings.Contains(notes, "An exposure of 0.44 s") || !strings.Contains(notes, "0.097 mm") {
		t.Errorf("a smear too wide is told: %s", notes)
	}
	for _, q := range []string{fmt.Sprintf(rest, 0.44, ""), fmt.Sprintf(rest, 4.0, `,"sway_sd_mm":0.097,"settle_s":2`)} {
		if smear := dig(t, ask(t, "stillness", q), "smear_mm").(float64); math.Abs(smear-0.1) > 0.003 {
			t.Errorf("%s smears %g, want 0.1 to two figures", q, smear)
		}
	}
	turned := fmt.Sprint(dig(t, ask(t, "stillness", `{"support":"head rest","time_s":2,"depth_mm":7,"magnification":0.43,"wait_s":60,"blur_mm":0.1,"turn_deg":30}`), "notes"))
	if !strings.Contains(turned, "less than 6.38°") || !strings.Contains(turned, "midway between the eyes") {
		t.Errorf("a head turned too far is told: %s", turned)
	}
}
