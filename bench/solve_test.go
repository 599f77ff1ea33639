package bench

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// plain fits y = Σ bⱼ·xⱼ with nothing known beforehand and equal weights, and scales the covariance by what is left.
func plain(t *testing.T, rows [][]float64, y []float64) (b, sd []float64, cov *mat.Dense, s2 float64) {
	t.Helper()
	n := len(rows[0])
	p := &system{a: mat.NewDense(len(y), n, nil), y: y, sigma: make([]float64, len(y)), prior: make([]float64, n)}
	for i := range rows {
		p.a.SetRow(i, rows[i])
		p.sigma[i] = 1
	}
	for j := range n {
		p.prior[j] = math.Inf(1)
	}
	sol, err := p.solve()
	if err != nil {
		t.Fatal(err)
	}
	if sol.freedom != len(y)-n {
		t.Errorf("%d degrees of freedom, want %d", sol.freedom, len(y)-n)
	}
	s2 = sol.chi2 / float64(sol.freedom)
	for j := range n {
		sd = append(sd, math.Sqrt(s2*sol.cov.At(j, j)))
	}
	return sol.x, sd, sol.cov, s2
}

func near(t *testing.T, what string, got, want, rel float64) {
	t.Helper()
	if math.IsNaN(got) || math.Abs(got-want) > rel*math.Abs(want) {
		t.Errorf("%s: got %.15g, want %.15g", what, got, want)
	}
}

// NIST Statistical Reference Datasets, linear regression, certified values (itl.nist.gov/div898/strd, print): Norris, a line; Pontius, a
// parabola; Longley, six predictors that nearly depend on each other.
func TestNISTReferenceDatasets(t *testing.T) {
	x := []float64{0.2, 337.4, 118.2, 884.6, 10.1, 226.5, 666.3, 996.3, 448.6, 777.0, 558.2, 0.4, 0.6, 775.5, 666.9, 338.0, 447.5, 11.6, 556.0, 228.1,
		995.8, 887.6, 120.2, 0.3, 0.3, 556.8, 339.1, 887.2, 999.0, 779.0, 11.1, 118.3, 229.2, 669.1, 448.9, 0.5}
	y := []float64{0.1, 338.8, 118.1, 888.0, 9.2, 228.1, 668.5, 998.5, 449.1, 778.9, 559.2, 0.3, 0.1, 778.1, 668.8, 339.3, 448.9, 10.8, 557.7, 228.3,
		998.0, 888.8, 119.6, 0.3, 0.6, 557.6, 339.3, 888.0, 998.5, 778.9, 10.2, 117.6, 228.9, 668.4, 449.2, 0.2}
	var rows [][]float64
	for _, v := range x {
		rows = append(rows, []float64{1, v})
	}
	b, sd, _, s2 := plain(t, rows, y)
	near(t, "Norris B0", b[0], -0.262323073774029, 1e-11)
	near(t, "Norris B1", b[1], 1.00211681802045, 1e-12)
	near(t, "Norris s(B0)", sd[0], 0.232818234301152, 1e-11)
	near(t, "Norris s(B1)", sd[1], 0.429796848199937e-03, 1e-11)
	near(t, "Norris residual standard deviation", math.Sqrt(s2), 0.884796396144373, 1e-11)

	y = []float64{.11019, .21956, .32949, .43899, .54803, .65694, .76562, .87487, .98292, 1.09146, 1.20001, 1.30822, 1.41599, 1.52399, 1.63194, 1.73947, 1.84646, 1.95392, 2.06128, 2.16844,
		.11052, .22018, .32939, .43886, .54798, .65739, .76596, .87474, .98300, 1.09150, 1.20004, 1.30818, 1.41613, 1.52408, 1.63159, 1.73965, 1.84696, 1.95445, 2.06177, 2.16829}
	rows = nil
	for i := range y {
		v := float64(i%20+1) * 150000
		rows = append(rows, []float64{1, v, v * v})
	}
	b, sd, _, _ = plain(t, rows, y)
	for j, want := range [3][2]float64{{0.673565789473684e-03, 0.107938612033077e-03}, {0.732059160401003e-06, 0.157817399981659e-09}, {-0.316081871345029e-14, 0.486652849992036e-16}} {
		near(t, "Pontius B", b[j], want[0], 1e-10)
		near(t, "Pontius s(B)", sd[j], want[1], 1e-10)
	}

	longley := [][]float64{
		{60323, 83.0, 234289, 2356, 1590, 107608, 1947}, {61122, 88.5, 259426, 2325, 1456, 108632, 1948}, {60171, 88.2, 258054, 3682, 1616, 109773, 1949},
		{61187, 89.5, 284599, 3351, 1650, 110929, 1950}, {63221, 96.2, 328975, 2099, 3099, 112075, 1951}, {63639, 98.1, 346999, 1932, 3594, 113270, 1952},
		{64989, 99.0, 365385, 1870, 3547, 115094, 1953}, {63761, 100.0, 363112, 3578, 3350, 116219, 1954}, {66019, 101.2, 397469, 2904, 3048, 117388, 1955},
		{67857, 104.6, 419180, 2822, 2857, 118734, 1956}, {68169, 108.4, 442769, 2936, 2798, 120445, 1957}, {66513, 110.8, 444546, 4681, 2637, 121950, 1958},
		{68655, 112.6, 482704, 3813, 2552, 123366, 1959}, {69564, 114.2, 502601, 3931, 2514, 125368, 1960}, {69331, 115.7, 518173, 4806, 2572, 127852, 1961},
		{70551, 116.9, 554894, 4007, 2827, 130081, 1962},
	}
	rows, y = nil, nil
	for _, r := range longley {
		y = append(y, r[0])
		rows = append(rows, append([]float64{1}, r[1:]...))
	}
	b, sd, _, s2 = plain(t, rows, y)
	for j, want := range [7][2]float64{{-3482258.63459582, 890420.383607373}, {15.0618722713733, 84.9149257747669}, {-0.358191792925910e-01, 0.334910077722432e-01},
		{-2.02022980381683, 0.488399681651699}, {-1.03322686717359, 0.214274163161675}, {-0.511041056535807e-01, 0.226073200069370}, {1829.15146461355, 455.478499142212}} {
		near(t, "Longley B", b[j], want[0], 1e-8)
		near(t, "Longley s(B)", sd[j], want[1], 1e-8)
	}
	near(t, "Longley residual standard deviation", math.Sqrt(s2), 304.854073561965, 1e-10)
}

