// Package collodion is the wet plate's film: what light it sees, how fast it is, what silver an exposure leaves, and
// what age makes of all that.
//
// No measured curve of a wet plate was found in print, neither of its sight nor of its tones. What stands here is
// drawn between the facts that print does give, is kept as data with a version, carries its own uncertainty, and is
// made to be replaced by the studio's own plates: [Sensitivity.FitPairs] turns paired plates into two numbers,
// [Index] keeps a speed with the kind of light in which it was found, [Curve] takes a studio's own ends and slope.
//
// Wavelengths are in nm, responses per J/m² and relative, exposures in stops or over that of a metered mid-tone,
// reflectances from 0 to 1 beside a white that sends all light back. Nothing here says that a light harms nobody.
package collodion
