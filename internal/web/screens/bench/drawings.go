package bench

import "math"

// Drawing draws a step of a method; the empty string for a name it does not know. Nothing on these
// drawings is to scale: they show what stands where, and which distance is read.
func Drawing(name string, red bool) string {
	draw, known := drawings[name]
	if !known {
		return ""
	}
	p := &pen{red: red}
	title, height := draw(p)
	return p.element(title, height)
}

// drawings are all there are, by name. Each draws and returns its title and how high it is.
var drawings = map[string]func(*pen) (title string, height float64){
	"camera-and-rule":  cameraAndRule,
	"glass-and-rail":   glassAndRail,
	"nearer":           nearer,
	"turned-camera":    turnedCamera,
	"far-image":        farImage,
	"object-at":        objectAt,
	"torch-behind":     torchBehind,
	"pupil-in-front":   pupilInFront,
	"stop-plate":       stopPlate,
	"two-eyes":         twoEyes,
	"both-sides":       bothSides,
	"flat-wall":        flatWall,
	"heights-on-glass": heightsOnGlass,
	"edge-on-glass":    edgeOnGlass,
	"cone":             cone,
	"slanted-rule":     slantedRule,
	"stop-in-lens":     stopInLens,
	"stepped-cards":    steppedCards,
	"card-plate":       cardPlate,
	"series":           series,
	"resting-image":    restingImage,
}

// camera draws a camera from the side: glass and board on one rail.
func camera(p *pen, glass, board, axis, rail float64) {
	p.rail(18, board+30, rail)
	p.bellows(glass, board, axis, 46, 36)
	p.glass(glass, axis, 46, rail)
	p.board(board, axis, 40, rail)
}

func cameraAndRule(p *pen) (string, float64) {
	const axis, rail = 88, 152
	p.line("axis", point{8, axis}, point{412, axis})
	camera(p, 70, 168, axis, rail)
	p.rule(376, 30, 146)
	p.line("outline", point{381, 146}, point{381, 162})
	p.floor(330, 412, 162)
	p.letter(point{398, 46}, "A")
	p.letter(point{194, 44}, "B")
	p.letter(point{52, 30}, "C")
	p.letter(point{112, 180}, "D")
	p.line("thin", point{74, 160}, point{104, 174})
	return "A camera before a standing rule", 196
}

// image draws a ground glass from behind with the image of a rule across it.
func image(p *pen, x, y, w, h float64) {
	p.rect("paper", x-9, y-9, w+18, h+18)
	p.rect("heavy", x, y, w, h)
	p.line("axis", point{x + w/2, y + 4}, point{x + w/2, y + h - 4})
	p.line("axis", point{x + 4, y + h/2}, point{x + w - 4, y + h/2})
}

func glassAndRail(p *pen) (string, float64) {
	image(p, 22, 20, 150, 130)
	p.lying(40, 154, 78)
	p.dimension(point{60, 116}, point{135, 116}, "E", point{0, 17})
	p.line("dimension", point{60, 92}, point{60, 122})
	p.line("dimension", point{135, 92}, point{135, 122})
	p.rail(218, 408, 104)
	p.path("thin", "M218 113H408")
	p.path("solid", "M310 103l-6-15h12Z")
	p.rect("paper", 296, 40, 28, 48)
	p.letter(point{344, 84}, "D")
	p.line("heavy", point{324, 34}, point{324, 88})
	p.letter(point{344, 46}, "C")
	return "The ground glass with the rule's image on it, and the pointer on the rail", 172
}

func nearer(p *pen) (string, float64) {
	const axis, rail = 70, 132
	p.line("axis", point{8, axis}, point{412, axis})
	p.rail(18, 190, rail)
	p.bellows(46, 150, axis, 44, 36)
	p.glass(46, axis, 44, rail)
	p.line("thin", point{96, axis - 44}, point{96, axis + 44})
	p.line("thin", point{96, axis + 51}, point{96, rail})
	p.board(150, axis, 38, rail)
	p.rule(262, 16, 126)
	p.rect("thin", 384, 16, 11, 110)
	p.dimension(point{262, 146}, point{384, 146}, "F", point{0, 18})
	p.dimension(point{46, 160}, point{96, 160}, "G", point{0, 18})
	return "The rule brought nearer, and the glass racked back until it is sharp again", 190
}

