package demo

import (
	"time"

	"platewright/internal/studio"
	"platewright/measure"
)

// Everything in this file is invented: the place, the people, the things. Lenses are told by their
// form; whatever resembles a lens or a person that exists does so by chance.

const (
	studioName  = "Oddermere Plate Rooms"
	studioPlace = "Upper Lofthouse, Oddermere"
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

func stops(full measure.FNumber, cut ...measure.FNumber) []studio.Stop {
	s := []studio.Stop{{FNumber: full}}
	for _, n := range cut {
		s = append(s, studio.Stop{FNumber: n})
	}
	return s
}

// Places of the lenses in the list below.
const (
	lensSmall = iota
	lensHalf
	lensWhole
	lensGreat
	lensTwin
	lensLongTwin
	lensMeniscus
	lensBare
	lensThree
	lensFour
	lensTele
	lensGate
)

func lenses() []studio.Lens {
	return []studio.Lens{
		{Name: "Small brass 135", Form: "portrait, two cells apart", Focal: 135, Circle: 130, Stops: stops(3.2, 4, 5.6, 8),
			Note: "Quarter plate only; the corners swirl."},
		{Name: "Half-plate brass 190", Form: "portrait, two cells apart", Focal: 190, Circle: 190, Stops: stops(3.6, 4.5, 5.6, 8, 11),
			Note: "The house lens. Waterhouse stops in the tin."},
		{Name: "Whole-plate brass 300", Form: "portrait, two cells apart", Focal: 300, Circle: 285, Stops: stops(4, 5, 5.6, 8, 11),
			Note: "Stop f/5 cut by hand in the spring; measured twice."},
		{Name: "Great brass 410", Form: "portrait, two cells apart", Focal: 410, Circle: 360, Stops: stops(4.8, 5.6, 8, 11),
			Note: "Needs the stand camera; three kilograms."},
		{Name: "Twin 240", Form: "symmetrical, two cemented pairs", Focal: 240, Circle: 290, Stops: stops(8, 11, 16, 22, 32)},
		{Name: "Twin 330", Form: "symmetrical, two cemented pairs", Focal: 330, Circle: 400, Stops: stops(8, 11, 16, 22, 32)},
		{Name: "Meniscus 280", Form: "single cemented glass behind its stop", Focal: 280, Circle: 300, Stops: stops(14, 16, 22, 32)},
		{Name: "Bare glass 360", Form: "single glass, uncorrected", Focal: 360, Circle: 320, Stops: stops(5.6, 8, 11),
			Note: "What the eye sees sharp is not what the plate sees sharp: rack in after focusing."},
		{Name: "Three-glass 250", Form: "three glasses apart, iris", Focal: 250, Circle: 280, Stops: stops(4.5, 5.6, 8, 11, 16)},
		{Name: "Four-glass 300", Form: "four glasses, two cemented, iris", Focal: 300, PupilMag: 0.97, Circle: 330, Stops: stops(6.3, 8, 11, 16, 22)},
		{Name: "Long-reach 400", Form: "telephoto, short bellows", Focal: 400, PupilMag: 0.62, Circle: 260, Stops: stops(7, 8, 11, 16)},
		{Name: "Gate brass 180", Form: "lantern lens, no slot for stops", Focal: 180, Circle: 150, Stops: stops(3),
			Note: "One opening; a paper ring in the hood gives about f/4, not measured."},
	}
}

// Places of the cameras in the list below.
const (
	cameraStand = iota
	cameraTail
	cameraField
)

func cameras() []studio.Camera {
	return []studio.Camera{
		{Name: "Stand camera", Back: measure.PlateSize{Name: "8x10 in", Width: 203.2, Height: 254}, Shortest: 170, Longest: 980, Note: "On the wheeled stand in the glass room."},
		{Name: "Tailboard", Back: half, Shortest: 90, Longest: 460},
		{Name: "Field camera", Back: whole, Shortest: 120, Longest: 620, Note: "Bellows patched at the third fold; hold it to the sun before use."},
	}
}

// Places of the holders in the list below.
const (
	holderA = iota
	holderB
	holderWalnut
	holderD
	holderE
)

func holders() []studio.Holder {
	return []studio.Holder{
		{Name: "A", Size: whole},
		{Name: "B", Size: tenBy8, Note: "With inserts down to 5x7."},
		{Name: "C, walnut", Size: half, Note: "Old wood at the corners: wipe and varnish it."},
		{Name: "D", Size: half},
		{Name: "E", Size: quarter},
	}
}

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
		{name: "north window, white card on the left", noon: 2600},
		{name: "skylight, blind half drawn", noon: 5200},
		{name: "open shade in the yard", noon: 11000},
		{name: "bank of white lamps behind cloth", noon: 4300, lamps: true},
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
}

