// Package colour tells how surfaces come out on a wet collodion plate, from measured reflectances or from a camera's
// colours.
//
// The plate answers to violet, blue and ultraviolet; a camera's colours hold the first two only roughly and the last
// not at all. What a surface sends back of the plate's light, its actinic reflectance, is integrated exactly for the
// 63 surfaces whose spectra are built in ([Surfaces], [Sight.Actinic]). For any other it is told from the colour in
// linear sRGB by a law fitted to those 63 in one light, [Fit]:
//
//	share = K (blue + f)^p (greatest + f)^q
//
// Over the 63, under D55, it errs by 0.29 stop rms, and by 0.31 when each surface is told without itself; the table of
// all routes that were tried is a test. No law knows what the camera cannot see, so a person may say what a surface is
// made of, [Material], and a band goes with every value.
//
// [Folded] is the law as two look-ups for a pixel. [Judge] adds the plate's curve and puts the result in words, next to
// how the eye sees the surface. [Wardrobe] lists common things.
//
// A colour means one photographed in daylight with its white right. In a shadow, beside a coloured wall or under a lamp
// the camera's colour is not that of the surface, and nothing here can tell.
package colour
