package study

// Scene is the light on the plate before it is mirrored, row by row.
func (s Study) Scene() ([]float32, error) {
	if err := s.check(); err != nil {
		return nil, err
	}
	return s.scene(), nil
}

// Tone is the plate's curve.
func Tone(light, stops float64) float64 { return tone(light, stops) }

// Shown returns the luminances at which the ends of the plate's curve are shown, and the light at its middle.
func Shown() (black, white, middle float64) { return shown(0), shown(1), middleLight }

// FaceAt returns how a place of the sitter's face reflects; x and y in mm from between the eyes.
func FaceAt(seed uint64, x, y float64) float64 {
	return newSitter(seed).skinAt(vec{x, y, 85}, vec{0, 0, 1}).albedo
}
