package flash

// Weights of the limits for eye and skin, 300 to 700 nm at 5 nm, of the peak or of the unit of the standard.

// actinicUV returns S, how the eye and the skin are inflamed, from 300 to 400 nm [ICNIRP2004], from memory; it is nothing
// beyond.
func actinicUV() []float64 {
	return []float64{
		0.3, 0.06, 0.015, 0.003, 0.001, 0.0005, 0.00041, 0.00034, 0.00028, 0.00024, 0.0002, 0.00016,
		0.00013, 0.00011, 9.3e-05, 7.7e-05, 6.4e-05, 5.3e-05, 4.4e-05, 3.6e-05, 3e-05,
	}
}

// blueHazard returns B, how the retina is harmed by light it cannot feel as heat, from 300 to 700 nm [IEC62471]; below
// 380 nm from memory.
func blueHazard() []float64 {
	return []float64{
		0.01, 0.01, 0.01, 0.01, 0.01, 0.01, 0.01, 0.01, 0.01, 0.01, 0.01, 0.01,
		0.01, 0.01, 0.01, 0.01, 0.01, 0.013, 0.025, 0.05, 0.1, 0.2, 0.4, 0.8,
		0.9, 0.95, 0.98, 1, 1, 0.97, 0.94, 0.9, 0.8, 0.7, 0.62, 0.55,
		0.45, 0.4, 0.22, 0.16, 0.1, 0.07943, 0.0631, 0.05012, 0.03981, 0.03162, 0.02512, 0.01995,
		0.01585, 0.01259, 0.01, 0.007943, 0.00631, 0.005012, 0.003981, 0.003162, 0.002512, 0.001995, 0.001585, 0.001259,
		0.001, 0.001, 0.001, 0.001, 0.001, 0.001, 0.001, 0.001, 0.001, 0.001, 0.001, 0.001,
		0.001, 0.001, 0.001, 0.001, 0.001, 0.001, 0.001, 0.001, 0.001,
	}
}
