package web

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"platewright/internal/studio"
	"platewright/internal/web/screens/bench"
	"platewright/internal/web/shared"
	"platewright/measure"
	fit "platewright/optics/bench"
)

// Lines that several methods write.
var (
	objectField    = figureField{name: "object", kind: aLength, label: "Length between two marks of the rule", hint: "200 mm, 8 in; the longest that fits on the glass"}
	focusField     = figureField{name: "focus_sd", key: "extension_sd_mm", kind: aLength, label: "One focusing is right to about", hint: "focus five times and see how far the readings lie apart; 0.3 mm is usual for a fast lens", fresh: 0.3, sure: true}
	imageField     = figureField{name: "image_sd", key: "image_sd_mm", kind: aLength, label: "The image is measured to about", hint: "0.15 mm with a fine rule and a loupe", fresh: 0.15, sure: true}
	focalField     = figureField{name: "focal", key: "focal_mm", kind: aLength, label: "Focal length", hint: "as it is known; measure it first"}
	focalSDField   = figureField{name: "focal_sd", key: "focal_sd_mm", kind: aLength, label: "Known to about", hint: "half of what it may be out; a fiftieth of it when nobody measured it", sure: true}
	railColumn     = figureField{name: "rail", key: "extension_mm", kind: aPlace, label: "Rail"}
	imageColumn    = figureField{name: "image", key: "image_mm", kind: aLength, label: "Image"}
	magnifiedField = figureField{name: "magnification", key: "magnification", kind: aNumber, label: "Magnification it is read at", hint: "image over object: 0.1, 1/8; empty for something far away", optional: true}
)

// startFocal is the focal length as it is known, for the methods that rest on it.
func startFocal(b onBench) map[string]string {
	sd := max(float64(b.known.FocalSD), float64(b.known.FocalBand)/2)
	if sd == 0 {
		sd = float64(b.known.Focal) / 50
	}
	return map[string]string{"focal": typedLength(measure.Length(rounded(float64(b.known.Focal), 0.1)), b.units), "focal_sd": typedLength(measure.Length(rounded(sd, 0.1)), b.units)}
}

// keyOf explains the letters of a drawing: letter, what it is, and so on.
func keyOf(pairs ...string) []bench.KeyLine {
	var lines []bench.KeyLine
	for i := 0; i+1 < len(pairs); i += 2 {
		lines = append(lines, bench.KeyLine{Letter: pairs[i], What: pairs[i+1]})
	}
	return lines
}

