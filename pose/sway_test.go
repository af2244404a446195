package pose_test

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"platewright/measure"
	"platewright/pose"
)

// unit sways by 1 mm and settles in a second, so that depths are in σ and times in τ.
func unit() pose.Sway { return pose.Sway{Toward: 1, Across: 1, Settle: time.Second} }

func taus(t float64) time.Duration { return time.Duration(math.Round(t * 1e9)) }

func about(t testing.TB, half, start, during float64) float64 {
	t.Helper()
	p, err := unit().StaysAbout(measure.Length(half), measure.Length(start), taus(during))
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func stays(t testing.TB, s pose.Sway, q pose.Hold) float64 {
	t.Helper()
	p, err := s.StaysWithin(q)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// independent: a script of its own (Crank-Nicolson on the forward equation), both beginning in the very
// middle of the sway and off it by σ√2. Its second column takes the depth to lie about the middle of the
// sway whatever the operator focused on, only the beginning to be off; StaysWithin lays the depth where
// the head was, so that the sway draws it away, and is lower: see TestFocusingAtOneMoment.
func TestStaysAbout(t *testing.T) {
	times := [5]float64{0.5, 1, 2, 4, 8}
	for _, tt := range []struct {
		half          float64
		middle, apart [5]float64
	}{
		{1.0, [5]float64{.448, .165, .022, 0, 0}, [5]float64{.161, .059, .008, 0, 0}},
		{1.5, [5]float64{.828, .594, .304, .080, .006}, [5]float64{.442, .316, .162, .042, .003}},
		{2.0, [5]float64{.963, .862, .677, .416, .157}, [5]float64{.676, .597, .468, .288, .109}},
		{3.0, [5]float64{.9995, .993, .972, .927, .842}, [5]float64{.925, .910, .888, .846, .769}},
		{4.0, [5]float64{1, 1, .999, .997, .993}, [5]float64{.989, .988, .987, .985, .981}},
	} {
		for i, during := range times {
			for _, c := range []struct{ start, want float64 }{{0, tt.middle[i]}, {math.Sqrt2, tt.apart[i]}} {
				if got := about(t, tt.half, c.start, during); math.Abs(got-c.want) > 0.0011 {
					t.Errorf("within %gσ for %gτ from %.3gσ: %.4f, want %.4f ± 0.0011 [by script]", tt.half, during, c.start, got, c.want)
				}
			}
		}
	}
	if got := about(t, 2, 0, 2); math.Abs(got-0.6765) > 5e-4 {
		t.Errorf("within 2σ for 2τ from the middle: %.5f, want 0.6765 [by script]", got)
	}
}

// exact: between walls at σ the chance dies at 2/τ, between walls at σ√(3-√6) at 4/τ: the second and the
// fourth Hermite polynomial vanish there.
func TestDecay(t *testing.T) {
	for _, tt := range []struct{ half, rate, early float64 }{{1, 2, 3}, {math.Sqrt(3 - math.Sqrt(6)), 4, 1.5}} {
		const step = 0.5
		rate := math.Log(about(t, tt.half, 0, tt.early)/about(t, tt.half, 0, tt.early+step)) / step
		if math.Abs(rate-tt.rate) > 1e-4*tt.rate {
			t.Errorf("within %.4fσ the chance dies at %.6f/τ, want %g", tt.half, rate, tt.rate)
		}
	}
}

// exact: before anything moves, the chance is that of two draws correlated over the wait; a moment later
// those next to the walls are lost.
func TestStaysAtOnce(t *testing.T) {
	for _, wait := range []float64{0.05, 0.5, 2, 100} {
		for _, half := range []float64{0.3, 1, 2.5} {
			apart := math.Sqrt(2 * (1 - math.Exp(-wait)))
			want := math.Erf(half / (math.Sqrt2 * apart))
			for _, during := range []time.Duration{0, time.Nanosecond, 10 * time.Microsecond} {
				got := stays(t, unit(), pose.Hold{Half: measure.Length(half), Wait: taus(wait), During: during})
				// what lay so near a wall that its straying, √(4t/π) on average, met it
				lost := 2 / (apart * math.Sqrt(2*math.Pi)) * math.Exp(-half*half/(2*apart*apart)) * math.Sqrt(4*during.Seconds()/math.Pi)
				if math.Abs(got-want+lost) > 3e-4 {
					t.Errorf("half %gσ after %gτ for %v: %.5f, want %.5f", half, wait, during, got, want-lost)
				}
			}
		}
	}
}

// walk follows heads in exact steps, with the chance that a Brownian bridge met a wall between them,
// and returns the share that kept within half of where they were when focused on.
func walk(half, wait, during float64, heads int, seed uint64) float64 {
	rnd := rand.New(rand.NewPCG(seed, 1))
	const steps = 150
	dt := during / steps
	keep := math.Exp(-dt)
	push := math.Sqrt(1 - keep*keep)
	stayed := 0.0
	for range heads {
		focus := rnd.NormFloat64()
		kept := math.Exp(-wait)
		x := focus*kept + math.Sqrt(1-kept*kept)*rnd.NormFloat64()
		chance := 1.0
		for range steps {
			if math.Abs(x-focus) >= half {
				chance = 0
				break
			}
			next := x*keep + push*rnd.NormFloat64()
			up, down := (focus+half-x)*(focus+half-next), (x-focus+half)*(next-focus+half)
			chance *= max(0, 1-math.Exp(-up/dt)) * max(0, 1-math.Exp(-down/dt))
			x = next
		}
		if math.Abs(x-focus) < half {
			stayed += chance
		}
	}
	return stayed / float64(heads)
}

// independent: heads that sway by chance, seed fixed. 20,000 heads tell the chance to 0.0035 (one
// deviation), and the bridge takes the pull to the middle between steps for nothing.
func TestFocusingAtOneMoment(t *testing.T) {
	for i, tt := range []struct{ half, wait, during float64 }{{1.5, 0, 1}, {2, 0.4, 2}, {2, 40, 2}, {3, 40, 4}, {1, 2, 0.25}} {
		got := stays(t, unit(), pose.Hold{Half: measure.Length(tt.half), Wait: taus(tt.wait), During: taus(tt.during)})
		want := walk(tt.half, tt.wait, tt.during, 20000, uint64(i))
		if math.Abs(got-want) > 0.012 {
			t.Errorf("within %gσ of the focus, %gτ after it, for %gτ: %.4f, by chance %.4f", tt.half, tt.wait, tt.during, got, want)
		}
	}
	if once, middle := stays(t, unit(), pose.Hold{Half: 2, Wait: time.Minute, During: 2 * time.Second}), about(t, 2, 1, 2); once >= middle {
		t.Errorf("focusing at one moment keeps %.4f, on the middle %.4f", once, middle)
	}
}

// independent: 7 mm of depth, by the script of TestStaysAbout; from the middle of the sway and off it by
// σ√2. Deviation 5 mm standing, 2 seated, 0.5 on a rest, 1 on a poor one.
func TestSevenMillimetres(t *testing.T) {
	poor := pose.Sway{Toward: 1, Across: 1, Settle: 2 * time.Second}
	preset := func(s pose.Support) pose.Sway {
		sway, err := pose.SwayOf(s)
		if err != nil {
			t.Fatal(err)
		}
		return sway
	}
	for _, tt := range []struct {
		sway          pose.Sway
		seconds       int
		middle, apart float64
		tol           float64 // half the last digit printed, and the solver's 0.001
	}{
		{preset(pose.Standing), 2, .004, .001, 0.0015},
		{preset(pose.Seated), 2, .68, .42, 0.006},
		{preset(pose.HeadRest), 2, 1, 1, 0.006},
		{poor, 2, .999, .97, 0.006},
		{preset(pose.Standing), 8, 0, 0, 0.006},
		{preset(pose.Seated), 8, .15, .09, 0.006},
		{poor, 8, .98, .95, 0.006},
	} {
		for _, c := range []struct {
			start measure.Length
			want  float64
		}{{0, tt.middle}, {tt.sway.Toward * math.Sqrt2, tt.apart}} {
			got, err := tt.sway.StaysAbout(3.5, c.start, time.Duration(tt.seconds)*time.Second)
			if err != nil || math.Abs(got-c.want) > tt.tol {
				t.Errorf("%+v, %d s from %v: %.4f (%v), want %g [by script]", tt.sway, tt.seconds, c.start, got, err, c.want)
			}
		}
	}
}

// identity: more depth, less time, less turn never do harm, and a chance is a chance.
func TestStaysIsMonotone(t *testing.T) {
	rnd := rand.New(rand.NewPCG(5, 5))
	for range 200 {
		half, during, wait := math.Exp(6*rnd.Float64()-3), math.Exp(12*rnd.Float64()-8), 10*rnd.Float64()*rnd.Float64()
		q := pose.Hold{Half: measure.Length(half), Wait: taus(wait), During: taus(during)}
		p := stays(t, unit(), q)
		deeper, longer, later, turned := q, q, q, q
		deeper.Half *= 1.1
		longer.During += longer.During / 10
		later.Wait += time.Second
		turned.Offset = -q.Half / 10
		if p < 0 || p > 1 || math.IsNaN(p) {
			t.Errorf("%+v: %g", q, p)
		}
		const slack = 2e-4
		if d := stays(t, unit(), deeper); d < p-slack {
			t.Errorf("%+v: %.6f, with more depth %.6f", q, p, d)
		}
		if l := stays(t, unit(), longer); l > p+slack {
			t.Errorf("%+v: %.6f, for longer %.6f", q, p, l)
		}
		if l := stays(t, unit(), later); l > p+slack {
			t.Errorf("%+v: %.6f, after a longer wait %.6f", q, p, l)
		}
		if n := stays(t, unit(), turned); n > p+slack {
			t.Errorf("%+v: %.6f, turned %.6f", q, p, n)
		}
	}
	for _, start := range []float64{0, 1, 3} {
		if p := about(t, 1e5, start, 1000); math.Abs(p-1) > 1e-5 { // nobody gets 6.5σ away, it is taken
			t.Errorf("in endless depth, from %gσ: %.9f", start, p)
		}
	}
	if p := stays(t, unit(), pose.Hold{Half: 1, Offset: 1, During: time.Second}); p != 0 {
		t.Errorf("with no depth left for the eyes: %g", p)
	}
}

// identity: the table against what it is a table of.
func TestHolds(t *testing.T) {
	for _, wait := range []float64{0, 0.1, 1, 40} {
		table, err := pose.NewHolds(unit(), taus(wait))
		if err != nil {
			t.Fatal(err)
		}
		most := 0.005
		if wait == 0 {
			most = 0.01
		}
		for half := 0.04; half < 12; half *= 1.37 {
			for during := 1e-4; during < 40; during *= 1.9 {
				want := stays(t, unit(), pose.Hold{Half: measure.Length(half), Wait: taus(wait), During: taus(during)})
				got := table.StaysWithin(measure.Length(half)+0.5, -0.5, taus(during))
				if math.Abs(got-want) > most || math.IsNaN(got) {
					t.Errorf("half %.3fσ, wait %gτ, %.4gτ: table %.4f, itself %.4f", half, wait, during, got, want)
				}
			}
		}
		if far := table.StaysWithin(2, 0, time.Hour); far != 0 && far > 1e-3 || table.StaysWithin(0, 0, time.Second) != 0 || table.StaysWithin(1, 2, 0) != 0 {
			t.Errorf("two σ for an hour: %g", far)
		}
	}
}

// Errors name what was given.
func TestNoSuchSway(t *testing.T) {
	if _, err := pose.SwayOf("a stool"); err == nil {
		t.Error("a stool steadies")
	}
	if _, _, err := pose.SwayRange("a stool"); err == nil {
		t.Error("a stool has a range")
	}
	nan := measure.Length(math.NaN())
	for i, err := range []error{
		second(pose.Sway{}.StaysWithin(pose.Hold{Half: 1})),
		second(unit().StaysWithin(pose.Hold{Half: nan})),
		second(unit().StaysWithin(pose.Hold{Half: 1, Offset: nan})),
		second(unit().StaysWithin(pose.Hold{Half: 1, Wait: -1})),
		second(unit().StaysWithin(pose.Hold{Half: 1, During: 25 * time.Hour})),
		second(unit().StaysAbout(1, -1, time.Second)),
		second(unit().StaysAbout(1, 3.1, time.Second)),
		second(unit().NoSmear(pose.Smear{Blur: 1})),
		second(unit().NoSmear(pose.Smear{Magnification: 1, Blur: nan})),
		second(unit().UsualSmear(pose.Smear{Magnification: 101})),
		second(pose.Blinks(-1, time.Second)),
		second(pose.Blinks(17, -time.Second)),
		second(pose.NewHolds(pose.Sway{Toward: 1, Across: 1}, 0)),
		second(pose.Sway{Toward: 1, Across: nan, Settle: time.Second}.Speed()),
	} {
		if err == nil {
			t.Errorf("case %d was answered", i)
		}
	}
}

func second[T any](_ T, err error) error { return err }

func BenchmarkStaysWithin(b *testing.B) {
	s, _ := pose.SwayOf(pose.Seated)
	for b.Loop() {
		if _, err := s.StaysWithin(pose.Hold{Half: 3.5, Wait: time.Minute, During: 2 * time.Second}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkNewHolds(b *testing.B) {
	s, _ := pose.SwayOf(pose.Seated)
	for b.Loop() {
		if _, err := pose.NewHolds(s, time.Minute); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkHolds(b *testing.B) {
	s, _ := pose.SwayOf(pose.Seated)
	h, err := pose.NewHolds(s, time.Minute)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		h.StaysWithin(3.5, 0, 2*time.Second)
	}
}
