package scene_test

import (
	"fmt"

	"platewright/measure"
	"platewright/optics"
	"platewright/pose"
	"platewright/scene"
)

// A tight head on 8x10, turned a little, in an old portrait lens: what of it will be sharp.
func Example() {
	body, err := pose.BodyOf(pose.Adult, 50)
	if err != nil {
		fmt.Println(err)
		return
	}
	figure, err := pose.Pose{Body: body, Turn: 10 * measure.Degree, Seat: 450}.Figure()
	if err != nil {
		fmt.Println(err)
		return
	}
	shot := scene.Shot{
		Setup: optics.Setup{
			Lens:    optics.Lens{Focal: 450, Stop: 4.5, PupilMag: 1},
			Camera:  optics.Camera{Focal: 450, Extension: 640},
			Plate:   measure.PlateSize{Width: 203.2, Height: 254},
			Surface: optics.Even(optics.CurveOfRadius(540)),
		},
		Figure: figure,
		Blur:   0.1,
	}
	if shot, err = shot.Focused(1500); err != nil {
		fmt.Println(err)
		return
	}
	marks, err := shot.Landmarks()
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, m := range marks[:5] {
		fmt.Printf("%-9s %.2f mm %s\n", m.Name, float64(m.Blur), m.State)
	}
	// Output:
	// right eye 0.00 mm sharp
	// left eye  0.31 mm gone
	// nose tip  0.55 mm gone
	// lips      0.08 mm sharp
	// chin      0.41 mm gone
}