// benchMethods are the methods of the bench, in the order it is worked through.
var benchMethods = []benchMethod{
	{
		method: studio.TwoMagnifications, slug: "two-magnifications", name: "Two magnifications", title: "Focal length, by two magnifications",
		gives: "the focal length, and where the principal planes lie", needs: "a rule with clear marks, a fine rule and a loupe for the glass, the rail's scale",
		drawing: "camera-and-rule", plotTitle: "Where the glass stood against the size of the image", rowsWord: "Settings",
		hint:  "Two give a focal length; four or five, from small to life size, tell how good it is. Set the same size again as often as you like.",
		chief: []fit.Name{fit.Focal}, list: "readings", rowsLeast: 4,
		set: []figureField{objectField,
			{name: "planes", kind: oneOfAFew, label: "Where the principal planes lie", options: []shared.Option{{Value: "no", Word: "leave out"}, {Value: "yes", Word: "find it too"}}},
			{name: "board", kind: aLength, label: "Lens board to glass at the first setting", hint: "with a tape, once", when: withPlanes}, focusField, imageField},
		row: []figureField{railColumn, imageColumn,
			{name: "distance", key: "distance_mm", kind: aLength, label: "Rule to board", optional: true, when: withPlanes}},
		way: []benchStep{
			{name: "Set up the rule", drawing: "camera-and-rule", key: keyOf("A", "the rule, square to the lens and level with it", "B", "the lens, wide open, fast in its board", "C", "the ground glass", "D", "where the rail is read"),
				do:     []string{"Stand the rule some eight focal lengths before the lens and light it well.", "Fasten the front. From here on only the back moves."},
				fields: []string{"object"}},
			{name: "Focus, and read twice", drawing: "glass-and-rail", key: keyOf("C", "the back", "D", "its reading on the rail, growing as it goes back", "E", "the image of that length, on the glass"),
				do:     []string{"Focus on the marks under a loupe, coming from both sides. Read the rail, then measure the image of the length between the two marks.", "If the rail has no scale, lay one along it: only differences count."},
				fields: []string{"planes", "board", "focus_sd", "image_sd"}},
			{name: "Nearer, and once more", drawing: "nearer", key: keyOf("F", "how much nearer: as you like, it is not measured", "G", "how far the glass goes back for it"),
				do: []string{"Bring the rule nearer, rack the back out until it is sharp, read both again. The focal length is how far the glass goes back for one life size more."}, rows: true},
		},
		adapt: adaptTwo, back: backTwo,
	},
	{
		method: studio.FarTarget, slug: "far-target", name: "Far target", title: "Focal length, by a far target",
		gives: "the focal length, by turning the camera or from the mark of infinity", needs: "a steeple or chimney a mile away, and a circle divided in degrees; or the mark of infinity and a rule",
		drawing: "turned-camera", plotTitle: "Where the image fell", rowsWord: "Readings", chief: []fit.Name{fit.Focal}, list: "readings", rowsLeast: 3,
		set: []figureField{
			{name: "way", kind: oneOfAFew, label: "How", options: []shared.Option{{Value: "turn", Word: "turn the camera"}, {Value: "mark", Word: "from the mark of infinity"}}},
			{name: "object", kind: aLength, label: objectField.label, hint: objectField.hint, when: byMark},
			{name: "angle_sd", key: "angle_sd_deg", kind: anAngle, label: "The angle is right to about", hint: "0.1° on a good circle", fresh: 0.1, sure: true, when: byTurning},
			{name: "focus_sd", key: "extension_sd_mm", kind: aLength, label: focusField.label, hint: focusField.hint, fresh: 0.3, sure: true, when: byMark},
			{name: "infinity_sd", key: "infinity_sd_mm", kind: aLength, label: "The mark of infinity is right to about", hint: "0.3 mm", fresh: 0.3, sure: true, when: byMark},
			imageField},
		row: []figureField{
			{name: "angle", key: "angle_deg", kind: anAngle, label: "Turned by", when: byTurning},
			{name: "rail", key: "extension_mm", kind: aLength, label: "Behind the mark", when: byMark}, imageColumn},
		way: []benchStep{
			{name: "Choose the target", drawing: "turned-camera", key: keyOf("A", "the angle the camera is turned by", "B", "the target: a thousand focal lengths away, or more", "C", "the axis it turns about, under the lens"),
				do:     []string{"Focus on the target in the middle of the glass, wide open. Then turn the whole camera until its image stands near the edge, and read the angle.", "Ten to twenty degrees serve best, to both sides in turn: that takes out a crooked zero."},
				fields: []string{"way", "angle_sd"}, when: byTurning},
			{name: "Mark infinity", drawing: "glass-and-rail", key: keyOf("C", "the back, sharp on something a thousand focal lengths away", "D", "the mark of infinity on the rail", "E", "later: the image of a length of a rule"),
				do:     []string{"Focus on something very far and mark where the back stands. Then focus on a rule near by: how far the back went is the focal length times the size of the image."},
				fields: []string{"way", "object", "infinity_sd", "focus_sd"}, when: byMark},
			{name: "Measure on the glass", drawing: "far-image", key: keyOf("D", "from where it stood before, to where it stands now"),
				do: []string{"Measure from the middle of the glass to the target's image."}, fields: []string{"image_sd"}, rows: true, when: byTurning},
			{name: "Measure on the glass", drawing: "nearer", key: keyOf("F", "the rule, anywhere", "G", "how far the glass went back of the mark of infinity"),
				do: []string{"Read how far the back stands behind the mark, and the image of the length between the marks."}, fields: []string{"image_sd"}, rows: true, when: byMark},
		},
		adapt: adaptFar, back: backFar,
	},
	{
		method: studio.KnownObject, slug: "known-object", name: "Known object", title: "Focal length, by an object of known size",
		gives: "the focal length from one setting, to a few parts in a hundred", needs: "a rule and a tape measure",
		drawing: "object-at", plotTitle: "What each setting says", rowsWord: "Settings", hint: "One serves; at different distances they test each other.",
		chief: []fit.Name{fit.Focal}, list: "readings", rowsLeast: 3,
		set: []figureField{objectField, imageField, {name: "distance_sd", key: "distance_sd_mm", kind: aLength, label: "The distance is right to about", hint: "3 mm with a tape", fresh: 3, sure: true}},
		row: []figureField{{name: "target", key: "target_mm", kind: aLength, label: "Rule to glass"}, imageColumn},
		way: []benchStep{
			{name: "Set up the rule", drawing: "object-at", key: keyOf("A", "a length of the rule", "E", "its image on the glass", "F", "part of the way: measure on to the glass"),
				do:     []string{"Focus on the rule, wide open. Measure with a tape from the rule right through to the ground glass.", "How far the two principal planes lie apart is not known here, and that is most of the band. Two magnifications do without it."},
				fields: []string{"object", "distance_sd"}},
			{name: "Measure the image", drawing: "glass-and-rail", key: keyOf("C", "the back", "D", "not needed here", "E", "the image of that length"),
				do: []string{"Measure the image of the length between the two marks."}, fields: []string{"image_sd"}, rows: true},
		},
		adapt: func(g *measuring, q map[string]any) string {
			if k := g.known; k.PlanesBasis.Kind == studio.ByBench {
				q["planes_mm"] = float64(k.FrontAhead - k.RearAhead)
			}
			return objectInEach(g, q)
		}, back: backObject,
	},
	{
		method: studio.NodalPoint, slug: "nodal-point", name: "Nodal point", title: "Focal length, by the nodal point",
		gives: "the focal length, from the axis about which the image rests", needs: "a far target, and the lens on a stand that turns and slides",
		drawing: "resting-image", plotTitle: "What each setting says", rowsWord: "Settings", chief: []fit.Name{fit.Focal}, list: "readings", rowsLeast: 3,
		set: []figureField{{name: "distance_sd", key: "distance_sd_mm", kind: aLength, label: "One setting is right to about", hint: "focusing and finding the rest together; 0.5 mm", fresh: 0.5, sure: true},
			{name: "axis_sd", key: "axis_sd_mm", kind: aLength, label: "The place of the axis is known to about", hint: "0.5 mm", fresh: 0.5, sure: true}},
		row: []figureField{{name: "axis", key: "distance_mm", kind: aLength, label: "Axis to image"}},
		way: []benchStep{{name: "Find where the image rests", drawing: "resting-image", key: keyOf("A", "the axis the lens is turned about", "B", "the lens, slid along until the image rests", "F", "from the axis to the image"),
			do: []string{"Throw the image of a far target on a glass that stands still, and turn the lens a little to and fro. Slide the lens over the axis until the image no longer goes with it.", "Then the axis goes through the rear nodal point, and its distance to the image is the focal length."}, fields: []string{"distance_sd", "axis_sd"}, rows: true}},
	},
	{
		method: studio.PupilSize, slug: "entrance-pupil", name: "Entrance pupil", title: "Full opening, from the front",
		gives: "the entrance pupil, and with it the true f-number of the full opening", needs: "a pinhole and a torch, or a rule held across the front glass",
		drawing: "torch-behind", plotTitle: "Readings of the opening", rowsWord: "Readings", chief: []fit.Name{fit.FNumber, fit.Pupil}, list: "readings", rowsLeast: 3,
		set: []figureField{
			{name: "way", kind: oneOfAFew, label: "How", options: []shared.Option{{Value: "disc", Word: "by a torch"}, {Value: "seen", Word: "by eye"}}},
			{name: "eye", key: "eye_mm", kind: aLength, label: "From the eye to the rule", hint: "two metres or more", when: byEye},
			{name: "depth", key: "depth_mm", kind: aLength, label: "The opening seems to lie behind the rule by", hint: "half the barrel, when in doubt", optional: true, when: byEye},
			{name: "read_sd", key: "read_sd_mm", kind: aLength, label: "One reading is right to about", hint: "0.3 mm", fresh: 0.3, sure: true}, focalField, focalSDField},
		row: []figureField{{name: "disc", key: "disc_mm", kind: aLength, label: "Disc", when: byTorch}, {name: "seen", key: "seen_mm", kind: aLength, label: "Opening", when: byEye}},
		way: []benchStep{
			{name: "Light it from behind", drawing: "torch-behind", key: keyOf("A", "a torch", "B", "a pinhole where the ground glass stands, the camera focused on something very far", "C", "the lens", "D", "the disc of light: the entrance pupil, as large as it is", "E", "white paper close before the lens"),
				do: []string{"Focus on something very far. Put card with a pinhole in the place of the glass, and a torch behind it. What leaves the lens is a beam as wide as its entrance pupil.", "Measure the disc on the paper in several directions."}, fields: []string{"way", "read_sd"}, when: byTorch},
			{name: "Look in from the front", drawing: "pupil-in-front", key: keyOf("A", "a rule across the front glass", "B", "the eye, from far off", "D", "the bright opening, read on the rule"),
				do: []string{"Point the lens at a bright wall. Step back, close one eye and read both edges of the opening on the rule without moving the head."}, fields: []string{"way", "eye", "depth", "read_sd"}, when: byEye},
			{name: "Write it down", drawing: "pupil-in-front", key: keyOf("A", "the rule, or the paper with the disc", "B", "the eye", "D", "the diameter that is read"), do: []string{"The f-number is the focal length over this diameter."}, fields: []string{"focal", "focal_sd"}, rows: true},
		},
		start: startFocal,
	},
	{
		method: studio.StopSizes, slug: "stops", name: "Stops and holes", title: "Waterhouse stops, and holes to cut",
		gives: "the true f-number of each stop, and the holes to cut for a series you want", needs: "callipers, or a wedge of paper; and the pupil of one stop, measured with the torch",
		drawing: "stop-plate", plotTitle: "Pupil against hole", rowsWord: "Stops", hint: "The pupil is needed at one stop at least; at two it tests itself. The others follow from their holes.",
		chief: []fit.Name{fit.FNumber, fit.Hole, fit.StopFactor}, list: "stops", rowsLeast: 4,
		set: []figureField{focalField, focalSDField,
			{name: "factor", key: "stop_factor", kind: aNumber, label: "Pupil over hole, if it is known", hint: "empty when the pupil of a stop is measured below", optional: true},
			{name: "hole_sd", key: "hole_sd_mm", kind: aLength, label: "A hole is measured to about", hint: "0.1 mm", fresh: 0.1, sure: true},
			{name: "wanted", key: "wanted", kind: fewNumbers, label: "Cut holes for", hint: "4.5, 5.6, 8, 11, with commas or spaces between; empty cuts none", optional: true}},
		row: []figureField{{name: "stop", key: "name", kind: someWords, label: "Stop", optional: true}, {name: "hole", key: "hole_mm", kind: aLength, label: "Hole"},
			{name: "pupil", key: "pupil_mm", kind: aLength, label: "Pupil", optional: true}},
		way: []benchStep{
			{name: "Measure the holes", drawing: "stop-plate", key: keyOf("H", "the hole, across, in two directions"),
				do: []string{"The glass before the stop makes its hole look larger. How much larger is the same for all stops, and is found once."}, fields: []string{"focal", "focal_sd", "hole_sd", "factor"}},
			{name: "Read a pupil", drawing: "stop-in-lens", key: keyOf("S", "a stop, let into the slot"),
				do: []string{"With a stop in, measure the disc of the torch as for the entrance pupil, and write it beside that stop's hole."}, rows: true},
			{name: "Cut a series", drawing: "series", key: keyOf("H", "the hole to cut"),
				do: []string{"Each hole is the focal length over the f-number, less what the front glass adds. Cut a little small and file up."}, fields: []string{"wanted"}},
		},
		start: startStops, adapt: adaptStops, back: backStops,
	},
	{
		method: studio.PupilSides, slug: "pupils", name: "Two pupils", title: "Exit pupil over entrance pupil",
		gives: "how the lens loses light at close range, and what its depth behind the sitter is", needs: "a rule, and an equal distance on both sides",
		drawing: "two-eyes", plotTitle: "The ratio of each reading", rowsWord: "Readings", chief: []fit.Name{fit.PupilMag}, list: "readings", rowsLeast: 3,
		set: []figureField{{name: "read_sd", key: "read_sd_mm", kind: aLength, label: "One reading is right to about", hint: "0.3 mm", fresh: 0.3, sure: true}},
		row: []figureField{{name: "front", key: "front_mm", kind: aLength, label: "From the front"}, {name: "rear", key: "rear_mm", kind: aLength, label: "From behind"}},
		way: []benchStep{
			{name: "Look from both sides", drawing: "two-eyes", key: keyOf("A", "the eye in front", "B", "the eye behind", "F", "the same distance both times, two metres or more"),
				do: []string{"Put in one stop and leave it. Look at its opening from the front on a rule held across the glass, then turn the lens round and look from behind."}, fields: []string{"read_sd"}},
			{name: "Read both", drawing: "both-sides", key: keyOf("A", "from the front", "B", "from behind", "P", "the entrance pupil", "R", "the exit pupil"), do: []string{"Read the bright opening across, both edges without moving the head."}, rows: true},
		},
	},
	{
		method: studio.FieldCurve, slug: "field-curve", name: "Field curve", title: "The curve of the field",
		gives: "how much nearer or farther the edges focus: the bowl the sitter must fit", needs: "a flat wall of marks square to the lens, and a loupe",
		drawing: "flat-wall", plotTitle: "Best focus at each height", rowsWord: "Best focus", hint: "On the axis three times, then at four heights or more, to both sides.",
		chief: []fit.Name{fit.Curve, fit.Curve.Of(fit.Sagittal), fit.Curvature}, list: "readings", rowsLeast: 6,
		set: []figureField{focusField, {name: "height_sd", key: "height_sd_mm", kind: aLength, label: "A height is right to about", hint: "0.5 mm", fresh: 0.5, sure: true},
			{name: "fourth", kind: oneOfAFew, label: "Toward the edge the field", options: []shared.Option{{Value: "no", Word: "goes on as it begins"}, {Value: "yes", Word: "bends more, or back"}}}},
		row: []figureField{{name: "height", key: "height_mm", kind: aPlace, label: "Height"}, {name: "rail", key: "extension_mm", kind: aPlace, label: "Rail"},
			{name: "lines", key: "lines", kind: oneOfAFew, label: "Focused on", options: []shared.Option{{Value: "any", Word: "any"}, {Value: "away", Word: "R"}, {Value: "round", Word: "T"}}}},
		way: []benchStep{
			{name: "A flat target", drawing: "flat-wall", key: keyOf("A", "marks on a flat wall, parallel to the lens board", "B", "the lens, wide open", "C", "the glass"),
				do: []string{"A newspaper on a wall serves. Square the camera to it: the two ends of a line must be equally sharp.", "A target bent about the lens measures something else."}, fields: []string{"focus_sd", "height_sd", "fourth"}},
			{name: "Focus at each height", drawing: "heights-on-glass", key: keyOf("H", "height of the mark on the glass, from the middle", "R", "lines that run away from the middle", "T", "lines that run across"),
				do: []string{"Bring a mark sharp with the back alone, under the loupe, and read height and rail. Choose R or T where the two kinds of line come sharp at different places; else leave any."}, rows: true},
		},
		adapt: func(g *measuring, q map[string]any) string {
			q["with_fourth"] = g.text("fourth") == "yes"
			return ""
		},
		back: func(q map[string]any, typed map[string]string) {
			typed["fourth"] = yesNo(q["with_fourth"] == true)
		},
	},
	{
		method: studio.GoodCircle, slug: "coverage", name: "Coverage", title: "The circle it covers",
		gives: "the circle of good definition and the circle that is lit, at one stop", needs: "a loupe and a rule",
		drawing: "edge-on-glass", plotTitle: "Where the edge was told", rowsWord: "Edges", hint: "In several directions; the circle is their middle.",
		chief: []fit.Name{fit.Circle, fit.LitCircle}, list: "readings", rowsLeast: 4,
		set: []figureField{{name: "stop", key: "f_number", kind: aStop, label: "Stop that is in", hint: "as f/8, or by its name"}, magnifiedField,
			{name: "edge_sd", key: "edge_sd_mm", kind: aLength, label: "An edge is told to about", hint: "3 mm: it is a matter of judgement", fresh: 3, sure: true}, focalField, focalSDField,
			{name: "pupil_mag", key: "pupil_mag", kind: aNumber, label: "Exit pupil over entrance pupil", hint: "1 when unknown"}},
		row: []figureField{{name: "edge", key: "edge_mm", kind: aLength, label: "From the middle"},
			{name: "kind", key: "edge", kind: oneOfAFew, label: "What ends there", options: []shared.Option{{Value: "sharp", Word: "H"}, {Value: "lit", Word: "L"}}}},
		way: []benchStep{
			{name: "Find the edge", drawing: "edge-on-glass", key: keyOf("H", "where what is called sharp ends", "L", "where the light ends"),
				do:     []string{"Focus in the middle, put the stop in, and go outward with the loupe until the marks are no longer good enough for a plate of yours. Beyond it, find where the light ends."},
				fields: []string{"stop", "magnification", "edge_sd"}},
			{name: "Write it down", drawing: "cone", key: keyOf("A", "half the cone it covers: this is kept", "C", "the glass", "H", "from the middle to the edge, half the circle"), do: []string{"It is kept as an angle, so that it holds at every distance."}, fields: []string{"focal", "focal_sd", "pupil_mag"}, rows: true},
		},
		start: func(b onBench) map[string]string {
			typed := startFocal(b)
			typed["pupil_mag"] = figureOf(b.known.PupilMag, 4)
			if len(b.lens.Stops) > 0 {
				typed["stop"] = b.lens.Stops[0].Name
			}
			return typed
		},
	},
	{
		method: studio.FocusShift, slug: "focus-shift", name: "Focus shift", title: "Focus shift on stopping down",
		gives: "how far the focus moves when a stop goes in", needs: "a rule slanted at half a right angle",
		drawing: "slanted-rule", plotTitle: "Best focus at each stop", rowsWord: "Best focus", hint: "Three times at the full opening, three times at each stop.",
		chief: []fit.Name{fit.FocusShift, fit.ShiftHere}, list: "readings", rowsLeast: 6,
		set: []figureField{focusField, magnifiedField},
		row: []figureField{{name: "stop", key: "f_number", kind: aStop, label: "Stop"}, railColumn},
		way: []benchStep{
			{name: "A slanted rule", drawing: "slanted-rule", key: keyOf("A", "a rule at half a right angle to the axis", "B", "the mark to be sharp", "D", "where the rail is read"),
				do: []string{"With the full opening in, focus so that the middle mark is the sharpest of the rule: the marks before and behind it must be equally soft."}, fields: []string{"magnification", "focus_sd"}},
			{name: "Stop down, and focus anew", drawing: "stop-in-lens", key: keyOf("S", "a stop, let into the slot"),
				do: []string{"Put a stop in. The place of the sharpest mark moves: bring the same mark sharp again with the back, and read the rail. The wider stops tell most; at small ones everything is sharp."}, rows: true},
		},
		start: func(b onBench) map[string]string {
			typed := map[string]string{}
			for i, st := range b.lens.Stops {
				if i < 6 {
					typed["stop_"+strconv.Itoa(i+1)] = st.Name
				}
			}
			return typed
		},
	},
	{
		method: studio.ChemicalFocus, slug: "chemical-focus", name: "Chemical focus", title: "Chemical focus",
		gives: "how far the focus of the plate lies from that of the eye", needs: "numbered cards, one behind the other, and a plate",
		drawing: "stepped-cards", plotTitle: "What each plate says", rowsWord: "Plates", hint: "One line for every plate.",
		chief: []fit.Name{fit.Chemical}, list: "readings", rowsLeast: 2,
		set: []figureField{{name: "step", kind: aLength, label: "From one card to the next", hint: "about half of what is sharp in depth: 5 mm, 1/4 in"},
			{name: "magnification", key: "magnification", kind: aNumber, label: "Magnification at card 0", hint: "image over object: 1/4, 0.3"}, focalField, focalSDField},
		row: []figureField{{name: "card", kind: aNumberSigned, label: "Sharpest card"}, {name: "behind", key: "behind_mm", kind: aPlace, label: "Behind card 0", when: func(*measuring) bool { return false }}},
		way: []benchStep{
			{name: "Set up the cards", drawing: "stepped-cards", key: keyOf("A", "cards with print on them, stepped so that all are seen", "0", "the card that is focused on", "F", "from one card to the next"),
				do:     []string{"Number the cards: 0 in the middle, 1, 2, 3 away from the camera, −1, −2, −3 toward it. Focus card 0 by eye, at the opening you will expose with, or the wider one if you focus wide open."},
				fields: []string{"step", "magnification", "focal", "focal_sd"}},
			{name: "Make a plate, and look", drawing: "card-plate", key: keyOf("0", "the card that was focused on", "B", "the card that is sharpest on the plate"),
				do:      []string{"Pour, expose and finish a plate as always. Under a loupe find the card whose print is sharpest; halves are allowed between two."},
				caution: nil, rows: true},
		},
		start: startFocal, adapt: adaptCards, back: backCards,
	},
}