func turnedCamera(p *pen) (string, float64) {
	// From above: the camera turns about the lens, first square to the target, then off it.
	c := point{150, 96}
	turn := func(deg float64, x, y float64) point {
		s, k := math.Sincos(deg * math.Pi / 180)
		return point{c.x + x*k - y*s, c.y + x*s + y*k}
	}
	p.line("axis", point{10, c.y}, point{392, c.y})
	p.line("axis", turn(-18, -130, 0), turn(-18, 205, 0))
	for _, deg := range []float64{0, -18} {
		class := map[bool]string{true: "thin", false: "outline"}[deg == 0]
		p.line(class, turn(deg, -110, -34), turn(deg, -110, 34))
		p.line(class, turn(deg, -110, -34), turn(deg, -8, -22), turn(deg, -8, 22), turn(deg, -110, 34))
		p.line(class, turn(deg, -8, -14), turn(deg, 30, -14), turn(deg, 30, 14), turn(deg, -8, 14), turn(deg, -8, -14))
	}
	p.circle("solid", c, 3)
	// the target: a steeple far away
	p.path("outline", "M384 96l6-46 6 46ZM380 96h20v22h-20Z")
	p.path("dimension", "M"+n(c.x+150)+" "+n(c.y)+"A150 150 0 0 0 "+n(turn(-18, 150, 0).x)+" "+n(turn(-18, 150, 0).y))
	p.letter(point{318, 70}, "A")
	p.letter(point{406, 34}, "B")
	p.letter(point{150, 150}, "C")
	p.line("thin", point{150, 138}, point{150, 104})
	return "From above: the camera turned through an angle away from a far target", 178
}

func farImage(p *pen) (string, float64) {
	image(p, 110, 18, 200, 132)
	x := 258.0
	p.path("outline", "M"+n(x-5)+" 84l5 36 5-36ZM"+n(x-9)+" 84v-16h18v16Z") // the steeple, upside down
	p.dimension(point{210, 136}, point{x, 136}, "D", point{0, -14})
	p.line("dimension", point{x, 120}, point{x, 146})
	return "The far target's image on the ground glass, off the middle", 170
}

func objectAt(p *pen) (string, float64) {
	const axis, rail = 84, 146
	p.line("axis", point{8, axis}, point{412, axis})
	camera(p, 52, 130, axis, rail)
	p.rule(382, 26, 140)
	p.line("thin", point{134, 152}, point{134, 172})
	p.line("thin", point{382, 142}, point{382, 172})
	p.dimension(point{134, 166}, point{382, 166}, "F", point{0, 18})
	p.dimension(point{366, 40}, point{366, 128}, "A", point{-15, -16})
	p.dimension(point{34, 64}, point{34, 104}, "E", point{-17, 0})
	return "An object of known size at a measured distance from the lens", 204
}

func torchBehind(p *pen) (string, float64) {
	const axis = 84
	p.line("axis", point{8, axis}, point{412, axis})
	p.rect("paper", 62, 30, 7, 108)
	p.line("heavy", point{69, 36}, point{69, 132})
	p.circle("solid", point{69, axis}, 3)
	p.path("outline", "M12 74h34l10-6v32l-10-6H12Z")
	p.rect("paper", 196, 30, 5, 108)
	p.barrel(201, axis, 30)
	for _, y := range []float64{-24, -12, 12, 24} {
		p.line("sharp", point{69, axis}, point{205, axis + y}, point{356, axis + y})
	}
	p.rect("paper", 356, 26, 6, 116)
	p.dimension(point{384, axis - 24}, point{384, axis + 24}, "D", point{17, 0})
	p.line("dimension", point{364, axis - 24}, point{392, axis - 24})
	p.line("dimension", point{364, axis + 24}, point{392, axis + 24})
	p.letter(point{30, 46}, "A")
	p.letter(point{88, 20}, "B")
	p.letter(point{228, 22}, "C")
	p.letter(point{338, 22}, "E")
	return "A pinhole in the ground glass, lit from behind, sends a parallel beam out of the lens on to paper", 168
}

