package reckon

// all lists the reckonings in the order in which people read them. Each is defined in a file of its
// own name.
func all() []*Reckoning {
	return []*Reckoning{
		focus(),
		plane(),
		sharpness(),
		stillness(),
		choose(),
		seconds(),
		sun(),
		daylight(),
		actinic(),
		flashReckoning(),
		values(),
		plateCurve(),
		mix(),
		benchReckoning(),
	}
}