// GUM example H.3 (JCGM 100:2008, annex H.3: calibration of a thermometer, table H.6; data and digits from memory): correction over
// temperature less 20 °C, intercept −0.1712 ± 0.0029 °C, slope 0.002 18 ± 0.000 67, correlation −0.930, and −0.1494 ± 0.0041 °C at 30 °C.
func TestGUMThermometer(t *testing.T) {
	at := []float64{21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511}
	off := []float64{-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160}
	var rows [][]float64
	for _, v := range at {
		rows = append(rows, []float64{1, v - 20})
	}
	b, sd, cov, s2 := plain(t, rows, off)
	for _, c := range []struct {
		what            string
		got, want, last float64 // last printed digit
	}{
		{"intercept", b[0], -0.1712, 1e-4}, {"its standard uncertainty", sd[0], 0.0029, 1e-4},
		{"slope", b[1], 0.00218, 1e-5}, {"its standard uncertainty", sd[1], 0.00067, 1e-5},
		{"correlation", cov.At(0, 1) / math.Sqrt(cov.At(0, 0)*cov.At(1, 1)), -0.930, 1e-3},
		{"standard deviation of the fit", math.Sqrt(s2), 0.0035, 1e-4},
		{"correction at 30 °C", b[0] + 10*b[1], -0.1494, 1e-4},
		{"its standard uncertainty", math.Sqrt(s2 * along([]float64{1, 10}, cov)), 0.0041, 1e-4},
	} {
		if math.Abs(c.got-c.want) > c.last/2*1.0001 {
			t.Errorf("%s: got %g, print %g", c.what, c.got, c.want)
		}
	}
}