func pupilInFront(p *pen) (string, float64) {
	c := point{116, 88}
	for _, r := range []float64{74, 68} {
		p.circle("outline", c, r)
	}
	p.circle("sharp", c, 44)
	p.lying(30, 208, 82)
	p.dimension(point{c.x - 44, 140}, point{c.x + 44, 140}, "D", point{0, 16})
	p.line("dimension", point{c.x - 44, 96}, point{c.x - 44, 146})
	p.line("dimension", point{c.x + 44, 96}, point{c.x + 44, 146})
	p.line("axis", point{226, 88}, point{412, 88})
	p.barrel(232, 88, 26)
	p.rule(288, 44, 132)
	p.eye(point{396, 88}, true)
	p.line("thin", point{300, 66}, point{388, 86})
	p.line("thin", point{300, 110}, point{388, 90})
	p.letter(point{294, 28}, "A")
	p.letter(point{398, 60}, "B")
	return "The opening seen through the front glass, read on a rule held across it from far off", 176
}

func stopPlate(p *pen) (string, float64) {
	// three stops, the tongue by which they are pulled out above
	for i, r := range []float64{40, 26, 15} {
		x := 74 + float64(i)*130
		p.path("paper", "M"+n(x-16)+" 14h32v34c26 6 42 26 42 50a58 58 0 0 1 -116 0c0 -24 16 -44 42 -50Z")
		p.circle("outline", point{x, 100}, r)
		p.line("axis", point{x - r - 8, 100}, point{x + r + 8, 100})
	}
	p.dimension(point{34, 172}, point{114, 172}, "H", point{0, 18})
	p.line("dimension", point{34, 100}, point{34, 178})
	p.line("dimension", point{114, 100}, point{114, 178})
	return "Waterhouse stops, each with its hole", 204
}

func twoEyes(p *pen) (string, float64) {
	const axis = 84
	p.line("axis", point{8, axis}, point{412, axis})
	p.eye(point{26, axis}, false)
	p.eye(point{394, axis}, true)
	p.barrel(188, axis, 34)
	p.line("sharp", point{208, axis - 34}, point{208, axis - 18})
	p.line("sharp", point{208, axis + 18}, point{208, axis + 34})
	p.line("thin", point{394, axis - 4}, point{208, axis - 18})
	p.line("thin", point{394, axis + 4}, point{208, axis + 18})
	p.line("thin", point{26, axis - 4}, point{208, axis - 18})
	p.line("thin", point{26, axis + 4}, point{208, axis + 18})
	p.dimension(point{208, 146}, point{394, 146}, "F", point{0, 17})
	p.dimension(point{26, 146}, point{208, 146}, "F", point{0, 17})
	p.line("dimension", point{208, 128}, point{208, 152})
	p.letter(point{394, 56}, "A")
	p.letter(point{26, 56}, "B")
	return "The same stop looked at through the front and through the rear glass, from equally far", 178
}

func bothSides(p *pen) (string, float64) {
	for _, v := range []struct {
		x, r float64
		l    string
	}{{110, 44, "P"}, {310, 39, "R"}} {
		p.circle("outline", point{v.x, 80}, 66)
		p.circle("outline", point{v.x, 80}, 60)
		p.circle("sharp", point{v.x, 80}, v.r)
		p.dimension(point{v.x - v.r, 160}, point{v.x + v.r, 160}, v.l, point{0, 17})
		p.line("dimension", point{v.x - v.r, 80}, point{v.x - v.r, 166})
		p.line("dimension", point{v.x + v.r, 80}, point{v.x + v.r, 166})
	}
	p.letter(point{30, 22}, "A")
	p.letter(point{390, 22}, "B")
	return "The opening as it looks from the front and from behind", 190
}

func flatWall(p *pen) (string, float64) {
	// From above: a flat target, parallel to the lens board.
	const axis = 92
	p.line("axis", point{8, axis}, point{412, axis})
	p.bellows(60, 150, axis, 46, 36)
	p.line("heavy", point{60, axis - 48}, point{60, axis + 48})
	p.rect("paper", 150, axis-42, 5, 84)
	p.barrel(155, axis, 19)
	p.rect("paper", 372, 14, 10, 156)
	for _, y := range []float64{20, 44, 68, 92, 116, 140, 164} {
		p.line("heavy", point{366, y}, point{372, y})
	}
	p.line("thin", point{205, 92}, point{366, 92})
	p.line("thin", point{205, 92}, point{366, 44})
	p.line("thin", point{60, axis + 34}, point{152, 92})
	p.letter(point{398, 24}, "A")
	p.letter(point{202, 54}, "B")
	p.letter(point{42, 32}, "C")
	return "From above: a flat row of marks on a wall, parallel to the lens board", 184
}

