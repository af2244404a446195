package chemistry_test

import (
	"math"
	"slices"
	"testing"

	"platewright/chemistry"
	"platewright/measure"
)

// published: molar masses as the handbook prints them, to two decimals, from memory [CRC95].
func TestMolarMass(t *testing.T) {
	for _, tt := range []struct {
		formula string
		want    float64
	}{
		{"AgNO3", 169.87}, {"AgI", 234.77}, {"AgBr", 187.77}, {"AgCl", 143.32}, {"NH4I", 144.94}, {"NH4Br", 97.94}, {"KI", 166.00}, {"KBr", 119.00},
		{"CdI2", 366.22}, {"CdBr2", 272.22}, {"CdBr2.4H2O", 344.28}, {"FeSO4·7H2O", 278.01}, {"Fe(NH4)2(SO4)2.6H2O", 392.13},
		{"KNO3", 101.10}, {"KCN", 65.12}, {"HNO3", 63.01}, {"C2H4O2", 60.05}, {"C2H6O", 46.07}, {"C4H10O", 74.12},
		{"Na2S2O3.5H2O", 248.17}, {"NaHCO3", 84.01}, {"C12H22O11", 342.30},
	} {
		got, err := chemistry.MolarMassOf(tt.formula)
		// Half a unit of the last digit, and as much again for the year of the atomic weights.
		if err != nil || math.Abs(float64(got)-tt.want) > 0.011 {
			t.Errorf("%s = %.4f g/mol, %v, want %.2f ± 0.011 [CRC95]", tt.formula, float64(got), err, tt.want)
		}
	}
	// published: an old operator's factor from dried chloride to nitrate, printed 1.18 [WetPlate00].
	nitrate, _ := chemistry.MolarMassOf("AgNO3")
	chloride, _ := chemistry.MolarMassOf("AgCl")
	if r := float64(nitrate / chloride); math.Abs(r-1.18) > 0.01 {
		t.Errorf("AgNO3/AgCl = %.4f, want 1.18 as printed [WetPlate00]", r)
	}
}

func TestAtomsRefuses(t *testing.T) {
	for _, bad := range []string{"", " ", "ag", "Xx2", "H2(O", "H2)O", "H0", "CdBr2.", "4", "H99999", "((((((((((H))))))))))", "H 2"} {
		if a, err := chemistry.Atoms(bad); err == nil {
			t.Errorf("Atoms(%q) = %v, want an error", bad, a)
		}
	}
}

func FuzzAtoms(f *testing.F) {
	for _, s := range []string{"AgNO3", "CdBr2.4H2O", "Fe(NH4)2(SO4)2.6H2O", "((", "H2(O)0", ".5"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		m, err := chemistry.MolarMassOf(s)
		if err == nil && !(m > 0 && m < 1e15) {
			t.Fatalf("MolarMassOf(%q) = %v without an error", s, m)
		}
	})
}

// Every substance is found by each of its names, and its record is whole.
func TestSubstances(t *testing.T) {
	seen := map[string]string{}
	for _, s := range chemistry.Substances() {
		for _, n := range append([]string{s.Name}, s.Aliases...) {
			if other, dup := seen[n]; dup {
				t.Errorf("%q names both %s and %s", n, other, s.Name)
			}
			seen[n] = s.Name
			if got, err := chemistry.SubstanceNamed(n); err != nil || got.Name != s.Name {
				t.Errorf("SubstanceNamed(%q) = %q, %v, want %q", n, got.Name, err, s.Name)
			}
		}
		if s.Formula != "" {
			if _, err := chemistry.Atoms(s.Formula); err != nil {
				t.Errorf("%s: %v", s.Name, err)
			}
		}
		for _, code := range slices.Concat(s.Hazard.Statements, s.Hazard.FromMemory) {
			if chemistry.StatementText(code) == "" {
				t.Errorf("%s: statement %q has no words", s.Name, code)
			}
		}
		if len(s.Hazard.Statements) > 0 && (s.Hazard.Signal == "" || s.Hazard.Source == "" || !s.Hazard.Held) {
			t.Errorf("%s: statements without signal word, source or held", s.Name)
		}
		if s.Density > 0 && (s.DensitySource == "" || !s.Liquid) {
			t.Errorf("%s: density without source, or of a solid", s.Name)
		}
	}
	if _, err := chemistry.SubstanceNamed("Ferrous  SULFATE"); err != nil {
		t.Error(err)
	}
	if _, err := chemistry.SubstanceNamed("unobtainium"); err == nil {
		t.Error("an unknown substance was found")
	}
}

