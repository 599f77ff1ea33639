package solid

import "math"

// Vec is a point or a free vector, mm unless it is a direction.
type Vec struct{ X, Y, Z float64 }

func (a Vec) Add(b Vec) Vec              { return Vec{a.X + b.X, a.Y + b.Y, a.Z + b.Z} }
func (a Vec) Sub(b Vec) Vec              { return Vec{a.X - b.X, a.Y - b.Y, a.Z - b.Z} }
func (a Vec) Scale(s float64) Vec        { return Vec{a.X * s, a.Y * s, a.Z * s} }
func (a Vec) Dot(b Vec) float64          { return a.X*b.X + a.Y*b.Y + a.Z*b.Z }
func (a Vec) Cross(b Vec) Vec            { return Vec{a.Y*b.Z - a.Z*b.Y, a.Z*b.X - a.X*b.Z, a.X*b.Y - a.Y*b.X} }
func (a Vec) Norm() float64              { return math.Sqrt(a.Dot(a)) }
func (a Vec) Flip() Vec                  { return Vec{a.X, -a.Y, a.Z} } // mirror image at the centreline
func (a Vec) IsZero() bool               { return a == Vec{} }
func (a Vec) Along(d Vec, s float64) Vec { return Vec{a.X + s*d.X, a.Y + s*d.Y, a.Z + s*d.Z} }

// Unit is a/|a|, or the zero vector when a is shorter than 1e-9.
func (a Vec) Unit() Vec {
	n := a.Norm()
	if n < 1e-9 {
		return Vec{}
	}
	return a.Scale(1 / n)
}

// Mat is a 3×3 matrix, row by row; a rotation unless said otherwise.
type Mat [9]float64

// Identity is the rotation that turns nothing.
var Identity = Mat{1, 0, 0, 0, 1, 0, 0, 0, 1}

// Mul is the product m·v.
func (m *Mat) Mul(v Vec) Vec {
	return Vec{
		m[0]*v.X + m[1]*v.Y + m[2]*v.Z,
		m[3]*v.X + m[4]*v.Y + m[5]*v.Z,
		m[6]*v.X + m[7]*v.Y + m[8]*v.Z,
	}
}

// MulT is the product mᵀ·v, for a rotation the way back.
func (m *Mat) MulT(v Vec) Vec {
	return Vec{
		m[0]*v.X + m[3]*v.Y + m[6]*v.Z,
		m[1]*v.X + m[4]*v.Y + m[7]*v.Z,
		m[2]*v.X + m[5]*v.Y + m[8]*v.Z,
	}
}

// Times is the product a·b.
func (a *Mat) Times(b *Mat) Mat {
	var c Mat
	for i := 0; i < 3; i++ {
		for j := 0; j < 3; j++ {
			c[3*i+j] = a[3*i]*b[j] + a[3*i+1]*b[3+j] + a[3*i+2]*b[6+j]
		}
	}
	return c
}

// Turned is the rotation Rz(yaw)·Ry(pitch)·Rx(roll), ISO 8855 5.2 order, angles in rad.
func Turned(roll, pitch, yaw float64) Mat {
	sr, cr := math.Sincos(roll)
	sp, cp := math.Sincos(pitch)
	sy, cy := math.Sincos(yaw)
	return Mat{
		cy * cp, cy*sp*sr - sy*cr, cy*sp*cr + sy*sr,
		sy * cp, sy*sp*sr + cy*cr, sy*sp*cr - cy*sr,
		-sp, cp * sr, cp * cr,
	}
}

// AxleTurn is the rotation of an axle against the chassis, Rz(steer)·Rx(roll)·Ry(spin): with this order the wheel axis is
// (−sin ψ cos φ, cos ψ cos φ, sin φ), so roll φ and steer ψ are what a builder sees. Angles in rad.
func AxleTurn(steer, roll, spin float64) Mat {
	ss, cs := math.Sincos(steer)
	sr, cr := math.Sincos(roll)
	st, ct := math.Sincos(spin)
	return Mat{
		cs*ct - ss*sr*st, -ss * cr, cs*st + ss*sr*ct,
		ss*ct + cs*sr*st, cs * cr, ss*st - cs*sr*ct,
		-cr * st, sr, cr * ct,
	}
}

// A Frame is a rigid placement: outer = At + R·inner, after mirroring inner at its own x–z plane when Flip is set.
type Frame struct {
	At   Vec
	R    Mat
	Flip bool
}

// Apply places a point.
func (f *Frame) Apply(v Vec) Vec { return f.At.Add(f.Turn(v)) }

// Turn places a direction.
func (f *Frame) Turn(v Vec) Vec {
	if f.Flip {
		v = v.Flip()
	}
	return f.R.Mul(v)
}

// Then is the placement of something placed by inner in a frame placed by f.
func (f *Frame) Then(inner *Frame) Frame {
	out := Frame{At: f.Apply(inner.At), R: inner.R, Flip: inner.Flip != f.Flip}
	if f.Flip { // F·R = (F·R·F)·F with F = diag(1, −1, 1)
		out.R = mirrored(&inner.R)
	}
	out.R = f.R.Times(&out.R)
	return out
}

func mirrored(m *Mat) Mat {
	return Mat{m[0], -m[1], m[2], -m[3], m[4], -m[5], m[6], -m[7], m[8]}
}

// Sym is a symmetric tensor: xx, yy, zz, xy, xz, yz.
type Sym [6]float64

// ShapeKind is the kind of a convex shape.
type ShapeKind uint8

// Kinds of shapes.
const (
	Box ShapeKind = iota
	Cylinder
	Prism   // a plate: flat outline, extruded evenly to both sides along z
	Capsule // round-ended bar along x, Size.X between the centres of its ends
	Disc    // a tyre: cylinder along y with rounded edges
	Meshed  // a surface of triangles, the only kind that need not be convex
)

// A Shape is one shape placed in a carrier's frame; convex, but for plates and meshes.
type Shape struct {
	Kind    ShapeKind
	Frame   Frame        // centre and directions
	Size    Vec          // box: full lengths; cylinder and capsule: X length, Y and Z diameter; prism: Z thickness; disc: X, Z diameter, Y width
	Outline [][2]float64 // prism only: corners in order, mm
	Mesh    *Mesh        // meshed only; shared, in the shape's own frame
}
