package study_test

import (
	"testing"

	"platewright/study"
)

func BenchmarkPlate(b *testing.B) {
	for i := range b.N {
		if _, err := (study.Study{Seed: uint64(i), Width: 900, Height: 1100}).Plate(); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkCopyPhotograph(b *testing.B) {
	plate, err := study.Study{Seed: 1, Width: 900, Height: 1100}.Plate()
	if err != nil {
		b.Fatal(err)
	}
	b.ResetTimer()
	for range b.N {
		if _, err := study.CopyPhotograph(plate, study.Copy{Width: 900, Height: 1100, Long: 139.7}); err != nil {
			b.Fatal(err)
		}
	}
}