func visits() []visit {
	return []visit{
		{0, "portrait, spectacles off", half, 1, lensHalf, 1, cameraTail, holderD, spotWindow, 520},
		{1, "portrait for his mother", whole, 1, lensWhole, 1, cameraStand, holderA, spotSkylight, 610},
		{3, "portrait with the new sign", half, 2, lensHalf, 2, cameraTail, holderWalnut, spotYard, 660},
		{10, "portrait, the children looking on", half, 2, lensHalf, 0, cameraTail, holderD, spotYard, 680},
		{5, "at the bench, with apron", whole, 1, lensTwin, 0, cameraField, holderA, spotYard, 680},
		{4, "head study", fiveBy7, 1, lensThree, 1, cameraStand, holderB, spotSkylight, 430},
		{11, "portrait, standing", half, 1, lensHalf, 1, cameraTail, holderWalnut, spotWindow, 670},
		{6, "profile", whole, 1, lensWhole, 0, cameraStand, holderA, spotSkylight, 480},
		{8, "portrait, short time", quarter, 2, lensSmall, 0, cameraTail, holderE, spotYard, 420},
		{7, "portrait, hair down", whole, 2, lensWhole, 1, cameraStand, holderA, spotSkylight, 640},
		{2, "portrait, seated", half, 1, lensHalf, 1, cameraTail, holderD, spotWindow, 560},
		{9, "for the album", quarter, 2, lensSmall, 1, cameraTail, holderE, spotWindow, 450},
		{12, "portrait with cloak", tenBy8, 1, lensGreat, 1, cameraStand, holderB, spotSkylight, 660},
		{13, "portrait, three-quarter", half, 1, lensHalf, 1, cameraTail, holderWalnut, spotWindow, 620},
		{1, "the same again, smiling", half, 1, lensHalf, 0, cameraTail, holderD, spotWindow, 500},
		{4, "head study, second try", fiveBy7, 1, lensThree, 1, cameraStand, holderB, spotSkylight, 430},
		{3, "at the workshop door", whole, 1, lensLongTwin, 0, cameraField, holderA, spotYard, 690},
		{6, "portrait, eyes to the lens", whole, 1, lensFour, 0, cameraStand, holderA, spotSkylight, 560},
		{0, "with the empty frames", half, 1, lensHalf, 1, cameraTail, holderWalnut, spotWindow, 520},
		{11, "head, close", fiveBy7, 1, lensThree, 0, cameraStand, holderB, spotSkylight, 380},
		{5, "portrait, hat", half, 2, lensHalf, 1, cameraTail, holderD, spotWindow, 640},
		{9, "soft portrait", tenBy8, 1, lensBare, 1, cameraStand, holderB, spotSkylight, 650},
		{7, "portrait for the programme", half, 1, lensHalf, 1, cameraTail, holderWalnut, spotWindow, 560},
		{12, "portrait, close", whole, 1, lensWhole, 1, cameraStand, holderA, spotSkylight, 450},
		{2, "portrait for the granddaughter", half, 1, lensHalf, 1, cameraTail, holderD, spotWindow, 560},
	}
}

// today lists the sittings of the day: the first is the one the demo does.
func today() []visit {
	return []visit{
		{6, "portrait, eyes to the lens", whole, 1, lensWhole, 1, cameraStand, holderA, spotSkylight, 560},
		{8, "portrait, hand resting", half, 1, lensHalf, 0, cameraTail, holderD, spotWindow, 520},
		{10, "the children, one plate each", quarter, 2, lensSmall, 0, cameraTail, holderE, spotYard, 480},
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
		{visit{13, "portrait, if he comes", half, 1, lensHalf, 1, cameraTail, holderD, spotWindow, 620}, 1, 11},
		{visit{7, "portrait with anklets", whole, 2, lensWhole, 1, cameraStand, holderA, spotSkylight, 700}, 2, 14},
		{visit{3, "portrait of the whole shop", whole, 1, lensTwin, 0, cameraField, holderA, spotYard, 1500}, 4, 10},
		{visit{0, "gift plate", quarter, 1, lensSmall, 1, cameraTail, holderE, spotWindow, 430}, 6, 15},
	}
}

// lasts is how long a sitting is booked for.
func (b visit) lasts() time.Duration { return time.Duration(30+30*b.wanted) * time.Minute }
