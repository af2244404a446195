package colour

import "fmt"

// Thing is something of the sitter's or of the studio's with its usual colour, to begin from.
type Thing struct {
	Name     string
	Group    string // cloth, lips, hair, skin, iris, spectacles, paper
	Colour   RGB
	Material Material
	Surface  string // name of the measured surface; empty when the colour is only typical
	Basis    string
}

const typicalColour = "typical colour, an assumption: pick the real one from a picture"

// Wardrobe returns common things: cloths, lips, hair, skin, irises, spectacle lenses and background papers. Where a
// measured surface stands for one it is named; all other colours are typical ones, assumed.
func Wardrobe() []Thing {
	var out []Thing
	measured := func(group string, m Material, names ...string) {
		for _, name := range names {
			s, err := SurfaceNamed(name)
			if err != nil {
				panic("the wardrobe names no surface: " + err.Error())
			}
			out = append(out, Thing{name, group, Of(s.Reflectance), m, name, "measured: " + s.From})
		}
	}
	assumed := func(group string, m Material, rows ...[2]string) {
		for _, r := range rows {
			c, err := ParseRGB(r[1])
			if err != nil {
				panic("the wardrobe names no colour: " + err.Error())
			}
			out = append(out, Thing{r[0], group, c, m, "", typicalColour})
		}
	}
	measured("cloth", Brightened, "white cotton")
	measured("cloth", None, "yellow terrycloth", "red nylon", "green nylon", "blue nylon", "black polyester pile", "dark green polyester pile")
	assumed("cloth", Brightened, [2]string{"white shirt", "#f4f5f8"})
	assumed("cloth", Natural, [2]string{"undyed wool", "#e4dcc8"})
	assumed("cloth", None, [2]string{"red scarf", "#b0182a"}, [2]string{"burgundy wool", "#5a1a26"}, [2]string{"orange knitwear", "#d9702a"},
		[2]string{"mustard wool", "#b8892b"}, [2]string{"yellow silk", "#e8c63a"}, [2]string{"olive linen", "#6d6b3c"}, [2]string{"bottle green velvet", "#1f4033"},
		[2]string{"light blue shirt", "#a9c4e4"}, [2]string{"blue denim", "#44597c"}, [2]string{"navy suit", "#222b44"}, [2]string{"violet silk", "#6a4a8c"},
		[2]string{"pink cotton", "#e3a3ad"}, [2]string{"brown tweed", "#6b5138"}, [2]string{"grey flannel", "#7d7f82"}, [2]string{"black suit", "#1c1c1f"})
	assumed("lips", OfSkin, [2]string{"bare lips", "#b26a62"})
	assumed("lips", None, [2]string{"red lipstick", "#a3152b"}, [2]string{"coral lipstick", "#d8604f"}, [2]string{"rose lipstick", "#b5586b"}, [2]string{"plum lipstick", "#5e2340"})
	assumed("hair", None, [2]string{"black hair", "#1b1715"}, [2]string{"dark brown hair", "#3a2a20"}, [2]string{"brown hair", "#5c4230"},
		[2]string{"red hair", "#8a4526"}, [2]string{"blond hair", "#b8955f"}, [2]string{"grey hair", "#9a9894"}, [2]string{"white hair", "#dcd9d2"})
	for _, s := range Surfaces() {
		if s.Subjects > 1 {
			measured("skin", OfSkin, s.Name)
		}
	}
	assumed("skin", OfSkin, [2]string{"freckle on light skin", "#9c6a4a"}, [2]string{"blush on light skin", "#c97f72"})
	assumed("skin", Sunscreen, [2]string{"light skin with sunscreen", "#c99c82"})
	assumed("iris", None, [2]string{"blue eyes", "#6f8fb4"}, [2]string{"grey eyes", "#7f8a92"}, [2]string{"green eyes", "#74805a"},
		[2]string{"hazel eyes", "#7a6238"}, [2]string{"brown eyes", "#4b2f1e"})
	assumed("spectacles", OfSkin, [2]string{"light skin behind clear lenses", "#c99c82"})
	assumed("spectacles", Spectacles, [2]string{"light skin behind UV-blocking lenses", "#c99c82"})
	measured("paper", None, "brown cardboard", "pine wood")
	assumed("paper", None, [2]string{"white background paper", "#eeeeea"}, [2]string{"grey background paper", "#8c8d8f"}, [2]string{"black background paper", "#26262a"},
		[2]string{"cream background paper", "#e9dcbb"}, [2]string{"sky blue background paper", "#8db4dc"}, [2]string{"brown background paper", "#7c5a41"})
	return out
}

// ThingNamed returns the common thing of that name.
func ThingNamed(name string) (Thing, error) {
	var names []string
	for _, t := range Wardrobe() {
		if t.Name == name {
			return t, nil
		}
		names = append(names, t.Name)
	}
	return Thing{}, fmt.Errorf("no common thing is called %q; there are %q", name, names)
}

// Value returns how the thing comes out: integrated when it was measured, told from its colour when not.
func (t Thing) Value(j *Judge) (Value, error) {
	if t.Surface == "" {
		return j.Colour(t.Colour, t.Material)
	}
	s, err := SurfaceNamed(t.Surface)
	if err != nil {
		return Value{}, err
	}
	return j.Surface(s)
}
