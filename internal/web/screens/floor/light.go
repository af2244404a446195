package floor

import "platewright/internal/web/shared"

// LightChoices are what the part of the light offers.
type LightChoices struct {
	Ways, Kinds, Windows, Weathers, Rigs, Solves []shared.Option
	Plates                                       []shared.Option // judged ones, those most alike first
	PlatesOf                                     string          // what they are alike to
	NoPlace                                      bool            // where the studio stands is not told
}

// Lit is what was reckoned of the light, laid out.
type Lit struct {
	Missing        string // what to say first, and what then follows; empty when nothing is missing
	Href, HrefWord string // where that is said; may be empty

	Chief  *shared.FigureData // of a flash: what is solved for; the seconds are an [Exposure]
	Band   *shared.BandData   // of the chief figure
	Basis  []string           // sentences: the light, the index, what comes between
	Costs  []Figure           // what one stop more costs, each by itself
	Sides  string             // between the two sides of the face; empty when unknown
	Rows   []Figure           // further figures
	Caught []string           // cautions of flash and ultraviolet, the most pressing first

	Day, Year string // addresses of the charts
}

// lightFields are the fields of the light's part.
func lightFields() []written {
	return []written{
		{"light_lx", "Light at the face", "lx", "incident, toward the camera; or 200 fc", false, "third"},
		{"ev", "or as EV at index 100", "EV", "one of the two", false, "ev"},
		{"card_f", "Camera's f-number", "", "as it shows it: f/4", false, ""},
		{"card_t", "Camera's time", "s", "as 1/60", false, ""},
		{"card_iso", "Camera's ISO", "", "the index it is set to", false, ""},
		{"card_r", "Card reflects", "%", "left empty: 18", false, ""},
		{"at_day", "Day", "", "left empty: today", false, ""},
		{"at_time", "Time", "", "left empty: now", false, ""},
		{"window_turn", "Camera, from the window's direction", "°", "left empty: 0, you stand before the window; 90 has it at the sitter's side", false, "five"},
		{"index", "Exposure index", "", "left empty: as found of this collodion in this light, else 1", true, "third"},
		{"seconds", "Seconds", "s", "left empty: as reckoned", false, "half"},
	}
}

// choicesOfLight are the choices of the part, which show themselves what is wrong with them.
var choicesOfLight = []string{"way", "kind", "window", "weather", "rig", "solve", "from_plate"}
