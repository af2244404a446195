package daylight

import (
	"math"
	"strconv"
	"strings"
)

// sheet is the size of a drawing and of what is written on it.
type sheet struct {
	class              string
	wide               float64
	left, right        float64 // room beside the hours
	letter             float64 // height of a letter
	seconds, lux, lane float64 // heights of the parts
}

// sheets are the wide and the narrow one, in each light: in red the letters are larger.
func sheets(red bool) [2]sheet {
	wide := sheet{"wide", 800, 66, 14, 15, 230, 96, 30}
	narrow := sheet{"narrow", 400, 52, 8, 17, 210, 90, 34}
	if red {
		wide.left, wide.letter, wide.seconds, wide.lux, wide.lane = 104, 31, 260, 150, 46
		narrow.left, narrow.letter, narrow.seconds, narrow.lux, narrow.lane = 96, 34, 250, 150, 52
	}
	return [2]sheet{wide, narrow}
}

// DrawDay draws the strip of a day on the wide and on the narrow sheet.
func DrawDay(s Strip, red bool) [2]string {
	var both [2]string
	for i, at := range sheets(red) {
		both[i] = drawDay(s, at)
	}
	return both
}

type dayPen struct {
	pen
	sheet
	s Strip
}

func drawDay(s Strip, at sheet) string {
	p := &dayPen{sheet: at, s: s}
	y := p.letter + 6
	y = p.sun(y)
	top := y
	y = p.times(y)
	y = p.lights(y)
	y = p.uses(y)
	y = p.hours(y, top)
	y = p.bars(y)
	p.now(top, y)
	return p.element(p.class, s.Said, p.wide, y+6)
}

func (p *dayPen) x(hour float64) float64 {
	return p.left + (p.wide-p.left-p.right)*(hour-p.s.From)/(p.s.To-p.s.From)
}

// sun draws when the sun is up, hatched while it falls on the face.
func (p *dayPen) sun(y float64) float64 {
	high := 0.7 * p.letter
	p.text("word", p.left-8, y+high/2, "end", "sun")
	for _, up := range p.s.Up {
		from, to := max(up[0], p.s.From), min(up[1], p.s.To)
		if to > from {
			p.rect("up", p.x(from), y, p.x(to)-p.x(from), high)
		}
	}
	for _, on := range p.s.OnFace {
		p.hatch("on-face", p.x(on[0]), y, p.x(on[1])-p.x(on[0]), high, 6, false)
	}
	return y + high + 0.9*p.letter
}

// ratio maps values by ratio onto a height; y runs down.
type ratio struct{ low, high, top, bottom float64 }

func (r ratio) y(v float64) float64 {
	share := math.Log(v/r.low) / math.Log(r.high/r.low)
	return r.bottom - min(1, max(0, share))*(r.bottom-r.top)
}

// times draws the seconds: the wanted between the limits, both courses with their bands.
func (p *dayPen) times(y float64) float64 {
	r := ratio{1. / 16, 256, y, y + p.seconds}
	r.low, r.high = p.span()
	every := 1
	for math.Log2(r.high/r.low)/float64(every)*(p.letter+4) > p.seconds {
		every++
	}
	for k, v := 0, r.low; v <= r.high*1.001; k, v = k+1, v*2 {
		p.path("rule", "M"+n(p.left)+" "+n(r.y(v))+"H"+n(p.wide-p.right))
		if k%every == 0 {
			p.text("figure", p.left-8, r.y(v), "end", fraction(v)+" s")
		}
	}
	least, longest := max(p.s.Least, r.low), min(p.s.Longest, r.high)
	for _, v := range []float64{p.s.Least, p.s.Longest} {
		if v > r.low && v < r.high {
			p.path("limit", "M"+n(p.left)+" "+n(r.y(v))+"H"+n(p.wide-p.right))
		}
	}
	if longest > least {
		p.rect("wanted", p.left, r.y(longest), p.wide-p.left-p.right, r.y(least)-r.y(longest))
	}
	p.band("band-covered", p.s.Covered, r, true)
	p.band("band-clear", p.s.Clear, r, false)
	p.course("covered", p.s.Covered, func(q Point) float64 { return q.Seconds }, r)
	p.course("clear", p.s.Clear, func(q Point) float64 { return q.Seconds }, r)
	return y + p.seconds + 1.7*p.letter
}

