package demo

import (
	"time"

	"platewright/internal/studio"
	"platewright/light"
	"platewright/measure"
)

// Everything in this file is invented: the place, the people, the things. Lenses are told by their
// form; whatever resembles a lens or a person that exists does so by chance.

const (
	studioName  = "Oddermere Plate Rooms"
	studioPlace = "Upper Lofthouse, Oddermere"
	roomDepth   = 7200 * measure.Millimetre // of the glass room
	operator    = "Wilhelmina Tarn"
	helper      = "Oke Brannagh"
)

// Plate sizes of the invented studio, upright as a portrait stands in the camera.
var (
	quarter = measure.PlateSize{Name: "quarter plate", Width: 82.55, Height: 107.95}
	half    = measure.PlateSize{Name: "half plate", Width: 107.95, Height: 139.7}
	fiveBy7 = measure.PlateSize{Name: "5x7 in", Width: 127, Height: 177.8}
	whole   = measure.PlateSize{Name: "whole plate", Width: 165.1, Height: 215.9}
	tenBy8  = measure.PlateSize{Name: "8x10 in", Width: 203.2, Height: 254}
)

func sitters() []studio.Sitter {
	return []studio.Sitter{
		{Name: "Odile Marchetti-Vane", Contact: "odile@marchetti-vane.example", Note: "Wears strong spectacles; brings the empty frames."},
		{Name: "Tomasz Brekowicz", Contact: "by letter, Mill Cottage 3", Note: "Blue eyes, freckles; told how the plate sees them."},
		{Name: "Halina Wojsław", Contact: "+00 555 0102", Note: "Prefers to sit. Back rest at the second notch."},
		{Name: "Yusuf Adeyemi-Stroud", Contact: "yusuf@stroudworks.example", Note: "Ring on the left hand: he knows that it changes sides on the plate."},
		{Name: "Nkechi Obara", Contact: "+00 555 0104"},
		{Name: "Ignacio Tafoya Llor", Contact: "ignacio@llor.example", Note: "Saddler. Leather apron goes very dark."},
		{Name: "Sunniva Hartvikdal", Contact: "+00 555 0106", Note: "Holds very still; eight seconds without the head rest."},
		{Name: "Rukmini Desarajan", Contact: "rukmini@desarajan.example", Note: "Dances; asked for hands in the frame."},
		{Name: "Kaveh Morvandi", Contact: "+00 555 0108", Note: "Tremor in the right hand: keep it resting, short times."},
		{Name: "Leilani Akuna-Moss", Contact: "leilani@akuna-moss.example"},
		{Name: "Mirembe Olokala", Contact: "+00 555 0110", Note: "Two children, both with her leave; the small one cannot sit over two seconds."},
		{Name: "Wen Luoshan", Contact: "by the tea house", Note: "Speaks softly: say the count aloud."},
		{Name: "Aroha Tuwhenua-Pike", Contact: "aroha@tuwhenua-pike.example", Note: "Chin marking matters to her: shown what the blue light does to it before the first plate."},
		{Name: "Bartholomew Quillfeather", Contact: "+00 555 0113", Note: "Late as a rule."},
	}
}

// looks are the seeds of the studies that stand for the sitters, in the order above.
var looks = [...]uint64{2, 15, 28, 7, 11, 29, 5, 6, 14, 13, 16, 27, 19, 9}

// bottle is a batch told before its recipe is known by id: mixed so many days before today.
type bottle struct {
	name    string
	kind    string
	recipe  int // which of the recipes of that kind, counted on from the first when there are fewer
	daysAgo int
	ml      measure.Volume
	note    string
}

