package shared

import (
	"context"
	"crypto/sha256"
	"encoding/base64"
)

// Light is one of the three ways a screen is shown.
type Light string

// The three lights.
const (
	Day  Light = "day"  // ink on paper
	Lamp Light = "lamp" // bone on black, for a dim room
	Red  Light = "red"  // red channel only, for the dark room
)

// Lights returns the three lights in the order of their buttons.
func Lights() []Light { return []Light{Day, Lamp, Red} }

// ParseLight reads a light's name; ok is false for anything else, and the
// light is then [Day].
func ParseLight(name string) (light Light, ok bool) {
	for _, l := range Lights() {
		if string(l) == name {
			return l, true
		}
	}
	return Day, false
}

// Word is the light's name as its button shows it.
func (l Light) Word() string {
	switch l {
	case Lamp:
		return "Lamp"
	case Red:
		return "Red"
	default:
		return "Day"
	}
}

// scheme is the value of the color-scheme meta tag, which the browser reads
// before any style sheet.
func (l Light) scheme() string {
	if l == Day {
		return "light"
	}
	return "dark"
}

// ground is the colour behind everything, as the browser's own bar is told.
func (l Light) ground() string {
	switch l {
	case Lamp:
		return "#12110F"
	case Red:
		return "#000000"
	default:
		return "#F7F3EA"
	}
}

// FirstPaint is the whole text of the inline style element: what the page
// looks like until the style sheet arrives, or if it never does. In red it
// lays a red sheet over the page that multiplies every colour by pure red, so
// that not even the browser's own plain page lights the other channels.
func (l Light) FirstPaint() string {
	switch l {
	case Lamp:
		return "html{background:#12110F;color:#EFE7D6}"
	case Red:
		return "html{background:#000;color:#f00}" +
			"html::after{content:'';position:fixed;inset:0;z-index:2147483647;background:#f00;mix-blend-mode:multiply;pointer-events:none}" +
			"::-webkit-scrollbar{width:14px;height:14px;background:#000}::-webkit-scrollbar-thumb{background:#700000}" +
			"::-webkit-scrollbar-button{display:none}::-webkit-scrollbar-corner{background:#000}" +
			"@media(hover:none){*{scrollbar-width:none}}"
	default:
		return "html{background:#F7F3EA;color:#1E1B16}"
	}
}

// FirstPaintHash is the source expression that lets [Light.FirstPaint] through
// a content security policy.
func (l Light) FirstPaintHash() string {
	sum := sha256.Sum256([]byte(l.FirstPaint()))
	return "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
}

type lightKey struct{}

// WithLight returns a context whose components are rendered for that light.
func WithLight(ctx context.Context, light Light) context.Context {
	return context.WithValue(ctx, lightKey{}, light)
}

// LightOf returns the light a component is rendered for. Without one it is
// [Day].
func LightOf(ctx context.Context) Light {
	if l, ok := ctx.Value(lightKey{}).(Light); ok {
		return l
	}
	return Day
}
