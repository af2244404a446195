package demo

import (
	"platewright/internal/studio"
	"platewright/measure"
)

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

// Forms of lens, by their keys.
const (
	portraitForm = "portrait-1840"
	landscape    = "landscape"
)

func lenses() []studio.Lens {
	return []studio.Lens{
		{Name: "Small brass 135", Form: "portrait, two cells apart", Design: portraitForm, Focal: 135, Circle: 130, Stops: stops(3.2, 4, 5.6, 8),
			FrontGlass: 43, RearGlass: 44, Barrel: 84, BoardAhead: 14, Note: "Quarter plate only; the corners swirl."},
		{Name: "Half-plate brass 190", Form: "portrait, two cells apart", Design: portraitForm, Focal: 190, Circle: 190, Stops: stops(3.6, 4.5, 5.6, 8, 11),
			FrontGlass: 54, RearGlass: 55, Barrel: 117, BoardAhead: 21, Note: "The house lens. Waterhouse stops in the tin."},
		{Name: "Whole-plate brass 300", Form: "portrait, two cells apart", Design: portraitForm, Focal: 300, Circle: 285, Stops: stops(4, 5, 5.6, 8, 11),
			FrontGlass: 78, RearGlass: 80, Barrel: 184, BoardAhead: 33, Note: "Stop f/5 cut by hand in the spring; measured twice."},
		{Name: "Great brass 410", Form: "portrait, two cells apart", Design: portraitForm, Focal: 410, Circle: 360, Stops: stops(4.8, 5.6, 8, 11),
			FrontGlass: 88, RearGlass: 92, Barrel: 248, BoardAhead: 46, Note: "Needs the stand camera; three kilograms."},
		{Name: "Twin 240", Form: "symmetrical, two cemented pairs", Focal: 240, Circle: 290, Stops: stops(8, 11, 16, 22, 32),
			FrontGlass: 33, RearGlass: 33, Barrel: 46},
		{Name: "Twin 330", Form: "symmetrical, two cemented pairs", Focal: 330, Circle: 400, Stops: stops(8, 11, 16, 22, 32),
			FrontGlass: 45, RearGlass: 45, Barrel: 63},
		{Name: "Meniscus 280", Form: "single cemented glass behind its stop", Focal: 280, Circle: 300, Stops: stops(14, 16, 22, 32)},
		{Name: "Bare glass 360", Form: "single glass, uncorrected", Design: landscape, Focal: 360, Circle: 320, Stops: stops(5.6, 8, 11),
			Note: "What the eye sees sharp is not what the plate sees sharp: rack in after focusing."},
		{Name: "Three-glass 250", Form: "three glasses apart, iris", Design: "triplet", Focal: 250, Circle: 280, Stops: stops(4.5, 5.6, 8, 11, 16)},
		{Name: "Four-glass 300", Form: "four glasses, two cemented, iris", Design: "four-glass-1902", Focal: 300, PupilMag: 0.97, Circle: 330, Stops: stops(6.3, 8, 11, 16, 22),
			FrontGlass: 50, RearGlass: 46, Barrel: 52, BoardAhead: 4},
		{Name: "Long-reach 400", Form: "telephoto, short bellows", Focal: 400, PupilMag: 0.62, Circle: 260, Stops: stops(7, 8, 11, 16), BoardAhead: 170},
		{Name: "Gate brass 180", Form: "lantern lens, no slot for stops", Design: "portrait-1950", Focal: 180, Circle: 150, Stops: stops(3),
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
	degrees := func(v float64) measure.Angle { return measure.Angle(v) * measure.Degree }
	return []studio.Camera{
		{Name: "Stand camera", Back: measure.PlateSize{Name: "8x10 in", Width: 203.2, Height: 254}, Shortest: 170, Longest: 980,
			BackTilt: degrees(12), BackSwing: degrees(12), Rise: 60, Fall: 40, BaseTilt: true, Note: "On the wheeled stand in the glass room."},
		{Name: "Tailboard", Back: half, Shortest: 90, Longest: 460, BackSwing: degrees(8), Rise: 25},
		{Name: "Field camera", Back: whole, Shortest: 120, Longest: 620, FrontTilt: degrees(15), FrontSwing: degrees(10), BackTilt: degrees(15), BackSwing: degrees(10),
			Rise: 45, Fall: 30, Shift: 20, Note: "Bellows patched at the third fold; hold it to the sun before use."},
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