func bottles() []bottle {
	return []bottle{
		{"Collodion 11", "collodion", 0, 112, 500, "Gone; kept for the record."},
		{"Collodion 12", "collodion", 0, 83, 500, "Slow from the fifth week on, dark amber."},
		{"Collodion 13", "collodion", 1, 57, 500, ""},
		{"Collodion 14", "collodion", 0, 33, 500, "Honey-coloured now."},
		{"Collodion 15", "collodion", 0, 13, 400, "Pale; give it a week."},
		{"Bath A", "bath", 0, 160, 1800, "Tall glass tank. Sunned and filtered twice."},
		{"Bath B", "bath", 1, 70, 1500, "The spare; rested every other week."},
		{"Developer 41", "developer", 0, 100, 1000, ""},
		{"Developer 42", "developer", 0, 72, 1000, ""},
		{"Developer 43", "developer", 1, 45, 1000, "More acid, for the warm weeks."},
		{"Developer 44", "developer", 0, 24, 1000, ""},
		{"Developer 45", "developer", 0, 6, 1000, ""},
		{"Fixer 8", "fixer", 0, 98, 2000, ""},
		{"Fixer 9", "fixer", 0, 51, 2000, ""},
		{"Fixer 10", "fixer", 0, 16, 2000, ""},
		{"Varnish 3", "varnish", 0, 130, 300, ""},
		{"Varnish 4", "varnish", 0, 40, 300, "Strained twice through cotton."},
	}
}

// spot is a light to sit in. Its true effect on the plate, against what the meter says, is hidden
// in the model.
type spot struct {
	name  string
	noon  float64 // lx at the sitter near noon of a clear day in June; of lamps at any time
	lamps bool
	kind  light.Kind
}

// Places of the spots in the list below.
const (
	spotWindow = iota
	spotSkylight
	spotYard
	spotLamps
)

func spots() []spot {
	return []spot{
		{name: "north window, white card on the left", noon: 2600, kind: light.WindowLight},
		{name: "skylight, blind half drawn", noon: 5200, kind: light.WindowLight},
		{name: "open shade in the yard", noon: 11000, kind: light.Shade},
		{name: "bank of white lamps behind cloth", noon: 4300, lamps: true, kind: light.WhiteLED},
	}
}

// visit is a sitting of the past months, before its day and its outcome are drawn.
type visit struct {
	sitter  int
	purpose string
	size    measure.PlateSize
	wanted  int
	lens    int
	stop    int // place among the lens's stops
	camera  int
	holder  int
	spot    int
	frame   measure.Length // height of subject on the plate's long side
	pose    pose
}

// pose is how a sitter is placed.
type pose int

const (
	poseFront    pose = iota // seated, face to the lens
	poseQuarter              // seated, turned
	poseProfile              // seated, seen from the side
	poseHands                // seated, hands in the picture
	poseRest                 // seated, the head in the fork of the rest
	poseStanding             // on their feet
)

// setting is how camera and sitter are set for a visit: square as a rule, with the back swung toward the
// far shoulder of one who is turned.
func (b visit) setting() studio.Setting {
	s := studio.Setting{Body: bodies[b.sitter], Seat: 450, SitterSupport: studio.HeldSeated, Wait: 40 * time.Second}
	side := measure.Angle(1 - 2*(b.sitter%2)) // sitters have a better side
	switch b.pose {
	case poseQuarter:
		s.Turn, s.Lean = side*30*measure.Degree, 3*measure.Degree
		if b.camera == cameraStand {
			s.BackSwing = side * 2 * measure.Degree
		}
	case poseProfile:
		s.Turn, s.SitterSupport = side*75*measure.Degree, studio.HeldHeadRest
	case poseHands:
		s.Turn, s.Hands = side*15*measure.Degree, true
	case poseRest:
		s.Turn, s.Nod, s.SitterSupport = side*10*measure.Degree, 3*measure.Degree, studio.HeldHeadRest
	case poseStanding:
		s.Standing, s.Seat, s.SitterSupport = true, 0, studio.HeldStanding
	}
	return s
}

// bodies are whose measures stand for the sitters, in the order above.
var bodies = [...]string{"woman", "man", "woman", "man", "woman", "man", "woman", "woman", "man", "woman", "woman", "man", "woman", "man"}

