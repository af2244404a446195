package demo

import "platewright/internal/studio"

// remark is what the operator says with a verdict, often nothing.
func (w *world) remark(d *draft) string {
	if !w.chance(0.5) {
		return ""
	}
	var say []string
	switch {
	case d.out.word <= -2:
		say = []string{"one more half as long again", "face sank into the coat", "double it", "only the forehead came up"}
	case d.out.word >= 2:
		say = []string{"cheeks burnt together", "shorter by a third", "no blacks left", "pale all over"}
	case d.fate == studio.Keep:
		say = []string{"the eyes are in it", "this one", "collar a little soft, face good", "better than the last", "coat lost, face right", "sitter likes it"}
	default:
		say = []string{"tone right, the film is not", "pity about the film", "moved a little"}
	}
	return say[w.rng.IntN(len(say))]
}

// note is what the operator writes on a plate in plain words, now and then.
func (w *world) note(d *draft) string {
	seen := make(map[string]bool)
	for _, m := range d.marks {
		seen[m.Appearance] = true
	}
	var about []string
	switch {
	case seen[markFog]:
		about = []string{"Warm in here. Ice bottle in the tray before the next one.", "Fog again; try the developer with more acid, change nothing else."}
	case seen[markOyster] && d.holder == holderWalnut:
		about = []string{"Walnut holder again, same corner. Varnish the wood.", "Blotter under the corners did not help; the holder drips from somewhere."}
	case seen[markComet]:
		about = []string{"Comets: filter the bath tonight.", "Skimmed the bath after this one."}
	case d.bathC < 16:
		about = []string{"Cold bath, stood the tank in warm water.", "Image slow to come; the room is too cold."}
	case w.chance(0.18):
		about = []string{"A cloud came over while I counted.", "She breathed in just then.", "Chair creaked, moved the head rest up one notch.",
			"Refocused after the holder went in: it was needed.", "White card closer by a hand.", "Water from the new can, same as before.",
			"Lost a drop of developer off the edge; filled up at once.", "Third plate is the one, as always."}
	}
	if len(about) == 0 || !w.chance(0.75) {
		return ""
	}
	return about[w.rng.IntN(len(about))]
}
