package bench

// FitLine fits y = a + b x with an error of its own on each x and y, for the check against a published fit.
func FitLine(x, y, sx, sy []float64) (a, b, sa, sb, chiSquare float64, err error) {
	p := problem{unknowns: []unknown{{y[0], 1}, {(y[len(y)-1] - y[0]) / (x[len(x)-1] - x[0]), 1}}}
	for i := range x {
		p.readings = append(p.readings, observation{y: y[i], read: []measured{{y[i], sy[i]}, {x[i], sx[i]}},
			miss: func(u, read []float64) float64 { return read[0] - u[0] - u[1]*read[1] }})
	}
	f, err := p.solve()
	if err != nil {
		return 0, 0, 0, 0, 0, err
	}
	first, second := f.of(func(u []float64) float64 { return u[0] }), f.of(func(u []float64) float64 { return u[1] })
	return first.value, second.value, first.sd, second.sd, f.square, nil
}