// published: pictograms that the cards and the regulation set beside these statements
// [ICSC0355; CLH2023], the others from memory [CLP2008].
func TestPictograms(t *testing.T) {
	for name, want := range map[string][]string{
		"ether": {"GHS02", "GHS07"}, "silver nitrate": {"GHS03", "GHS05", "GHS09"},
		"alcohol": {"GHS02", "GHS07"}, "acetic acid": {"GHS02", "GHS05"}, "potassium cyanide": {"GHS06", "GHS08", "GHS09"},
		"ferrous sulphate": {"GHS07"}, "cadmium iodide": {"GHS06", "GHS08", "GHS09"}, "potassium nitrate": {"GHS03"},
		"nitric acid": {"GHS03", "GHS05", "GHS06"}, "plain collodion": {"GHS02", "GHS07"},
	} {
		s, err := chemistry.SubstanceNamed(name)
		if err != nil {
			t.Fatal(err)
		}
		if got := s.Hazard.Pictograms(); !slices.Equal(got, want) {
			t.Errorf("%s: pictograms %v, want %v", name, got, want)
		}
	}
}

// published: density of silver nitrate solutions at 20 °C and their molality [ETB1958].
func TestSilverDensity(t *testing.T) {
	for _, tt := range []struct{ pct, density, molality float64 }{
		{1, 1.0070, 0.059}, {5, 1.0417, 0.310}, {10, 1.0882, 0.654}, {20, 1.1942, 1.472}, {30, 1.3204, 2.523}, {40, 1.4743, 0},
	} {
		s, err := chemistry.SilverByMass(tt.pct / 100)
		// 0.0003 is how far our cubic stands from the points, 0.00005 half their last digit.
		if err != nil || math.Abs(float64(s.Density)-tt.density) > 0.00035 {
			t.Errorf("%g %% by mass: density %.5f, %v, want %.4f ± 0.00035 [ETB1958]", tt.pct, float64(s.Density), err, tt.density)
		}
		if tt.molality > 0 {
			molar, _ := chemistry.MolarMassOf("AgNO3")
			if m := 1000 * tt.pct / (100 - tt.pct) / float64(molar); math.Abs(m-tt.molality) > 0.001 {
				t.Errorf("%g %% by mass: molality %.4f, want %.3f ± 0.001 [ETB1958]", tt.pct, m, tt.molality)
			}
		}
	}
	// published: handbook rows between the seen points, from memory [CRC95].
	for _, tt := range []struct{ pct, density float64 }{{2, 1.0154}, {4, 1.0327}, {8, 1.0690}, {9, 1.0785}, {12, 1.1079}, {14, 1.1284}} {
		if s, err := chemistry.SilverByMass(tt.pct / 100); err != nil || math.Abs(float64(s.Density)-tt.density) > 0.0005 {
			t.Errorf("%g %% by mass: density %.5f, %v, want %.4f ± 0.0005 [CRC95]", tt.pct, float64(s.Density), err, tt.density)
		}
	}
}

// identity: strength to solution and back, and the water of a litre by weight.
func TestSilverStrength(t *testing.T) {
	for pct := 0.5; pct < 58; pct += 0.5 {
		s, err := chemistry.SilverAt(chemistry.Percent(pct))
		if err != nil || math.Abs(float64(s.Density)*s.MassFraction*100-pct) > 1e-9 {
			t.Fatalf("SilverAt(%g) = %+v, %v", pct, s, err)
		}
		salt := measure.Mass(pct * 10)
		poured := measure.Volume((float64(s.Density)*1000 - pct*10) / 0.99820)
		back, v, err := chemistry.SilverInWater(salt, poured)
		if err != nil || math.Abs(float64(back.Strength)-pct) > 1e-6 || math.Abs(float64(v)-1000) > 1e-4 {
			t.Fatalf("SilverInWater(%v, %v) = %+v, %v mL, %v", salt, poured, back, v, err)
		}
	}
	// 45 grains into one US ounce of water is weaker than 45 grains to the ounce of bath.
	s, v, err := chemistry.SilverInWater(45*measure.Grain, measure.USFluidOunce)
	if err != nil || math.Abs(float64(s.Strength)-9.70) > 0.02 || math.Abs(float64(v)-30.07) > 0.02 {
		t.Errorf("45 gr into 1 US oz water: %.3f %%, %.3f mL, %v, want 9.70 and 30.07", float64(s.Strength), float64(v), err)
	}
	for _, bad := range []float64{-1, 70, math.NaN(), math.Inf(1)} {
		if s, err := chemistry.SilverAt(chemistry.Percent(bad)); err == nil {
			t.Errorf("SilverAt(%v) = %+v, want an error", bad, s)
		}
	}
}