func withPlanes(g *measuring) bool { return g.text("planes") == "yes" }

func byMark(g *measuring) bool    { return g.text("way") == "mark" }
func byTurning(g *measuring) bool { return g.text("way") != "mark" }
func byEye(g *measuring) bool     { return g.text("way") == "seen" }
func byTorch(g *measuring) bool   { return g.text("way") != "seen" }

// objectInEach gives every reading the length that is common to all.
func objectInEach(g *measuring, q map[string]any) string {
	if g.text("object") == "" {
		return "Write the length between the two marks."
	}
	for _, each := range q["readings"].([]any) {
		each.(map[string]any)["object_mm"] = float64(g.length("object"))
	}
	return ""
}

func backObject(q map[string]any, typed map[string]string) {
	readings, _ := q["readings"].([]any)
	for _, each := range readings {
		row, _ := each.(map[string]any)
		if v, ok := row["object_mm"].(float64); ok {
			typed["object"] = figureOf(v, 9) + " mm"
		}
	}
}

// adaptTwo counts the rail from the lens board where its distance from the glass was measured.
func adaptTwo(g *measuring, q map[string]any) string {
	readings := q["readings"].([]any)
	if board := float64(g.length("board")); withPlanes(g) && board > 0 && len(readings) > 0 {
		first, _ := readings[0].(map[string]any)["extension_mm"].(float64)
		for _, each := range readings {
			row := each.(map[string]any)
			at, _ := row["extension_mm"].(float64)
			row["extension_mm"] = rounded(at-first+board, 1e-6)
		}
	} else {
		g.dropped = []fit.Name{fit.Infinity, fit.FrontAhead, fit.RearAhead}
	}
	if len(readings) < 2 {
		return "One more setting, at another size, and the focal length appears here."
	}
	return objectInEach(g, q)
}

