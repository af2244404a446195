package reckon

import "platewright/measure"

// Plate is how a question names a plate: a trade size or its sides.
type Plate struct {
	Either
	Named *string     `doc:"a trade size (whole plate, half plate, 4x5; upright unless \"lying\" follows) or two sides with a unit (165x216 mm)"`
	Sides *PlateSides `doc:"the plate as it lies in the camera"`

	size measure.PlateSize
}

// PlateSides are the sides of a plate as it lies in the camera.
type PlateSides struct {
	WidthMm  float64 `json:"width_mm" range:"[10,1000]" doc:"across"`
	HeightMm float64 `json:"height_mm" range:"[10,1000]" doc:"up"`
}

// Check finds the size that was named.
func (p *Plate) Check() (err error) {
	if p.Named != nil {
		p.size, err = measure.ParsePlateSize(*p.Named)
		return err
	}
	p.size, err = measure.NewPlateSize(measure.Length(p.Sides.WidthMm), measure.Length(p.Sides.HeightMm))
	return err
}

// Size returns the size of a plate that was read from a question.
func (p Plate) Size() measure.PlateSize { return p.size }
