package look

import (
	"fmt"
	"image"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/math/fixed"
)

// labelled lays a strip with a sentence below the picture.
func labelled(m *image.Gray, s *silver, sentence string) (*image.Gray, error) {
	w, h := m.Rect.Dx(), m.Rect.Dy()
	strip := max(12, min(w, h)/30)
	out := image.NewGray(image.Rect(0, 0, w, h+strip))
	for y := range h {
		copy(out.Pix[y*w:][:w], m.Pix[y*m.Stride:][:w])
	}
	black, white := s.code(s.least), s.code(s.least+0.7*(s.most-s.least))
	for i := w * h; i < len(out.Pix); i++ {
		out.Pix[i] = black
	}
	mask := image.NewAlpha(image.Rect(0, 0, w, strip))
	if err := write(mask, sentence, float64(strip)*0.62); err != nil {
		return nil, err
	}
	for i, a := range mask.Pix {
		out.Pix[w*h+i] = uint8(int(black) + (int(white)-int(black))*int(a)/255)
	}
	return out, nil
}

// write draws a sentence in the middle of a mask, at most as large as it has room.
func write(mask *image.Alpha, sentence string, size float64) error {
	parsed, err := opentype.Parse(goregular.TTF)
	if err != nil {
		return fmt.Errorf("lettering the strip: %w", err)
	}
	room := 0.96 * float64(mask.Rect.Dx())
	for {
		face, err := opentype.NewFace(parsed, &opentype.FaceOptions{Size: size, DPI: 72})
		if err != nil {
			return fmt.Errorf("lettering the strip: %w", err)
		}
		wide := font.MeasureString(face, sentence)
		if over := float64(wide) / 64 / room; over > 1 && size > 3 {
			size = max(3, min(size/over, size-0.5))
			continue
		}
		metrics := face.Metrics()
		middle := (fixed.I(mask.Rect.Dy()) + metrics.Ascent - metrics.Descent) / 2
		d := font.Drawer{Dst: mask, Src: image.Opaque, Face: face, Dot: fixed.Point26_6{X: (fixed.I(mask.Rect.Dx()) - wide) / 2, Y: middle}}
		d.DrawString(sentence)
		return nil
	}
}
