//go:build goexperiment.simd && amd64

package travel

import (
	"math"
	"math/bits"
	"simd/archsimd"
)

type vec8 = archsimd.Float64x8

// vectors says whether lanes share instructions: when the processor has AVX-512.
var vectors = archsimd.X86.AVX512()

// solveVectors is newton.go's loop, line by line, for eight lanes. No fused multiply-adds: each lane's result equals Solver's to the last
// bit. A lane that is done is masked: its pose, determinant and count stay.
func (b *Batch) solveVectors() {
	active := b.used
	if active == 0 {
		return
	}
	x, y := archsimd.LoadFloat64x8(&b.x), archsimd.LoadFloat64x8(&b.y)
	steer, spin := archsimd.LoadFloat64x8(&b.steer), archsimd.LoadFloat64x8(&b.spin)
	ss, cs := archsimd.LoadFloat64x8(&b.ss), archsimd.LoadFloat64x8(&b.cs)
	st, ct := archsimd.LoadFloat64x8(&b.st), archsimd.LoadFloat64x8(&b.ct)
	z, sr, cr := archsimd.BroadcastFloat64x8(b.z), archsimd.BroadcastFloat64x8(b.sr), archsimd.BroadcastFloat64x8(b.cr)
	one, halfOne, zero := archsimd.BroadcastFloat64x8(1), archsimd.BroadcastFloat64x8(0.5), archsimd.BroadcastFloat64x8(0)
	tiny, infinite := archsimd.BroadcastFloat64x8(1e-300), archsimd.BroadcastFloat64x8(math.MaxFloat64)
	limit, done := archsimd.BroadcastFloat64x8(stepLimit), archsimd.BroadcastFloat64x8(stepDone)
	weigh := archsimd.BroadcastFloat64x8(angleScale)
	det := archsimd.LoadFloat64x8(&b.det)
	var f, jx, jy, js, jt [4]vec8
	for n := 1; n <= iterations; n++ {
		for i := range 4 {
			ax, ay, az := archsimd.LoadFloat64x8(&b.ax[i]), archsimd.LoadFloat64x8(&b.ay[i]), archsimd.LoadFloat64x8(&b.az[i])
			bx := ct.Mul(ax).Add(st.Mul(az))
			bz := ct.Mul(az).Sub(st.Mul(ax))
			ey := cr.Mul(ay).Sub(sr.Mul(bz))
			ez := sr.Mul(ay).Add(cr.Mul(bz))
			rx := cs.Mul(bx).Sub(ss.Mul(ey))
			ry := ss.Mul(bx).Add(cs.Mul(ey))
			dx := x.Add(rx).Sub(archsimd.LoadFloat64x8(&b.cx[i]))
			dy := y.Add(ry).Sub(archsimd.LoadFloat64x8(&b.cy[i]))
			dz := z.Add(ez).Sub(archsimd.LoadFloat64x8(&b.cz[i]))
			f[i] = halfOne.Mul(dx.Mul(dx).Add(dy.Mul(dy)).Add(dz.Mul(dz))).Sub(archsimd.LoadFloat64x8(&b.half[i]))
			jx[i], jy[i] = dx, dy
			js[i] = dy.Mul(rx).Sub(dx.Mul(ry))
			v := sr.Mul(bx)
			jt[i] = dx.Mul(cs.Mul(bz).Sub(ss.Mul(v))).Add(dy.Mul(ss.Mul(bz).Add(cs.Mul(v)))).Sub(dz.Mul(cr).Mul(bx))
		}
		a0 := jx[0].Mul(jy[1]).Sub(jx[1].Mul(jy[0]))
		a1 := jx[0].Mul(jy[2]).Sub(jx[2].Mul(jy[0]))
		a2 := jx[0].Mul(jy[3]).Sub(jx[3].Mul(jy[0]))
		a3 := jx[1].Mul(jy[2]).Sub(jx[2].Mul(jy[1]))
		a4 := jx[1].Mul(jy[3]).Sub(jx[3].Mul(jy[1]))
		a5 := jx[2].Mul(jy[3]).Sub(jx[3].Mul(jy[2]))
		b0 := js[0].Mul(jt[1]).Sub(js[1].Mul(jt[0]))
		b1 := js[0].Mul(jt[2]).Sub(js[2].Mul(jt[0]))
		b2 := js[0].Mul(jt[3]).Sub(js[3].Mul(jt[0]))
		b3 := js[1].Mul(jt[2]).Sub(js[2].Mul(jt[1]))
		b4 := js[1].Mul(jt[3]).Sub(js[3].Mul(jt[1]))
		b5 := js[2].Mul(jt[3]).Sub(js[3].Mul(jt[2]))
		d := a0.Mul(b5).Sub(a1.Mul(b4)).Add(a2.Mul(b3)).Add(a3.Mul(b2)).Sub(a4.Mul(b1)).Add(a5.Mul(b0))
		going := archsimd.Mask64x8FromBits(active)
		det = d.Merge(det, going)
		good := d.Max(zero.Sub(d)).Greater(tiny).ToBits() // not for a NaN
		if bad := active &^ good; bad != 0 {
			b.singular |= bad
			b.count(bad, n)
			if active &= good; active == 0 {
				break
			}
		}
		inv := zero.Sub(one).Div(d)
		qx := inv.Mul(f[0].Mul(jy[1].Mul(b5).Sub(jy[2].Mul(b4)).Add(jy[3].Mul(b3))).
			Sub(f[1].Mul(jy[0].Mul(b5).Sub(jy[2].Mul(b2)).Add(jy[3].Mul(b1)))).
			Add(f[2].Mul(jy[0].Mul(b4).Sub(jy[1].Mul(b2)).Add(jy[3].Mul(b0)))).
			Sub(f[3].Mul(jy[0].Mul(b3).Sub(jy[1].Mul(b1)).Add(jy[2].Mul(b0)))))
		neg := zero.Sub(inv)
		qy := neg.Mul(f[0].Mul(jx[1].Mul(b5).Sub(jx[2].Mul(b4)).Add(jx[3].Mul(b3))).
			Sub(f[1].Mul(jx[0].Mul(b5).Sub(jx[2].Mul(b2)).Add(jx[3].Mul(b1)))).
			Add(f[2].Mul(jx[0].Mul(b4).Sub(jx[1].Mul(b2)).Add(jx[3].Mul(b0)))).
			Sub(f[3].Mul(jx[0].Mul(b3).Sub(jx[1].Mul(b1)).Add(jx[2].Mul(b0)))))
		qs := inv.Mul(f[0].Mul(jt[1].Mul(a5).Sub(jt[2].Mul(a4)).Add(jt[3].Mul(a3))).
			Sub(f[1].Mul(jt[0].Mul(a5).Sub(jt[2].Mul(a2)).Add(jt[3].Mul(a1)))).
			Add(f[2].Mul(jt[0].Mul(a4).Sub(jt[1].Mul(a2)).Add(jt[3].Mul(a0)))).
			Sub(f[3].Mul(jt[0].Mul(a3).Sub(jt[1].Mul(a1)).Add(jt[2].Mul(a0)))))
		qt := neg.Mul(f[0].Mul(js[1].Mul(a5).Sub(js[2].Mul(a4)).Add(js[3].Mul(a3))).
			Sub(f[1].Mul(js[0].Mul(a5).Sub(js[2].Mul(a2)).Add(js[3].Mul(a1)))).
			Add(f[2].Mul(js[0].Mul(a4).Sub(js[1].Mul(a2)).Add(js[3].Mul(a0)))).
			Sub(f[3].Mul(js[0].Mul(a3).Sub(js[1].Mul(a1)).Add(js[2].Mul(a0)))))
		step := size(zero, qx).Max(size(zero, qy)).Max(weigh.Mul(size(zero, qs))).Max(weigh.Mul(size(zero, qt)))
		whole := step.LessEqual(infinite).And(qx.LessEqual(infinite)).And(qy.LessEqual(infinite)).And(qs.LessEqual(infinite)).And(qt.LessEqual(infinite)).ToBits()
		if bad := active &^ whole; bad != 0 {
			b.singular |= bad
			b.count(bad, n)
			if active &= whole; active == 0 {
				break
			}
		}
		if far := step.Greater(limit); far.ToBits()&active != 0 {
			cut := limit.Div(step).Merge(one, far)
			qx, qy, qs, qt = qx.Mul(cut), qy.Mul(cut), qs.Mul(cut), qt.Mul(cut)
		}
		going = archsimd.Mask64x8FromBits(active)
		x = x.Add(qx).Merge(x, going)
		y = y.Add(qy).Merge(y, going)
		steer = steer.Add(qs).Merge(steer, going)
		spin = spin.Add(qt).Merge(spin, going)
		s, c := advance8(ss, cs, qs, active)
		ss, cs = s.Merge(ss, going), c.Merge(cs, going)
		s, c = advance8(st, ct, qt, active)
		st, ct = s.Merge(st, going), c.Merge(ct, going)
		if over := step.Less(done).ToBits() & active; over != 0 {
			b.reached |= over
			b.count(over, n)
			if active &^= over; active == 0 {
				break
			}
		}
	}
	b.count(active, iterations)
	x.Store(&b.x)
	y.Store(&b.y)
	steer.Store(&b.steer)
	spin.Store(&b.spin)
	ss.Store(&b.ss)
	cs.Store(&b.cs)
	st.Store(&b.st)
	ct.Store(&b.ct)
	det.Store(&b.det)
	archsimd.ClearAVXUpperBits()
	for m := b.used &^ b.reached; m != 0; m &= m - 1 { // as Solver does when it did not arrive
		k := bits.TrailingZeros8(m)
		b.ss[k], b.cs[k] = math.Sincos(b.steer[k])
		b.st[k], b.ct[k] = math.Sincos(b.spin[k])
	}
}

