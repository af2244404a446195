package measure

import "math"

// PlateSize is the size of a plate as it lies in the camera, width across and height up.
type PlateSize struct {
	Name   string // trade name, empty for a size given by figures
	Width  Length
	Height Length
}

// Diagonal returns the diagonal of the plate.
func (p PlateSize) Diagonal() Length {
	return Length(math.Hypot(float64(p.Width), float64(p.Height)))
}

// LongSide returns the longer of the two sides.
func (p PlateSize) LongSide() Length { return max(p.Width, p.Height) }

// ShortSide returns the shorter of the two sides.
func (p PlateSize) ShortSide() Length { return min(p.Width, p.Height) }

// Turned returns the plate turned by a quarter: upright becomes lying.
func (p PlateSize) Turned() PlateSize {
	return PlateSize{Name: p.Name, Width: p.Height, Height: p.Width}
}
