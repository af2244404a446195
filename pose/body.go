package pose

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"platewright/measure"
)

// Who is whose body is asked for: one of the constants, or a [Child].
type Who string

// Grown people.
const (
	Woman Who = "woman"
	Man   Who = "man"
	Adult Who = "adult" // the mean of both
)

// The ages for which a child's body is known, years.
const (
	YoungestChild = 2
	OldestChild   = 15
)

// Child names a child by age in whole years; girls and boys are taken together.
func Child(years int) Who { return Who("child of " + strconv.Itoa(years)) }

// Everyone lists whose bodies there are.
func Everyone() []Who {
	all := []Who{Woman, Man, Adult}
	for years := YoungestChild; years <= OldestChild; years++ {
		all = append(all, Child(years))
	}
	return all
}

// Percentiles outside these are beyond what a mean and a standard deviation can tell.
const (
	LeastPercentile    = 1.0
	GreatestPercentile = 99.0
)

// Body is the size of a sitter, clothed as the surveys found them: barely. Every dimension may be set
// by hand to one's own sitter.
type Body struct {
	Who        Who
	Percentile float64 // at which every dimension was taken

	Stature     measure.Length // floor to the top of the head, standing
	SittingEye  measure.Length // seat to the eyes, sitting upright
	EyeToVertex measure.Length // eyes below the top of the head
	EyeToCollar measure.Length // the pit of the neck below the eyes

	EyeSpan         measure.Length // between the pupils
	HeadLength      measure.Length // between the brows to the back of the head
	HeadBreadth     measure.Length
	TragionToVertex measure.Length // the notch above the ear's gristle below the top of the head
	Face            measure.Length // root of the nose to the underside of the chin
	FaceBreadth     measure.Length // across the cheekbones
	NeckBreadth     measure.Length

	Shoulders    measure.Length // between the bony tips of the shoulders
	Deltoids     measure.Length // across the upper arms
	ChestDepth   measure.Length
	AbdomenDepth measure.Length // sitting
	ButtockKnee  measure.Length // sitting
	HandLength   measure.Length
	HandBreadth  measure.Length

	Source string // citation keys, and what is an assumption
}

// share is by what a child's dimension follows from a grown person's.
type share int

const (
	ofStature share = iota
	ofHead
	ofFace
)

// row is one dimension of a survey: mean and standard deviation of men and of women, mm.
type row struct {
	name            string
	men, menSD      float64
	women, womenSD  float64
	of              func(*Body) *measure.Length
	least, greatest float64 // for a body set by hand
	child           share   // how a child's follows from an adult's
}

// survey is [ANSUR2012] but for the three rows that say otherwise.
func survey() [18]row {
	return [...]row{
		{"stature", 1756, 68.6, 1628, 64.2, func(b *Body) *measure.Length { return &b.Stature }, 600, 2300, ofStature},                 // from memory
		{"eye height sitting", 804.5, 34.5, 748.1, 32.3, func(b *Body) *measure.Length { return &b.SittingEye }, 250, 1100, ofStature}, // from memory
		{"eyes below the top of the head", 113.8, 9.0, 108.9, 8.2, func(b *Body) *measure.Length { return &b.EyeToVertex }, 60, 170, ofHead},
		{"collar below the eyes", 203.8, 13.6, 189.8, 12.8, func(b *Body) *measure.Length { return &b.EyeToCollar }, 90, 300, ofFace},
		{"distance of the eyes", 64.02, 3.42, 61.71, 3.62, func(b *Body) *measure.Length { return &b.EyeSpan }, 35, 85, ofHead},
		{"head length", 199.50, 7.02, 189.8, 7.5, func(b *Body) *measure.Length { return &b.HeadLength }, 120, 250, ofHead},
		{"head breadth", 154.3, 5.5, 147.8, 5.2, func(b *Body) *measure.Length { return &b.HeadBreadth }, 100, 200, ofHead},
		{"ear notch below the top of the head", 131.2, 6.2, 126.5, 6.6, func(b *Body) *measure.Length { return &b.TragionToVertex }, 75, 190, ofHead},
		{"face length", 122.6, 6.7, 113.1, 6.1, func(b *Body) *measure.Length { return &b.Face }, 60, 170, ofFace},
		{"face breadth", 139.4, 6.3, 131.7, 5.3, func(b *Body) *measure.Length { return &b.FaceBreadth }, 80, 180, ofFace}, // [FacialNorms2016] at 30 years
		{"neck breadth", 120, 8, 103, 7, func(b *Body) *measure.Length { return &b.NeckBreadth }, 50, 180, ofStature},      // from memory
		{"shoulder breadth", 415.7, 19.2, 365.4, 18.3, func(b *Body) *measure.Length { return &b.Shoulders }, 150, 550, ofStature},
		{"breadth across the upper arms", 510.4, 32.5, 450.3, 28.7, func(b *Body) *measure.Length { return &b.Deltoids }, 170, 800, ofStature},
		{"chest depth", 253.9, 26.3, 247.4, 27.3, func(b *Body) *measure.Length { return &b.ChestDepth }, 90, 500, ofStature},
		{"abdomen depth", 254.7, 37.3, 229.7, 31.5, func(b *Body) *measure.Length { return &b.AbdomenDepth }, 90, 700, ofStature},
		{"buttock to knee", 618.0, 30.6, 590.6, 32.6, func(b *Body) *measure.Length { return &b.ButtockKnee }, 180, 850, ofStature},
		{"hand length", 193.3, 9.9, 181.1, 9.7, func(b *Body) *measure.Length { return &b.HandLength }, 70, 260, ofStature}, // its deviation from memory
		{"hand breadth", 88.3, 4.2, 78.2, 3.8, func(b *Body) *measure.Length { return &b.HandBreadth }, 30, 130, ofStature}, // its deviation from memory
	}
}