// backTwo shows the rail as it was reckoned with: from the lens board, where that was measured.
func backTwo(q map[string]any, typed map[string]string) { backObject(q, typed) }

func adaptFar(g *measuring, q map[string]any) string {
	if byMark(g) {
		return objectInEach(g, q)
	}
	return ""
}

func backFar(q map[string]any, typed map[string]string) {
	backObject(q, typed)
	if typed["object"] != "" {
		typed["way"] = "mark"
	}
}

// startStops names the lens's stops, with what is known of how the front glass magnifies them.
func startStops(b onBench) map[string]string {
	typed := startFocal(b)
	for i, st := range b.lens.Stops {
		if i < 12 {
			typed["stop_"+strconv.Itoa(i+1)] = st.Name
		}
	}
	if factor := b.stopFactor(); factor > 0 {
		typed["factor"] = figureOf(factor, 4)
	}
	return typed
}

// adaptStops parts what was read in stops and in those whose pupil was measured too.
func adaptStops(g *measuring, q map[string]any) string {
	var discs []any
	stops := []any{}
	for _, each := range q["stops"].([]any) {
		row := each.(map[string]any)
		if pupil, ok := row["pupil_mm"]; ok {
			discs = append(discs, map[string]any{"hole_mm": row["hole_mm"], "pupil_mm": pupil})
			delete(row, "pupil_mm")
			if row["name"] == nil {
				continue // a disc alone, such as a hole in a card
			}
		}
		if row["name"] == nil {
			row["name"] = "stop " + strconv.Itoa(len(stops)+1)
		}
		stops = append(stops, row)
	}
	q["stops"] = stops
	if discs == nil {
		if _, known := q["stop_factor"]; !known {
			return "Measure the pupil of one stop at least, or write how much larger than the hole it is."
		}
		return ""
	}
	q["discs"] = discs
	delete(q, "stop_factor") // what is measured here counts
	return ""
}