// span is what is drawn of the seconds: the limits with room, and what of the courses lies near them.
func (p *dayPen) span() (low, high float64) {
	least, most := p.s.Least, p.s.Longest
	for _, c := range []Course{p.s.Clear, p.s.Covered} {
		for _, q := range c.Points {
			if q.Seconds > 0 {
				least, most = min(least, q.Seconds), max(most, q.Seconds)
			}
		}
	}
	low = math.Exp2(math.Floor(math.Log2(max(least, p.s.Least/16))))
	high = math.Exp2(math.Ceil(math.Log2(min(most, p.s.Longest*16))))
	return low, max(high, 4*low)
}

// fraction writes a power of two of seconds.
func fraction(v float64) string {
	if v < 0.99 {
		return "1/" + strconv.Itoa(int(math.Round(1/v)))
	}
	return strconv.Itoa(int(math.Round(v)))
}

// band draws between the ends of a course: as an area, or as uprights from end to end.
func (p *dayPen) band(class string, c Course, r ratio, uprights bool) {
	var ahead, back strings.Builder
	var points []Point
	for _, q := range c.Points {
		if q.Seconds > 0 && q.Low < r.high && q.High > r.low {
			points = append(points, q)
		}
	}
	if uprights {
		for _, q := range points {
			if top, bottom := r.y(q.High), r.y(q.Low); bottom-top > 1 {
				ahead.WriteString("M" + n(p.x(q.Hour)) + " " + n(top) + "V" + n(bottom))
			}
		}
		if ahead.Len() > 0 {
			p.path(class, ahead.String())
		}
		return
	}
	if len(points) < 2 {
		return
	}
	for i, q := range points {
		ahead.WriteString(map[bool]string{true: "M", false: "L"}[i == 0] + n(p.x(q.Hour)) + " " + n(r.y(q.High)))
	}
	for i := len(points) - 1; i >= 0; i-- {
		back.WriteString("L" + n(p.x(points[i].Hour)) + " " + n(r.y(points[i].Low)))
	}
	p.path(class, ahead.String()+back.String()+"Z")
}

// course draws a line through what of a course lies on the sheet.
func (p *dayPen) course(class string, c Course, value func(Point) float64, r ratio) {
	var d strings.Builder
	on := false
	for _, q := range c.Points {
		v := value(q)
		if !(v >= r.low*0.999 && v <= r.high*1.001) {
			on = false
			continue
		}
		d.WriteString(map[bool]string{true: "L", false: "M"}[on] + n(p.x(q.Hour)) + " " + n(r.y(v)))
		on = true
	}
	if d.Len() > 0 {
		p.path(class, d.String())
	}
}

// lights draws the light in lux.
func (p *dayPen) lights(y float64) float64 {
	least, most := math.Inf(1), 0.0
	for _, c := range []Course{p.s.Clear, p.s.Covered} {
		for _, q := range c.Points {
			if q.Lux >= 1 {
				least, most = min(least, q.Lux), max(most, q.Lux)
			}
		}
	}
	if most == 0 {
		return y
	}
	r := ratio{math.Pow(10, math.Floor(math.Log10(least))), math.Pow(10, math.Ceil(math.Log10(most))), y, y + p.lux}
	r.high = max(r.high, 10*r.low)
	every := 1
	for math.Log10(r.high/r.low)/float64(every)*(p.letter+4) > p.lux {
		every++
	}
	for k, v := 0, r.low; v <= r.high*1.001; k, v = k+1, v*10 {
		p.path("rule", "M"+n(p.left)+" "+n(r.y(v))+"H"+n(p.wide-p.right))
		if k%every == 0 {
			p.text("figure", p.left-8, r.y(v), "end", lux(v))
		}
	}
	p.course("covered", p.s.Covered, func(q Point) float64 { return q.Lux }, r)
	p.course("clear", p.s.Clear, func(q Point) float64 { return q.Lux }, r)
	return y + p.lux + p.letter
}

