package travel

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"lowslung/solid"
)

// The slow way, for linkages that four links do not settle: fewer links (some motion is free), more (some link must give),
// or four that do not fix the pose (parallel ones). Gauss-Newton on gᵢ = |dᵢ| − Lᵢ in (x, y, s·ψ, s·θ) with s = 100 mm/rad,
// each step the shortest least-squares one, by singular values (Golub & Van Loan, Matrix Computations, §5.5).

// rankLimit is the singular value, relative to the largest, below which a motion counts as not held by any link. The rows are
// unit vectors, so one below rankFloor is rounding whatever the others are.
const (
	rankLimit = 1e-6
	rankFloor = 1e-9
)

// A settled pose of any number of links.
type settled struct {
	pose    Pose
	stretch []float64    // |dᵢ| − Lᵢ, mm
	rank    int          // motions that the links hold, 4 when all
	loose   [][4]float64 // unit directions (x, y, s·ψ, s·θ) that no link holds
	ok      bool         // the step died out; the stretch need not be zero
}

// relax settles at heave z and roll φ from the start pose.
func relax(links []solid.Link, start Pose, z, roll float64) settled {
	p := start
	p.Z, p.Roll = z, roll
	n := len(links)
	out := settled{pose: p, stretch: make([]float64, n)}
	if n == 0 {
		out.loose = [][4]float64{{1, 0, 0, 0}, {0, 1, 0, 0}, {0, 0, 1, 0}, {0, 0, 0, 1}}
		return out
	}
	j := mat.NewDense(n, 4, nil)
	cost := math.Inf(1)
	damp := 1.0
	last := p
	var svd mat.SVD
	for range 200 {
		c := fill(links, p, j, out.stretch)
		if c > cost*(1+1e-12)+1e-24 && damp > 1e-4 { // a step that made it worse is halved
			damp /= 2
			p = between(last, p, 0.5)
			continue
		}
		cost, damp, last = c, 1, p
		if !svd.Factorize(j, mat.SVDFull) {
			return out
		}
		q, rank, loose := shortest(&svd, n, out.stretch)
		out.rank, out.loose, out.pose = rank, loose, p
		size := max(math.Abs(q[0]), math.Abs(q[1]), math.Abs(q[2]), math.Abs(q[3]))
		if math.IsNaN(size) || math.IsInf(size, 0) {
			return out
		}
		if size < 1e-10 {
			out.ok = true
			return out
		}
		if size > 20 {
			for k := range q {
				q[k] *= 20 / size
			}
		}
		p.X += q[0]
		p.Y += q[1]
		p.Steer += q[2] / angleScale
		p.Spin += q[3] / angleScale
	}
	out.ok = cost < 1e-16
	return out
}

// fill writes the Jacobian and the stretches at p and returns the sum of their squares.
func fill(links []solid.Link, p Pose, j *mat.Dense, stretch []float64) float64 {
	r := p.Turn()
	w := r.Mul(solid.Vec{Y: 1})
	sum := 0.0
	for i := range links {
		e := r.Mul(links[i].To)
		d := p.Origin().Add(e).Sub(links[i].From)
		length := d.Norm()
		u := solid.Vec{}
		if length > 1e-9 {
			u = d.Scale(1 / length)
		}
		j.SetRow(i, []float64{u.X, u.Y, u.Dot(solid.Vec{Z: 1}.Cross(e)) / angleScale, u.Dot(w.Cross(e)) / angleScale})
		stretch[i] = length - links[i].Length
		sum += stretch[i] * stretch[i]
	}
	return sum
}

// shortest is the least-squares step of least size, the rank, and the directions that no row holds.
func shortest(svd *mat.SVD, n int, stretch []float64) (q [4]float64, rank int, loose [][4]float64) {
	values := svd.Values(nil)
	var u, v mat.Dense
	svd.UTo(&u)
	svd.VTo(&v)
	for k := range 4 {
		if k >= len(values) || values[k] <= max(rankFloor, rankLimit*values[0]) {
			loose = append(loose, [4]float64{v.At(0, k), v.At(1, k), v.At(2, k), v.At(3, k)})
			continue
		}
		rank++
		c := 0.0
		for i := range n {
			c += u.At(i, k) * stretch[i]
		}
		for m := range q {
			q[m] -= v.At(m, k) * c / values[k]
		}
	}
	return q, rank, loose
}

func between(a, b Pose, t float64) Pose {
	m := func(x, y float64) float64 { return x + t*(y-x) }
	return Pose{m(a.X, b.X), m(a.Y, b.Y), m(a.Z, b.Z), m(a.Steer, b.Steer), m(a.Roll, b.Roll), m(a.Spin, b.Spin)}
}

// motionName puts a direction (x, y, s·ψ, s·θ) into words by its largest share.
func motionName(d [4]float64) string {
	names := [4]string{"move forward and back", "move sideways", "steer by itself", "turn about its own wheel axis"}
	best := 0
	for k := range d {
		if math.Abs(d[k]) > math.Abs(d[best])+1e-9 {
			best = k
		}
	}
	return names[best]
}