func heightsOnGlass(p *pen) (string, float64) {
	image(p, 20, 18, 190, 140)
	c := point{115, 88}
	for i, x := range []float64{0, 22, 44, 66, 86} {
		q := point{c.x + x, c.y}
		p.line("heavy", point{q.x - 4, q.y}, point{q.x + 4, q.y})
		p.line("heavy", point{q.x, q.y - 4}, point{q.x, q.y + 4})
		if i == 3 {
			p.line("dimension", point{q.x, q.y + 8}, point{q.x, 140})
			p.dimension(point{c.x, 134}, point{q.x, 134}, "H", point{0, -14})
		}
	}
	// two kinds of line at one place: along the radius, and across it
	p.circle("thin", point{318, 56}, 40)
	for _, y := range []float64{-12, 0, 12} {
		p.line("heavy", point{292, 56 + y}, point{344, 56 + y})
	}
	p.letter(point{382, 56}, "R")
	p.circle("thin", point{318, 148}, 40)
	for _, x := range []float64{-12, 0, 12} {
		p.line("heavy", point{318 + x, 122}, point{318 + x, 174})
	}
	p.letter(point{382, 148}, "T")
	p.line("thin", point{201, 84}, point{280, 64})
	p.line("thin", point{201, 92}, point{280, 138})
	return "Marks at several heights on the glass; lines along the radius and lines across it", 196
}

func edgeOnGlass(p *pen) (string, float64) {
	image(p, 60, 16, 300, 150)
	c := point{210, 91}
	p.circle("sharp", c, 62)
	p.path("thin", "M"+n(c.x-112)+" 18A112 112 0 0 0 "+n(c.x-112)+" 164M"+n(c.x+112)+" 18A112 112 0 0 1 "+n(c.x+112)+" 164")
	p.dimension(c, point{c.x + 62, c.y}, "H", point{0, -15})
	p.dimension(point{c.x, 138}, point{c.x + 130, 138}, "L", point{36, -15})
	return "On the glass: how far from the middle definition ends, and how far the light", 184
}

func cone(p *pen) (string, float64) {
	// Along the axis: what is covered is a cone from the lens, so its circle grows with the extension.
	const axis = 92
	p.line("axis", point{8, axis}, point{412, axis})
	p.rect("paper", 84, axis-76, 7, 152)
	p.line("heavy", point{91, axis - 70}, point{91, axis + 70})
	p.line("thin", point{206, axis - 40}, point{206, axis + 40})
	p.rect("paper", 326, axis-56, 5, 112)
	p.barrel(331, axis, 24)
	p.line("sharp", point{91, axis - 52}, point{341, axis}, point{91, axis + 52})
	p.path("dimension", "M251 "+n(axis)+"A90 90 0 0 1 "+n(341-90*math.Cos(math.Atan2(52, 250)))+" "+n(axis-90*math.Sin(math.Atan2(52, 250))))
	p.dimension(point{66, axis}, point{66, axis - 52}, "H", point{-16, 0})
	p.line("dimension", point{60, axis - 52}, point{88, axis - 52})
	p.letter(point{232, axis - 12}, "A")
	p.letter(point{107, 24}, "C")
	return "The cone a lens covers, from the lens to the glass", 184
}

func slantedRule(p *pen) (string, float64) {
	const axis, rail = 92, 156
	p.line("axis", point{8, axis}, point{412, axis})
	camera(p, 56, 140, axis, rail)
	// a rule at 45 degrees, its middle on the axis
	p.path("paper", "M282 "+n(axis+62)+"l114 -114l8 8l-114 114Z")
	for i := range 17 {
		t := 6 * float64(i)
		p.line("thin", point{286 + t, axis + 58 - t}, point{289 + t, axis + 61 - t})
	}
	p.line("sharp", point{340, axis - 20}, point{340, axis + 20})
	p.letter(point{378, 36}, "A")
	p.letter(point{322, 74}, "B")
	p.letter(point{98, 184}, "D")
	p.line("thin", point{58, 164}, point{88, 178})
	return "A rule slanted at half a right angle before the lens", 200
}

