package measure_test

import (
	"fmt"

	"platewright/measure"
)

func ExampleParseLength() {
	for _, text := range []string{"6 1/2 in", "6½\"", "165.1mm", "3 ft 2 in", "1,500 mm"} {
		l, err := measure.ParseLength(text, measure.Millimetre)
		if err != nil {
			fmt.Println(err)
			continue
		}
		fmt.Println(l, "=", l.Format(measure.Imperial))
	}
	// Output:
	// 165.1 mm = 6½ in
	// 165.1 mm = 6½ in
	// 165.1 mm = 6½ in
	// 965.2 mm = 3 ft 2 in
	// length "1,500 mm": 1,500 can be read two ways; write 1.500 or 1500
}

func ExampleParseVolume() {
	for _, sys := range []measure.System{measure.US, measure.Imperial, measure.Metric} {
		v, err := measure.ParseVolume("3 fl oz", measure.Millilitre, sys)
		if err != nil {
			fmt.Println(err)
			continue
		}
		fmt.Println(sys, v)
	}
	// Output:
	// us 88.7206 ml
	// imperial 85.2392 ml
	// volume "3 fl oz": fl oz by itself is not settled in the metric system; write US fl oz (29.57 ml) or imp fl oz (28.41 ml)
}

func ExampleParsePlateSize() {
	p, err := measure.ParsePlateSize("8½ x 6½ in")
	fmt.Println(p, p.Format(measure.Metric), err)
	_, err = measure.ParsePlateSize("13x18")
	fmt.Println(err)
	// Output:
	// whole plate, lying 215.9 × 165.1 mm <nil>
	// plate size "13x18": say the unit: 13 x 18 in, cm or mm
}
