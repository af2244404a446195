package collodion

// The drawn curves, version 1: response per J/m² of iron-developed wet plates at every 10 nm from 300 nm, and one standard
// deviation of the usual one as a factor [PlateNotes2026]. Their shape: constant yield per photon, so a gentle rise
// with the wavelength, times what the film absorbs; below 310 nm film and bath absorb (from memory). Their edges: iodide
// acts from the violet to between Fraunhofer's G and F (430.8 and 486.1 nm), bromide as far but nearly to F only with
// very long exposure and about a tenth as sensitive [SchultzSellack1871], its maximum in the indigo near G and its end
// short of the yellow [Vogel1874]; gaps of the bromide and of the mixed crystal at 462 and 506 nm [SilverGap00].
const (
	knotsFirst = 300.0 // nm
	knotsStep  = 10.0  // nm

	usualShare   = 1.0 / 6 // of bromide in the usual halides
	bromideLevel = 0.1     // sensitivity of bromide alone over the usual film [SchultzSellack1871]
)

var usual = []float64{
	0.35, 0.5, 0.62, 0.7, 0.76, 0.8, 0.83, 0.86, 0.89,
	0.92, 0.95, 0.98, 1, 0.9, 0.58, 0.32, 0.17, 0.09,
	0.045, 0.022, 0.011, 0.0055, 0.0027, 0.0013, 0.0006, 0.0003, 0.00015,
}

// From 530 nm on, where iodide alone sees next to nothing, each figure is half the one before, so that it has a logarithm.
var iodideAlone = []float64{
	0.35, 0.5, 0.62, 0.7, 0.76, 0.8, 0.83, 0.86, 0.89,
	0.92, 0.95, 0.98, 1, 0.8, 0.27, 0.065, 0.016, 0.0042,
	0.0012, 0.0004, 0.00015, 6e-05, 3e-05, 1.5e-05, 7.5e-06, 3.75e-06, 1.875e-06,
}

var bromideAlone = []float64{
	0.4, 0.57, 0.72, 0.83, 0.91, 0.97, 1, 0.99, 0.96,
	0.91, 0.84, 0.74, 0.62, 0.49, 0.36, 0.25, 0.165, 0.1,
	0.058, 0.032, 0.016, 0.008, 0.004, 0.002, 0.001, 0.0005, 0.00025,
}

var usualFactor = []float64{
	3, 2.5, 2, 1.7, 1.5, 1.5, 1.4, 1.4, 1.3,
	1.2, 1.2, 1.2, 1.15, 1.3, 1.6, 2, 2.3, 2.6,
	3, 3.5, 4, 5, 5, 6, 6, 8, 8,
}
