package trace_test

import (
	"testing"

	"platewright/measure"
	"platewright/optics/trace"
)

// BenchmarkTrace sends skew rays through the eight surfaces of the portrait form of 1840.
func BenchmarkTrace(b *testing.B) {
	o := in(b, "portrait-1840")
	r := trace.Ray{X: 5, Y: -2, M: 0.17, N: 0.985}
	for b.Loop() {
		if _, err := o.Trace(r); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "rays/s")
}

// BenchmarkBundle aims rays at the stop of the same lens from a sitter at two metres, 10° off the axis.
func BenchmarkBundle(b *testing.B) {
	o := must(must(form(b, "portrait-1840").Scaled(450))(b).In(trace.Visual))(b)
	w := work(b, o, trace.Conditions{Stop: 4.5, Distance: 2000})
	const rings = 16
	for b.Loop() {
		if _, err := w.Bundle(10*measure.Degree, rings); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(b.N)*rings*2*rings/b.Elapsed().Seconds(), "rays/s")
}

// BenchmarkFigures asks what a form says of one lens at one distance, as a screen does while one drags.
func BenchmarkFigures(b *testing.B) {
	for _, f := range trace.Forms() {
		b.Run(f.Key, func(b *testing.B) {
			for b.Loop() {
				if _, err := f.Figures(trace.Use{Focal: 450, Stop: 11, Magnification: 0.3}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