// count notes the Newton steps of lanes that are done.
func (b *Batch) count(lanes uint8, n int) {
	for ; lanes != 0; lanes &= lanes - 1 {
		b.steps[bits.TrailingZeros8(lanes)] = uint8(n)
	}
}

func size(zero, v vec8) vec8 { return v.Max(zero.Sub(v)) }

// advance8 is advance for eight lanes; the long series only where an active lane needs it.
func advance8(s, c, d vec8, active uint8) (vec8, vec8) {
	k := archsimd.BroadcastFloat64x8
	one, half := k(1), k(0.5)
	d2 := d.Mul(d)
	sd := d.Mul(one.Sub(d2.Mul(k(f3).Sub(d2.Mul(k(f5).Sub(d2.Mul(k(f7))))))))
	cd := one.Sub(d2.Mul(half.Sub(d2.Mul(k(f4).Sub(d2.Mul(k(f6)))))))
	if large := d2.Greater(k(smallTurn * smallTurn)); large.ToBits()&active != 0 {
		long := k(f13).Sub(d2.Mul(k(f15).Sub(d2.Mul(k(f17)))))
		long = k(f7).Sub(d2.Mul(k(f9).Sub(d2.Mul(k(f11).Sub(d2.Mul(long))))))
		sd = d.Mul(one.Sub(d2.Mul(k(f3).Sub(d2.Mul(k(f5).Sub(d2.Mul(long))))))).Merge(sd, large)
		long = k(f12).Sub(d2.Mul(k(f14).Sub(d2.Mul(k(f16)))))
		long = k(f6).Sub(d2.Mul(k(f8).Sub(d2.Mul(k(f10).Sub(d2.Mul(long))))))
		cd = one.Sub(d2.Mul(half.Sub(d2.Mul(k(f4).Sub(d2.Mul(long)))))).Merge(cd, large)
	}
	s, c = s.Mul(cd).Add(c.Mul(sd)), c.Mul(cd).Sub(s.Mul(sd))
	fix := k(1.5).Sub(half.Mul(s.Mul(s).Add(c.Mul(c))))
	return s.Mul(fix), c.Mul(fix)
}