func stopInLens(p *pen) (string, float64) {
	const axis = 104
	p.line("axis", point{8, axis}, point{412, axis})
	p.rect("paper", 60, axis-60, 6, 120)
	p.rect("paper", 66, axis-44, 5, 88)
	p.rect("paper", 71, axis-40, 140, 80)
	p.path("paper", "M211 "+n(axis-42)+"l26 -8v100l-26 -8Z")
	p.rect("paper", 128, axis-40, 8, 26)
	p.rect("paper", 128, axis+14, 8, 26)
	p.path("paper", "M126 20h12v42h-12Z")
	p.arrow(point{132, 62}, 0, 1)
	for _, y := range []float64{-14, 14} {
		p.line("sharp", point{14, axis}, point{132, axis + y}, point{300, axis + y})
	}
	p.path("paper", "M338 30h24v30c18 5 32 20 32 40a44 44 0 0 1 -88 0c0 -20 14 -35 32 -40Z")
	p.circle("outline", point{350, 102}, 17)
	p.letter(point{158, 28}, "S")
	p.letter(point{396, 40}, "S")
	return "A stop let into the slot of the lens", 182
}

func steppedCards(p *pen) (string, float64) {
	const axis, rail = 96, 156
	p.line("axis", point{8, axis}, point{412, axis})
	camera(p, 44, 116, axis, rail)
	for i := range 5 {
		x := 256 + 32*float64(i)
		y := 40 + 11*float64(i)
		class := "paper"
		p.rect(class, x-3, y, 6, 150-y)
		if i == 2 {
			p.line("sharp", point{x - 6, y}, point{x - 6, 150})
		}
	}
	p.floor(240, 404, 150)
	p.letter(point{320, 34}, "0")
	p.line("thin", point{320, 46}, point{320, 60})
	p.dimension(point{352, 172}, point{384, 172}, "F", point{0, 17})
	p.line("dimension", point{352, 156}, point{352, 178})
	p.line("dimension", point{384, 156}, point{384, 178})
	p.letter(point{254, 24}, "A")
	return "Numbered cards standing one behind the other; the middle one is focused on", 206
}

func cardPlate(p *pen) (string, float64) {
	p.rect("paper", 90, 12, 240, 150)
	for i := range 5 {
		x := 112 + 42*float64(i)
		p.rect("outline", x, 40, 32, 92)
		switch i {
		case 3: // the sharp one
			for k := range 7 {
				p.line("heavy", point{x + 6, 52 + 11*float64(k)}, point{x + 26, 52 + 11*float64(k)})
			}
			p.letter(point{x + 16, 24}, "B")
		default:
			for k := range 7 {
				p.line("thin", point{x + 4, 52 + 11*float64(k)}, point{x + 28, 52 + 11*float64(k)})
			}
		}
		if i == 2 {
			p.letter(point{x + 16, 146}, "0")
		}
	}
	return "The plate: one card of the row is the sharpest", 176
}

func series(p *pen) (string, float64) {
	x := 40.0
	for _, r := range []float64{34, 24, 17, 12, 8.5} {
		p.circle("paper", point{x + r, 76}, r)
		p.line("axis", point{x + r, 76 - r - 6}, point{x + r, 76 + r + 6})
		x += 2*r + 34
	}
	p.dimension(point{40, 132}, point{108, 132}, "H", point{0, 18})
	p.line("dimension", point{40, 76}, point{40, 138})
	p.line("dimension", point{108, 76}, point{108, 138})
	return "Holes of a series, each passing half the light of the one before", 164
}

func restingImage(p *pen) (string, float64) {
	const axis, ground = 84, 160
	p.line("axis", point{8, axis}, point{412, axis})
	p.rect("paper", 58, 30, 7, 108)
	p.line("heavy", point{65, 36}, point{65, 132})
	p.line("outline", point{61, 138}, point{61, ground})
	// the lens on its slide, turning about an upright axis
	p.barrel(232, axis, 28)
	p.rect("paper", 210, axis+36, 92, 8)
	p.line("axis", point{256, 24}, point{256, ground})
	p.path("paper", "M246 "+n(axis+44)+"h20v"+n(ground-axis-44)+"h-20Z")
	p.path("dimension", "M230 30A34 10 0 0 0 282 30")
	p.arrow(point{282, 30}, 1, -0.6)
	p.arrow(point{230, 30}, -1, -0.6)
	p.line("sharp", point{412, axis - 20}, point{256, axis - 12}, point{65, axis})
	p.line("sharp", point{412, axis + 20}, point{256, axis + 12}, point{65, axis})
	p.floor(40, 320, ground)
	p.dimension(point{65, 148}, point{256, 148}, "F", point{0, -14})
	p.letter(point{268, 16}, "A")
	p.letter(point{300, 46}, "B")
	return "A lens turned to and fro about an upright axis while its image rests on the glass", 176
}