// lux writes a power of ten of lux.
func lux(v float64) string {
	if v >= 1000 {
		return strconv.Itoa(int(math.Round(v/1000))) + "k lx"
	}
	return strconv.Itoa(int(math.Round(v))) + " lx"
}

// uses draws the hours of use under either sky.
func (p *dayPen) uses(y float64) float64 {
	high := 0.8 * p.letter
	for _, row := range []struct {
		word, class string
		use         [][2]float64
	}{{"clear", "use-clear", p.s.Clear.Use}, {"covered", "use-covered", p.s.Covered.Use}} {
		word := row.word
		if p.class == "narrow" {
			word = map[string]string{"clear": "clear", "covered": "cloud"}[word]
		}
		p.text("word", p.left-8, y+high/2, "end", word)
		p.path("rule", "M"+n(p.left)+" "+n(y+high)+"H"+n(p.wide-p.right))
		for _, u := range row.use {
			p.rect(row.class, p.x(u[0]), y, p.x(u[1])-p.x(u[0]), high)
			if row.class == "use-covered" {
				p.hatch("use-hatch", p.x(u[0]), y, p.x(u[1])-p.x(u[0]), high, 7, true)
			}
		}
		y += high + 0.6*p.letter
	}
	return y
}

// hours draws the ruler of hours.
func (p *dayPen) hours(y, top float64) float64 {
	p.path("base", "M"+n(p.left)+" "+n(y)+"H"+n(p.wide-p.right))
	each := (p.wide - p.left - p.right) / (p.s.To - p.s.From)
	every := 1
	for each*float64(every) < 1.7*p.letter {
		every++
	}
	for h := int(math.Ceil(p.s.From)); float64(h) <= p.s.To; h++ {
		x := p.x(float64(h))
		p.path("upright", "M"+n(x)+" "+n(top)+"V"+n(y))
		p.path("tick", "M"+n(x)+" "+n(y)+"v8")
		if h%every == 0 {
			p.text("figure", x, y+12+p.letter/2, "middle", strconv.Itoa(h))
		}
	}
	return y + 16 + 1.2*p.letter
}

// bars draws the sittings, those at one time one under the other.
func (p *dayPen) bars(y float64) float64 {
	var free []float64
	for _, b := range p.s.Bars {
		from, to := max(b.From, p.s.From), min(b.To, p.s.To)
		if !(to > from) {
			continue
		}
		lane := 0
		for lane < len(free) && free[lane] > from+1e-9 {
			lane++
		}
		if lane == len(free) {
			free = append(free, 0)
		}
		free[lane] = to
		at, class := y+float64(lane)*p.lane, "sitting"
		if b.CalledOff {
			class += " off"
		}
		p.rect(class, p.x(from), at, p.x(to)-p.x(from), p.lane-6)
		room := p.x(to) - p.x(from) - 10
		if most := int(room / (0.52 * p.letter)); most > 2 {
			name := []rune(b.Name)
			if len(name) > most {
				name = append(name[:most-1], '…')
			}
			p.text("who", p.x(from)+6, at+(p.lane-6)/2, "start", string(name))
		}
	}
	return y + float64(len(free))*p.lane
}

// now draws the present moment.
func (p *dayPen) now(top, bottom float64) {
	if p.s.Now < p.s.From || p.s.Now > p.s.To {
		return
	}
	x := p.x(p.s.Now)
	p.path("now", "M"+n(x)+" "+n(top-8)+"V"+n(bottom))
	p.path("now-point", "M"+n(x-6)+" "+n(top-18)+"h12l-6 11z")
}
