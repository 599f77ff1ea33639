package bench

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
)

// A system is m readings that depend on n unknowns: y = A·x + e, e normal with standard deviations Sigma; each unknown is 0 within Prior
// beforehand, nothing is known of one whose Prior is +Inf.
type system struct {
	a     *mat.Dense
	y     []float64
	sigma []float64
	prior []float64
}

// A solution is the most probable x: it makes Σ((y − A·x)/σ)² + Σ(x/s)² least.
type solution struct {
	x        []float64
	cov      *mat.Dense // of x: (Aᵀ R⁻¹ A + S⁻¹)⁻¹
	residual []float64  // y − A·x
	q        *mat.Dense // covariance of the residuals in units of σ: I − R^-½ A cov Aᵀ R^-½
	chi2     float64    // the least sum
	freedom  int        // readings less unknowns without prior: degrees of freedom of chi2
}

// normalized is residual i over its own standard deviation, w = v/(σ√q) (Baarda, A testing procedure for use in geodetic networks, 1968, from
// memory): normal with variance 1 when all is as assumed. 0 for a reading that nothing else controls.
func (s *solution) normalized(i int, sigma float64) float64 {
	q := s.q.At(i, i)
	if q < 1e-9 {
		return 0
	}
	return s.residual[i] / sigma / math.Sqrt(q)
}

// solve works by Householder QR of the rows of readings and priors together, each column scaled to length 1, and never forms AᵀA, whose
// condition is the square (Björck, Numerical methods for least squares problems, 1996, chapter 2, from memory). The error names the first
// unknown that the readings do not settle.
func (p *system) solve() (*solution, error) {
	m, n := len(p.y), len(p.prior)
	known := 0
	for _, s := range p.prior {
		if !math.IsInf(s, 1) {
			known++
		}
	}
	if m+known < n {
		return nil, fmt.Errorf("found %d readings for %d unknowns without a usual error, expected as many", m, n-known)
	}
	full, right := mat.NewDense(max(m+known, 1), max(n, 1), nil), make([]float64, m+known)
	for i := range m {
		for j := range n {
			full.Set(i, j, p.a.At(i, j)/p.sigma[i])
		}
		right[i] = p.y[i] / p.sigma[i]
	}
	row := m
	for j, s := range p.prior {
		if !math.IsInf(s, 1) {
			full.Set(row, j, 1/s)
			row++
		}
	}
	scale := make([]float64, n)
	for j := range n {
		col := mat.Col(nil, j, full)
		scale[j] = norm(col)
		if scale[j] == 0 {
			return nil, unsettled(j)
		}
		for i := range col {
			full.Set(i, j, col[i]/scale[j])
		}
	}
	var qr mat.QR
	qr.Factorize(full)
	var r mat.Dense
	qr.RTo(&r)
	for j := range n {
		if math.Abs(r.At(j, j)) < 1e-12 {
			return nil, unsettled(j)
		}
	}
	var x mat.VecDense
	if err := qr.SolveVecTo(&x, false, mat.NewVecDense(len(right), right)); err != nil {
		if _, poor := err.(mat.Condition); !poor {
			return nil, err
		}
	}
	tri := mat.NewTriDense(n, mat.Upper, nil)
	for i := range n {
		for j := i; j < n; j++ {
			tri.SetTri(i, j, r.At(i, j))
		}
	}
	var inv mat.TriDense
	if err := inv.InverseTri(tri); err != nil {
		if _, poor := err.(mat.Condition); !poor {
			return nil, err
		}
	}
	out := &solution{x: make([]float64, n), cov: new(mat.Dense), residual: make([]float64, m), q: mat.NewDense(max(m, 1), max(m, 1), nil), freedom: m - (n - known)}
	back := mat.NewDense(n, n, nil) // R⁻¹ with the columns' scale undone
	for i := range n {
		out.x[i] = x.AtVec(i) / scale[i]
		for j := i; j < n; j++ {
			back.Set(i, j, inv.At(i, j)/scale[i])
		}
	}
	out.cov.Mul(back, back.T())
	if m > 0 {
		w := mat.NewDense(m, n, nil)
		for i := range m {
			for j := range n {
				w.Set(i, j, p.a.At(i, j)/p.sigma[i])
			}
		}
		var half mat.Dense
		half.Mul(w, back)
		out.q.Mul(&half, half.T())
		for i := range m {
			for j := range m {
				one := 0.0
				if i == j {
					one = 1
				}
				out.q.Set(i, j, one-out.q.At(i, j))
			}
			v := p.y[i]
			for j := range n {
				v -= p.a.At(i, j) * out.x[j]
			}
			out.residual[i] = v
			out.chi2 += v / p.sigma[i] * (v / p.sigma[i])
		}
	}
	for j, s := range p.prior {
		if !math.IsInf(s, 1) {
			out.chi2 += out.x[j] / s * (out.x[j] / s)
		}
	}
	return out, nil
}

func unsettled(j int) error {
	return fmt.Errorf("the readings do not settle unknown %d, and it has no usual error", j+1)
}

func norm(v []float64) float64 {
	sum := 0.0
	for _, x := range v {
		sum = math.Hypot(sum, x)
	}
	return sum
}