func visits() []visit {
	return []visit{
		{0, "portrait, spectacles off", half, 1, lensHalf, 1, cameraTail, holderD, spotWindow, 520, poseFront},
		{1, "portrait for his mother", whole, 1, lensWhole, 1, cameraStand, holderA, spotSkylight, 610, poseQuarter},
		{3, "portrait with the new sign", half, 2, lensHalf, 2, cameraTail, holderWalnut, spotYard, 660, poseStanding},
		{10, "portrait, the children looking on", half, 2, lensHalf, 0, cameraTail, holderD, spotYard, 680, poseFront},
		{5, "at the bench, with apron", whole, 1, lensTwin, 0, cameraField, holderA, spotYard, 680, poseStanding},
		{4, "head study", fiveBy7, 1, lensThree, 1, cameraStand, holderB, spotSkylight, 430, poseRest},
		{11, "portrait, standing", half, 1, lensHalf, 1, cameraTail, holderWalnut, spotWindow, 670, poseStanding},
		{6, "profile", whole, 1, lensWhole, 0, cameraStand, holderA, spotSkylight, 480, poseProfile},
		{8, "portrait, short time", quarter, 2, lensSmall, 0, cameraTail, holderE, spotYard, 420, poseFront},
		{7, "portrait, hair down", whole, 2, lensWhole, 1, cameraStand, holderA, spotSkylight, 640, poseQuarter},
		{2, "portrait, seated", half, 1, lensHalf, 1, cameraTail, holderD, spotWindow, 560, poseFront},
		{9, "for the album", quarter, 2, lensSmall, 1, cameraTail, holderE, spotWindow, 450, poseFront},
		{12, "portrait with cloak", tenBy8, 1, lensGreat, 1, cameraStand, holderB, spotSkylight, 660, poseQuarter},
		{13, "portrait, three-quarter", half, 1, lensHalf, 1, cameraTail, holderWalnut, spotWindow, 620, poseQuarter},
		{1, "the same again, smiling", half, 1, lensHalf, 0, cameraTail, holderD, spotWindow, 500, poseFront},
		{4, "head study, second try", fiveBy7, 1, lensThree, 1, cameraStand, holderB, spotSkylight, 430, poseRest},
		{3, "at the workshop door", whole, 1, lensLongTwin, 0, cameraField, holderA, spotYard, 690, poseStanding},
		{6, "portrait, eyes to the lens", whole, 1, lensFour, 0, cameraStand, holderA, spotSkylight, 560, poseFront},
		{0, "with the empty frames", half, 1, lensHalf, 1, cameraTail, holderWalnut, spotWindow, 520, poseQuarter},
		{11, "head, close", fiveBy7, 1, lensThree, 0, cameraStand, holderB, spotSkylight, 380, poseRest},
		{5, "portrait, hat", half, 2, lensHalf, 1, cameraTail, holderD, spotWindow, 640, poseQuarter},
		{9, "soft portrait", tenBy8, 1, lensBare, 1, cameraStand, holderB, spotSkylight, 650, poseQuarter},
		{7, "portrait for the programme", half, 1, lensHalf, 1, cameraTail, holderWalnut, spotWindow, 560, poseQuarter},
		{12, "portrait, close", whole, 1, lensWhole, 1, cameraStand, holderA, spotSkylight, 450, poseRest},
		{2, "portrait for the granddaughter", half, 1, lensHalf, 1, cameraTail, holderD, spotWindow, 560, poseFront},
	}
}

// today lists the sittings of the day: the first is the one the demo does.
func today() []visit {
	return []visit{
		{6, "portrait, eyes to the lens", whole, 1, lensWhole, 1, cameraStand, holderA, spotSkylight, 560, poseFront},
		{8, "portrait, hand resting", half, 1, lensHalf, 0, cameraTail, holderD, spotWindow, 520, poseHands},
		{10, "the children, one plate each", quarter, 2, lensSmall, 0, cameraTail, holderE, spotYard, 480, poseFront},
	}
}

// coming lists the sittings of the next days, with the days until then and the hour.
func coming() []struct {
	visit
	days int
	hour int
} {
	type ahead = struct {
		visit
		days int
		hour int
	}
	return []ahead{
		{visit{13, "portrait, if he comes", half, 1, lensHalf, 1, cameraTail, holderD, spotWindow, 620, poseQuarter}, 1, 11},
		{visit{7, "portrait with anklets", whole, 2, lensWhole, 1, cameraStand, holderA, spotSkylight, 700, poseQuarter}, 2, 14},
		{visit{3, "portrait of the whole shop", whole, 1, lensTwin, 0, cameraField, holderA, spotYard, 1500, poseStanding}, 4, 10},
		{visit{0, "gift plate", quarter, 1, lensSmall, 1, cameraTail, holderE, spotWindow, 430, poseFront}, 6, 15},
	}
}

// lasts is how long a sitting is booked for.
func (b visit) lasts() time.Duration { return time.Duration(30+30*b.wanted) * time.Minute }
