package main

import (
	"io"

	"platewright/internal/paper"
	"platewright/internal/web"
)

// sheetOf is the paper named "letter" or, for anything else, A4.
func sheetOf(name string) paper.Sheet {
	if name == "letter" {
		return paper.Letter
	}
	return paper.A4
}

// card writes a plate's set-up card.
func card(w io.Writer, in web.Card, sheet string) error {
	return paper.SetUpCard(w, paper.CardPage{
		Sheet: sheetOf(sheet), Number: in.Number, Studio: in.Studio, Sitter: in.Sitter, Printed: in.Printed,
		Lens: in.Lens, Stop: in.Stop, Plate: in.Plate, Camera: in.Camera,
		Main: items(in.Main), Front: items(in.Front), Back: items(in.Back), Rest: items(in.Rest),
		FocusOn: in.FocusOn, Support: in.Support, Sharp: items(in.Sharp), Cautions: in.Cautions,
		Side: drawing(in.Side), Above: drawing(in.Above), Face: drawing(in.Face), Code: in.Code,
	})
}

func items(in []web.CardItem) []paper.Item {
	var out []paper.Item
	for _, i := range in {
		out = append(out, paper.Item(i))
	}
	return out
}

func drawing(in web.CardDrawing) paper.Drawing {
	out := paper.Drawing{Name: in.Name, Bar: in.Bar, BarWord: in.BarWord}
	for _, s := range in.Strokes {
		out.Strokes = append(out.Strokes, paper.Stroke{Points: s.Points, Closed: s.Closed, Weight: paper.Weight(s.Weight)})
	}
	for _, w := range in.Words {
		out.Words = append(out.Words, paper.Word(w))
	}
	return out
}

// lensSheet writes a lens's sheet.
func lensSheet(w io.Writer, in web.LensSheet, sheet string) error {
	page := paper.LensPage{
		Sheet: sheetOf(sheet), Studio: in.Studio, Name: in.Name, Form: in.Form, Note: in.Note, Printed: in.Printed, Disagrees: in.Disagrees,
	}
	for _, k := range in.Known {
		page.Known = append(page.Known, paper.Known(k))
	}
	for _, s := range in.Stops {
		page.Stops = append(page.Stops, paper.StopRow(s))
	}
	for _, hole := range in.Holes {
		page.Holes = append(page.Holes, paper.HoleRow(hole))
	}
	for _, r := range in.Readings {
		page.Readings = append(page.Readings, paper.ReadingRow(r))
	}
	for _, g := range in.Graphs {
		graph := paper.Graph{Name: g.Name, XWord: g.XWord, YWord: g.YWord, Line: g.Line, LineWord: g.LineWord, YDown: g.YDown}
		for _, l := range g.More {
			graph.More = append(graph.More, paper.GraphLine(l))
		}
		for _, m := range g.Marks {
			graph.Marks = append(graph.Marks, paper.GraphMark(m))
		}
		page.Graphs = append(page.Graphs, graph)
	}
	return paper.LensSheet(w, page)
}

// brief writes what a sitter may wear.
func brief(w io.Writer, in web.Brief, sheet string) error {
	page := paper.BriefPage{Sheet: sheetOf(sheet), Studio: in.Studio, Light: in.Light, Printed: in.Printed, Ask: in.Ask, Study: in.Study}
	for _, t := range in.Tones {
		page.Tones = append(page.Tones, paper.BriefTone(t))
	}
	return paper.Brief(w, page)
}
