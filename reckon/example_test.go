package reckon_test

import (
	"fmt"
	"strings"

	"platewright/reckon"
)

// A question is asked by name, as JSON, and is answered or refused with a reason.
func Example() {
	seconds, _ := reckon.New().Lookup("seconds")
	answer, err := seconds.Answer([]byte(`{"ev100": 1, "exposure_index": 100, "f_number": 4}`))
	start, _, _ := strings.Cut(string(answer), `,"plate_lxs"`)
	fmt.Println(start, err)
	_, err = seconds.Answer([]byte(`{"ev100": 1, "exposure_index": 100, "f_number": 0}`))
	fmt.Println(err)
	// Output:
	// {"seconds":8,"band_s":[7.68,12.8] <nil>
	// f_number is 0; allowed is 0.5 to 512
}