func backStops(q map[string]any, _ map[string]string) {
	discs, _ := q["discs"].([]any)
	stops, _ := q["stops"].([]any)
	for _, each := range discs {
		disc, _ := each.(map[string]any)
		at := slices.IndexFunc(stops, func(s any) bool {
			row, _ := s.(map[string]any)
			return row != nil && row["hole_mm"] == disc["hole_mm"] && row["pupil_mm"] == nil
		})
		if at < 0 {
			stops = append(stops, disc)
			continue
		}
		stops[at].(map[string]any)["pupil_mm"] = disc["pupil_mm"]
	}
	q["stops"] = stops
}

// adaptCards turns numbers of cards into depths.
func adaptCards(g *measuring, q map[string]any) string {
	step := float64(g.length("step"))
	if step == 0 {
		return "Write how far one card stands from the next."
	}
	q["step_sd_mm"] = rounded(0.3*step, 1e-6) // a card is told to the nearest, which is 0.29 of the step as a standard deviation
	for i, each := range q["readings"].([]any) {
		row := each.(map[string]any)
		card := read(g.form, "card_"+strconv.Itoa(g.rowOf[i]), parseSigned, func(float64) string { return "" })
		row["behind_mm"] = rounded(card*step, 1e-6)
	}
	return ""
}

func backCards(q map[string]any, typed map[string]string) {
	sd, _ := q["step_sd_mm"].(float64)
	step := rounded(sd/0.3, 1e-6)
	if !(step > 0) {
		return
	}
	typed["step"] = figureOf(step, 9) + " mm"
	readings, _ := q["readings"].([]any)
	for i, each := range readings {
		row, _ := each.(map[string]any)
		behind, _ := row["behind_mm"].(float64)
		typed["card_"+strconv.Itoa(i+1)] = strconv.FormatFloat(math.Round(behind/step*100)/100, 'f', -1, 64)
	}
}

// parseSigned reads a number that may be below zero.
func parseSigned(text string) (float64, error) {
	sign, rest := cutSign(strings.TrimSpace(text))
	v, err := measure.ParseNumber(rest)
	return sign * v, err
}