// One unknown: with n readings of it and a usual error, the weighted mean Σy/σ² / Σ1/σ² of all, the usual error counting as a reading of 0;
// variance 1/Σ1/σ²; the least sum is that of the residuals.
func TestWeightedMean(t *testing.T) {
	y, sigma, prior := []float64{3.1, 2.7, 3.4, 2.2}, []float64{0.2, 0.5, 0.3, 1}, 2.0
	p := &system{a: mat.NewDense(4, 1, []float64{1, 1, 1, 1}), y: y, sigma: sigma, prior: []float64{prior}}
	s, err := p.solve()
	if err != nil {
		t.Fatal(err)
	}
	top, weight := 0.0, 1/(prior*prior)
	for i := range y {
		top += y[i] / (sigma[i] * sigma[i])
		weight += 1 / (sigma[i] * sigma[i])
	}
	mean := top / weight
	near(t, "mean", s.x[0], mean, 1e-14)
	near(t, "variance", s.cov.At(0, 0), 1/weight, 1e-14)
	sum := mean / prior * (mean / prior)
	for i := range y {
		sum += (y[i] - mean) / sigma[i] * ((y[i] - mean) / sigma[i])
		near(t, "variance of a residual over σ²", s.q.At(i, i), 1-1/weight/(sigma[i]*sigma[i]), 1e-12)
	}
	near(t, "chi-square", s.chi2, sum, 1e-13)
}

// The least sum is rᵀQr with r the readings over σ, for which suspect relies on it, and Q is (I + JJᵀ)⁻¹ when every unknown has a usual
// error, J the slopes over σ times the usual errors (the matrix inversion lemma).
func TestLeastSumIsQuadratic(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 8))
	const m, n = 6, 9
	p := &system{a: mat.NewDense(m, n, nil), y: make([]float64, m), sigma: make([]float64, m), prior: make([]float64, n)}
	j := mat.NewDense(m, n, nil)
	v := mat.NewVecDense(m, nil)
	for k := range n {
		p.prior[k] = 0.5 + r.Float64()
	}
	for i := range m {
		p.y[i], p.sigma[i] = r.NormFloat64(), 0.2+r.Float64()
		v.SetVec(i, p.y[i]/p.sigma[i])
		for k := range n {
			p.a.Set(i, k, r.NormFloat64())
			j.Set(i, k, p.a.At(i, k)*p.prior[k]/p.sigma[i])
		}
	}
	s, err := p.solve()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "rᵀQr", mat.Inner(v, s.q, v), s.chi2, 1e-11)
	var want mat.Dense
	want.Mul(j, j.T())
	for i := range m {
		want.Set(i, i, want.At(i, i)+1)
	}
	var inv mat.Dense
	if err := inv.Inverse(&want); err != nil {
		t.Fatal(err)
	}
	if !mat.EqualApprox(&inv, s.q, 1e-11) {
		t.Error("Q is not (I + JJᵀ)⁻¹")
	}
}

func TestUnsettledUnknownsAreNamed(t *testing.T) {
	inf := math.Inf(1)
	for _, p := range []*system{
		{a: mat.NewDense(1, 2, []float64{1, 1}), y: []float64{1}, sigma: []float64{1}, prior: []float64{inf, inf}},
		{a: mat.NewDense(2, 2, []float64{1, 0, 2, 0}), y: []float64{1, 2}, sigma: []float64{1, 1}, prior: []float64{inf, inf}},
		{a: mat.NewDense(3, 2, []float64{1, 2, 2, 4, 3, 6}), y: []float64{1, 2, 3}, sigma: []float64{1, 1, 1}, prior: []float64{inf, inf}},
	} {
		if _, err := p.solve(); err == nil {
			t.Errorf("%v settles both unknowns", mat.Formatted(p.a))
		}
	}
}
