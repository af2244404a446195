package colour

import (
	"errors"
	"math"
)

var errNoSolution = errors.New("the measured surfaces do not settle the constants in this light")

// solve returns x of A x = b by elimination with the largest pivot of each column; A and b are used up.
func solve(A [][]float64, b []float64) ([]float64, error) {
	n := len(b)
	for i := range n {
		p := i
		for r := i + 1; r < n; r++ {
			if math.Abs(A[r][i]) > math.Abs(A[p][i]) {
				p = r
			}
		}
		A[i], A[p] = A[p], A[i]
		b[i], b[p] = b[p], b[i]
		if !(math.Abs(A[i][i]) > 1e-14) {
			return nil, errNoSolution
		}
		for r := i + 1; r < n; r++ {
			f := A[r][i] / A[i][i]
			if f == 0 {
				continue
			}
			for c := i; c < n; c++ {
				A[r][c] -= f * A[i][c]
			}
			b[r] -= f * b[i]
		}
	}
	x := make([]float64, n)
	for i := n - 1; i >= 0; i-- {
		x[i] = b[i]
		for c := i + 1; c < n; c++ {
			x[i] -= A[i][c] * x[c]
		}
		x[i] /= A[i][i]
	}
	return x, nil
}

// leastSquares returns the constants c that make the rows times c come nearest to the values, and the errors of
// each row when it is predicted by the constants of all the others.
func leastSquares(rows [][]float64, values []float64) (c, leftOut []float64, err error) {
	if c, err = normal(rows, values, -1); err != nil {
		return nil, nil, err
	}
	leftOut = make([]float64, len(rows))
	for i := range rows {
		without, err := normal(rows, values, i)
		if err != nil {
			return nil, nil, err
		}
		leftOut[i] = dot(without, rows[i]) - values[i]
	}
	return c, leftOut, nil
}

// normal solves the normal equations of all rows but one.
func normal(rows [][]float64, values []float64, skip int) ([]float64, error) {
	n := len(rows[0])
	A, b := make([][]float64, n), make([]float64, n)
	for i := range A {
		A[i] = make([]float64, n)
	}
	for k, r := range rows {
		if k == skip {
			continue
		}
		for i, u := range r {
			b[i] += u * values[k]
			for j, v := range r {
				A[i][j] += u * v
			}
		}
	}
	return solve(A, b)
}

func dot(a, b []float64) float64 {
	sum := 0.0
	for i, v := range a {
		sum += v * b[i]
	}
	return sum
}

func square(v float64) float64 { return v * v }

func rms(e []float64) float64 {
	sum := 0.0
	for _, v := range e {
		sum += v * v
	}
	return math.Sqrt(sum / float64(len(e)))
}