// growth is what is known of children of one age, girls and boys together.
type growth struct {
	eyes      float64 // between the pupils, mm [Feingold1974]
	face      float64 // nasion to gnathion, mm, mean of girls and boys [FacialNorms2016]
	breadth   float64 // across the cheekbones, mm, mean of girls and boys [FacialNorms2016]
	stature   float64 // mm [WHOGrowth2007]
	sitting   float64 // sitting height over stature [SittingShare2014], before six years from memory
	headShare float64 // head over a grown one [HeadGirth1968, from memory], 0.87 and 0.90 at 2 and 3 years [HeadGirth2000]
}

// grown are the figures of [FacialNorms2016] at 30 years, the mean of women and men, by which a child's are divided.
const (
	grownFace    = (130.03 + 120.44) / 2
	grownBreadth = (139.37 + 131.72) / 2
)

// Deviations that hold at every age of childhood.
const (
	childEyesSD  = 3.6   // mm [Feingold1974]
	childShareSD = 0.045 // of any other length of the body: common in growth tables, from memory
)

func growthAt(years int) growth {
	return [...]growth{
		{47.8, 88.54, 109.45, 867, 0.585, 0.873},
		{48.7, 93.24, 113.00, 956, 0.570, 0.896},
		{49.5, 96.74, 115.60, 1030, 0.563, 0.907},
		{50.33, 99.54, 117.65, 1097, 0.558, 0.916},
		{51.1, 101.89, 119.36, 1156, 0.555, 0.925},
		{51.9, 103.92, 120.82, 1213, 0.553, 0.932},
		{52.6, 105.71, 122.10, 1270, 0.550, 0.940},
		{53.3, 107.31, 123.24, 1326, 0.545, 0.947},
		{54.0, 108.77, 124.27, 1382, 0.540, 0.955},
		{54.6, 110.11, 125.21, 1441, 0.535, 0.962},
		{55.3, 111.34, 126.07, 1502, 0.530, 0.970},
		{55.9, 112.49, 126.87, 1562, 0.530, 0.978},
		{56.8, 113.57, 127.62, 1615, 0.530, 0.985},
		{58.3, 114.57, 128.32, 1654, 0.530, 0.992},
	}[years-YoungestChild]
}

// BodyOf returns a body all of whose dimensions lie at the given percentile of these people, taking
// each as normally distributed. Nobody is at the 95th percentile in everything, so bodies far from
// the 50th show a size, not a person. The adults are soldiers of one army, the children come from
// several surveys of other years: shoulders, neck, trunk and hands of a child are a grown person's in
// proportion to stature, an assumption.
func BodyOf(who Who, percentile float64) (Body, error) {
	if err := measure.Within("percentile", percentile, LeastPercentile, GreatestPercentile, ""); err != nil {
		return Body{}, err
	}
	z := math.Sqrt2 * math.Erfinv(2*percentile/100-1)
	b := Body{Who: who, Percentile: percentile, Source: "ANSUR2012; depths of the face FaceScan2013"}
	switch who {
	case Woman, Man, Adult:
		for _, r := range survey() {
			mean, sd := r.adult(who)
			*r.of(&b) = measure.Length(mean + z*sd)
		}
		return b, nil
	}
	years, err := ageOf(who)
	if err != nil {
		return Body{}, err
	}
	b.Source = "Feingold1974; FacialNorms2016; WHOGrowth2007; SittingShare2014; HeadGirth1968; shoulders, neck, trunk and hands in proportion to stature from ANSUR2012, an assumption"
	g := growthAt(years)
	adultStature := (1756.0 + 1628) / 2
	for _, r := range survey() {
		mean, _ := r.adult(Adult)
		switch r.child {
		case ofHead:
			mean *= g.headShare
		case ofFace:
			mean *= g.face / grownFace
		default:
			mean *= g.stature / adultStature
		}
		*r.of(&b) = measure.Length(mean * (1 + z*childShareSD))
	}
	size := 1 + z*childShareSD
	b.EyeSpan = measure.Length(g.eyes + z*childEyesSD)
	b.FaceBreadth = measure.Length((139.4 + 131.7) / 2 * g.breadth / grownBreadth * size)
	b.SittingEye = measure.Length(g.sitting*g.stature*size) - b.EyeToVertex
	return b, nil
}

func (r row) adult(who Who) (mean, sd float64) {
	switch who {
	case Man:
		return r.men, r.menSD
	case Woman:
		return r.women, r.womenSD
	}
	return (r.men + r.women) / 2, (r.menSD + r.womenSD) / 2
}

func ageOf(who Who) (int, error) {
	rest, isChild := strings.CutPrefix(string(who), "child of ")
	years, err := strconv.Atoi(rest)
	if !isChild || err != nil || string(who) != string(Child(years)) {
		return 0, fmt.Errorf("nobody is called %q here; there are woman, man, adult and child of %d to child of %d", string(who), YoungestChild, OldestChild)
	}
	if err := measure.Within("the child's age", float64(years), YoungestChild, OldestChild, "years"); err != nil {
		return 0, err
	}
	return years, nil
}

// Scaled returns the body with every length multiplied by k.
func (b Body) Scaled(k float64) Body {
	for _, r := range survey() {
		*r.of(&b) *= measure.Length(k)
	}
	return b
}

// Check reports the first dimension that is no human's.
func (b Body) Check() error {
	for _, r := range survey() {
		if err := measure.Within(r.name, float64(*r.of(&b)), r.least, r.greatest, "mm"); err != nil {
			return err
		}
	}
	return nil
}
