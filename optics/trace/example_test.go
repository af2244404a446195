package trace_test

import (
	"fmt"

	"platewright/optics/trace"
)

// What a form says of an unmarked portrait lens of 450 mm, focused at f/3.6 and exposed at f/8 on a head at
// magnification 0.43.
func ExampleForm_Figures() {
	form, err := trace.FormOf("portrait-1840")
	if err != nil {
		fmt.Println(err)
		return
	}
	g, err := form.Figures(trace.Use{Focal: 450, Stop: 8, Magnification: 0.43})
	if err != nil {
		fmt.Println(err)
		return
	}
	shift, err := g.At(3.6)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(g.Basis)
	fmt.Printf("60 mm from the middle of the plate the sagittal focus lies %.1f mm nearer the lens, the tangential %.1f mm farther\n",
		float64(g.Surface.Sagittal.Nearer(60)), -float64(g.Surface.Tangential.Nearer(60)))
	fmt.Printf("wide open the best focus lies %.1f mm before the one of the middle of the lens\n", -float64(shift))
	// Output:
	// of the form (portrait form, 1840), not of this lens
	// 60 mm from the middle of the plate the sagittal focus lies 0.7 mm nearer the lens, the tangential 4.9 mm farther
	// wide open the best focus lies 2.9 mm before the one of the middle of the lens
}
