package pose_test

import (
	"errors"
	"math"
	"testing"

	"platewright/measure"
	"platewright/pose"
)

func body(t testing.TB, who pose.Who, percentile float64) pose.Body {
	t.Helper()
	b, err := pose.BodyOf(who, percentile)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// published: the survey's own 5th and 95th percentiles, to the millimetre or half of one as printed
// there, against a normal variable of its mean and deviation. The tolerance is 2 % of the dimension or
// 1 mm: the dimensions are not quite normal, the fat ones least (abdomen 3.5 %).
func TestPercentilesOfTheSurvey(t *testing.T) {
	for _, tt := range []struct {
		who       pose.Who
		name      string
		of        func(pose.Body) measure.Length
		low, high float64
		tol       float64
	}{
		{pose.Man, "distance of the eyes", func(b pose.Body) measure.Length { return b.EyeSpan }, 58.5, 70.0, 1},
		{pose.Woman, "distance of the eyes", func(b pose.Body) measure.Length { return b.EyeSpan }, 55.5, 67.5, 1},
		{pose.Man, "head length", func(b pose.Body) measure.Length { return b.HeadLength }, 188, 211, 1},
		{pose.Woman, "head length", func(b pose.Body) measure.Length { return b.HeadLength }, 178, 202, 1},
		{pose.Man, "head breadth", func(b pose.Body) measure.Length { return b.HeadBreadth }, 146, 163, 1},
		{pose.Woman, "head breadth", func(b pose.Body) measure.Length { return b.HeadBreadth }, 140, 156, 1},
		{pose.Man, "face length", func(b pose.Body) measure.Length { return b.Face }, 112, 134, 1},
		{pose.Woman, "face length", func(b pose.Body) measure.Length { return b.Face }, 104, 123, 1},
		{pose.Man, "ear notch to top", func(b pose.Body) measure.Length { return b.TragionToVertex }, 121, 141, 1},
		{pose.Woman, "ear notch to top", func(b pose.Body) measure.Length { return b.TragionToVertex }, 116, 137, 1},
		{pose.Man, "eyes to top", func(b pose.Body) measure.Length { return b.EyeToVertex }, 100, 129, 1.1},
		{pose.Woman, "eyes to top", func(b pose.Body) measure.Length { return b.EyeToVertex }, 96, 123, 1},
		{pose.Man, "eyes to collar", func(b pose.Body) measure.Length { return b.EyeToCollar }, 182, 227, 1},
		{pose.Woman, "eyes to collar", func(b pose.Body) measure.Length { return b.EyeToCollar }, 169, 211, 1},
		{pose.Man, "shoulders", func(b pose.Body) measure.Length { return b.Shoulders }, 384, 447, 1},
		{pose.Woman, "shoulders", func(b pose.Body) measure.Length { return b.Shoulders }, 335, 396, 1},
		{pose.Man, "upper arms", func(b pose.Body) measure.Length { return b.Deltoids }, 459, 567, 0.02 * 510},
		{pose.Woman, "upper arms", func(b pose.Body) measure.Length { return b.Deltoids }, 406, 499, 0.02 * 450},
		{pose.Man, "chest depth", func(b pose.Body) measure.Length { return b.ChestDepth }, 211, 298, 0.02 * 254},
		{pose.Woman, "chest depth", func(b pose.Body) measure.Length { return b.ChestDepth }, 205, 296, 0.02 * 247},
		{pose.Man, "buttock to knee", func(b pose.Body) measure.Length { return b.ButtockKnee }, 569, 669, 2},
		{pose.Woman, "buttock to knee", func(b pose.Body) measure.Length { return b.ButtockKnee }, 541, 646, 0.008 * 591},
		{pose.Man, "abdomen depth", func(b pose.Body) measure.Length { return b.AbdomenDepth }, 200, 320, 0.035 * 255},
		{pose.Woman, "abdomen depth", func(b pose.Body) measure.Length { return b.AbdomenDepth }, 184, 285, 0.035 * 230},
	} {
		low, high := tt.of(body(t, tt.who, 5)), tt.of(body(t, tt.who, 95))
		if math.Abs(float64(low)-tt.low) > tt.tol || math.Abs(float64(high)-tt.high) > tt.tol {
			t.Errorf("%s of a %s: P5 %.1f, P95 %.1f, want %g, %g ± %g [ANSUR2012]", tt.name, tt.who, float64(low), float64(high), tt.low, tt.high, tt.tol)
		}
	}
}

// published: what else is printed of children than was taken for the tables.
func TestChildrenAgainstOtherSurveys(t *testing.T) {
	between := func(name string, got measure.Length, low, high float64, source string) {
		t.Helper()
		if float64(got) < low || float64(got) > high {
			t.Errorf("%s is %.1f, want %g to %g [%s]", name, float64(got), low, high, source)
		}
	}
	// 220 children, far fixation: 47.5 in the third year, 49.5 in the fourth, 51.0 in the fifth and sixth;
	// a year's means there and here differ by up to a millimetre and a half, and whole years there are a half year older.
	for _, tt := range []struct {
		years int
		want  float64
	}{{2, 47.5}, {3, 49.5}, {4, 51}, {5, 51}} {
		between("distance of the eyes at "+string(pose.Child(tt.years)), body(t, pose.Child(tt.years), 50).EyeSpan, tt.want-1.5, tt.want+1.5, "PdNorms1993")
	}
	// girls' heads are 182.7 mm long at ten years, boys' 189.2 at fourteen; ours is the mean of both: ± 3 %.
	between("head length at ten", body(t, pose.Child(10), 50).HeadLength, 182.7*0.97, 182.7*1.03, "HeadGrowth1992")
	between("head length at fourteen", body(t, pose.Child(14), 50).HeadLength, 189.2*0.97, 189.2*1.03, "HeadGrowth1992")
	// Girth of an ellipse of the head's length and breadth against that printed, both against a grown
	// head's by the share of 55.7 cm, a grown man's, from memory.
	grown := body(t, pose.Adult, 50)
	girth := func(b pose.Body) float64 { return float64(b.HeadLength + b.HeadBreadth) }
	for _, tt := range []struct {
		years int
		cm    float64
	}{{2, (49.2 + 48.1) / 2}, {3, (50.5 + 49.3) / 2}} {
		share := girth(body(t, pose.Child(tt.years), 50)) / girth(grown)
		if math.Abs(share-tt.cm/55.7) > 0.01 {
			t.Errorf("the head at %d years is %.3f of a grown one, want %.3f [HeadGirth2000; from memory]", tt.years, share, tt.cm/55.7)
		}
	}
}

// identity: children grow in every dimension, year by year, into less than grown people, and a
// higher percentile is larger.
func TestGrowth(t *testing.T) {
	lengths := func(b pose.Body) []measure.Length {
		return []measure.Length{b.Stature, b.SittingEye, b.EyeToVertex, b.EyeToCollar, b.EyeSpan, b.HeadLength, b.HeadBreadth, b.TragionToVertex,
			b.Face, b.FaceBreadth, b.NeckBreadth, b.Shoulders, b.Deltoids, b.ChestDepth, b.AbdomenDepth, b.ButtockKnee, b.HandLength, b.HandBreadth}
	}
	before := lengths(body(t, pose.Child(pose.YoungestChild), 50))
	for years := pose.YoungestChild + 1; years <= pose.OldestChild; years++ {
		here := lengths(body(t, pose.Child(years), 50))
		for i := range here {
			if here[i] <= before[i] {
				t.Errorf("dimension %d does not grow from %d to %d years: %v, %v", i, years-1, years, before[i], here[i])
			}
		}
		before = here
	}
	for i, grown := range lengths(body(t, pose.Adult, 50)) {
		if before[i] >= grown {
			t.Errorf("dimension %d of a child of %d is %v, a grown person's %v", i, pose.OldestChild, before[i], grown)
		}
	}
	for _, who := range pose.Everyone() {
		small, large := lengths(body(t, who, 10)), lengths(body(t, who, 90))
		for i := range small {
			if small[i] >= large[i] {
				t.Errorf("%s: dimension %d is %v at 10 and %v at 90", who, i, small[i], large[i])
			}
		}
		for _, p := range []float64{pose.LeastPercentile, 50, pose.GreatestPercentile} {
			if b := body(t, who, p); b.Check() != nil || b.Source == "" {
				t.Errorf("%s at %g: %v, source %q", who, p, b.Check(), b.Source)
			}
		}
	}
	double := body(t, pose.Woman, 50).Scaled(1.1)
	for i, l := range lengths(body(t, pose.Woman, 50)) {
		if got := lengths(double)[i]; math.Abs(float64(got-1.1*l)) > 1e-9 {
			t.Errorf("dimension %d scaled by 1.1 is %v, was %v", i, got, l)
		}
	}
}

func TestNoSuchBody(t *testing.T) {
	for _, tt := range []struct {
		who        pose.Who
		percentile float64
	}{{"child of 1", 50}, {"child of 16", 50}, {"child of 06", 50}, {"child of +6", 50}, {"child of six", 50}, {"", 50}, {"person", 50}, {pose.Man, 0}, {pose.Man, 100}, {pose.Man, math.NaN()}} {
		if b, err := pose.BodyOf(tt.who, tt.percentile); err == nil {
			t.Errorf("%q at %g is %v", tt.who, tt.percentile, b)
		}
	}
	b := body(t, pose.Adult, 50)
	b.EyeSpan = measure.Length(math.NaN())
	var out *measure.RangeError
	if err := b.Check(); !errors.As(err, &out) {
		t.Errorf("a body whose eyes are nowhere: %v", err)
	}
}
