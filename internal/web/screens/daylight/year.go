package daylight

import "strconv"

// DrawYear draws the grid of a year: months down and hours across on the wide sheet, the other way round on the narrow
// one.
func DrawYear(g Grid, red bool) [2]string {
	return [2]string{drawYear(g, sheets(red)[0], red), drawYear(g, sheets(red)[1], red)}
}

func drawYear(g Grid, at sheet, red bool) string {
	var p pen
	hours := g.To - g.From
	lying := at.class == "wide"
	across, down := hours, len(g.Months)
	if !lying {
		across, down = down, across
	}
	top := 1.8 * at.letter
	cell := (at.wide - at.left - at.right) / float64(max(across, 1))
	high := min(cell, 34)
	if lying {
		high = min(max(cell, 26), 34)
	}
	high = max(high, at.letter*1.05)
	every := 1
	for cell*float64(every) < 1.3*at.letter {
		every++
	}
	for i := range across {
		words := ""
		switch {
		case !lying && red && i%2 == 1:
		case !lying:
			words = g.Months[i].Short
		case i%every == 0:
			words = strconv.Itoa(g.From + i)
		}
		x := at.left + float64(i)*cell
		if !lying {
			x += cell / 2
		}
		p.text("figure", x, top-0.75*at.letter, "middle", words)
	}
	for j := range down {
		y := top + float64(j)*high
		words := ""
		if lying {
			words = g.Months[j].Word[:3]
		} else {
			words = strconv.Itoa(g.From+j) + " h"
		}
		p.text("figure", at.left-8, y+high/2, "end", words)
		for i := range across {
			month, hour := j, i
			if !lying {
				month, hour = i, j
			}
			c := g.Months[month].Hours[hour]
			p.cell(c, at.left+float64(i)*cell, y, cell, high, !red)
		}
	}
	return p.element("year "+at.class, g.Said, at.wide, top+float64(down)*high+8)
}

// cell draws an hour of a month: blank in the dark, a dot where it is too long, hatched the closer the quicker, crossed
// where it is too short.
func (p *pen) cell(c Cell, x, y, w, h float64, figures bool) {
	p.rect("cell", x, y, w, h)
	switch c.Class {
	case Dark:
		p.rect("night", x+1, y+1, w-2, h-2)
		return
	case Long:
		p.raw(`<circle class="dot" cx="`, n(x+w/2), `" cy="`, n(y+h-3.5), `" r="1.6"></circle>`)
	case Slow:
		p.hatch("slow", x+1, y+1, w-2, h-2, 9, false)
	case Quick:
		p.hatch("quick", x+1, y+1, w-2, h-2, 4.5, false)
	case TooFast:
		p.hatch("quick", x+1, y+1, w-2, h-2, 6, false)
		p.hatch("quick", x+1, y+1, w-2, h-2, 6, true)
	}
	if figures && c.Seconds < 99.5 {
		p.text("seconds", x+w/2, y+h/2, "middle", trade(c.Seconds))
	}
}
