package reckon_test

import "testing"

// The whole way of a question on one core, as in GOMAXPROCS=1 go test ./reckon -bench Batch.

func BenchmarkBatchFocus(b *testing.B) {
	benchmarkBatch(b, "focus",
		`{"focal_mm":300,"f_number":4,"plate":"whole plate","distance_mm":3000}`,
		`{"focal_mm":210,"f_number":3.6,"plate":{"width_mm":165,"height_mm":216},"magnification":0.25,"blur_mm":0.1}`,
		`{"focal_mm":420,"pupil_mm":80,"plate":"8x10","frame_height_mm":900,"viewing_mm":400}`)
}

func BenchmarkBatchPlane(b *testing.B) {
	benchmarkBatch(b, "plane",
		`{"focal_mm":300,"points_mm":[[0,0,3000],[500,0,2800],[0,500,3100]],"move":"back"}`,
		`{"focal_mm":300,"points_mm":[[0,0,3000],[500,0,2800],[0,500,3100]],"move":"front"}`)
}

func BenchmarkBatchSeconds(b *testing.B) { benchmarkBatch(b, "seconds") }

func BenchmarkBatchMix(b *testing.B) { benchmarkBatch(b, "mix") }
