package solid

import (
	"math"
	"testing"
)

// boxTriangles are the twelve triangles of a box about the origin.
func boxTriangles(x, y, z float32) [][3][3]float32 {
	x, y, z = x/2, y/2, z/2
	c := func(i int) [3]float32 {
		p := [3]float32{-x, -y, -z}
		if i&1 != 0 {
			p[0] = x
		}
		if i&2 != 0 {
			p[1] = y
		}
		if i&4 != 0 {
			p[2] = z
		}
		return p
	}
	var out [][3][3]float32
	for _, q := range [][4]int{{0, 2, 3, 1}, {4, 5, 7, 6}, {0, 1, 5, 4}, {2, 6, 7, 3}, {0, 4, 6, 2}, {1, 3, 7, 5}} {
		out = append(out, [3][3]float32{c(q[0]), c(q[1]), c(q[2])}, [3][3]float32{c(q[0]), c(q[2]), c(q[3])})
	}
	return out
}

// ballTriangles is a ball of n by 2n faces.
func ballTriangles(radius float64, n int) [][3][3]float32 {
	at := func(i, j int) [3]float32 {
		if j == 2*n {
			j = 0
		}
		st, ct := math.Sincos(math.Pi * float64(i) / float64(n))
		sp, cp := math.Sincos(math.Pi * float64(j) / float64(n))
		if i == 0 || i == n {
			st, sp, cp = 0, 0, 1
		}
		return [3]float32{float32(radius * st * cp), float32(radius * st * sp), float32(radius * ct)}
	}
	var out [][3][3]float32
	for i := range n {
		for j := range 2 * n {
			a, b, c, d := at(i, j), at(i+1, j), at(i+1, j+1), at(i, j+1)
			if i < n-1 {
				out = append(out, [3][3]float32{a, b, c})
			}
			if i > 0 {
				out = append(out, [3][3]float32{a, c, d})
			}
		}
	}
	return out
}

func meshPiece(m *Mesh, f Frame) *Piece {
	s := Shape{Kind: Meshed, Mesh: m, Frame: f}
	list, _ := s.Pieces()
	return &list[0]
}

func TestMeshesAreClosedAndWeighWhatTheirSolidsDo(t *testing.T) {
	box := NewMesh(boxTriangles(30, 20, 10), 2)
	if !box.Closed || len(box.Points) != 8 || len(box.Triangles) != 12 {
		t.Fatalf("box: closed %v, %d corners, %d triangles", box.Closed, len(box.Points), len(box.Triangles))
	}
	want := Shape{Kind: Box, Size: Vec{60, 40, 20}}
	v, _, tensor := want.own()
	if math.Abs(box.Volume-v) > 1e-9 || !near(box.Middle, Vec{}, 1e-9) {
		t.Errorf("volume %g at %v, expected %g in the middle", box.Volume, box.Middle, v)
	}
	for k := range tensor {
		if math.Abs(box.Tensor[k]-tensor[k]) > 1e-9*tensor[0] {
			t.Errorf("tensor %v, expected %v", box.Tensor, tensor)
		}
	}
	ball := NewMesh(ballTriangles(20, 64), 1)
	if !ball.Closed || math.Abs(ball.Volume/(4*math.Pi*8000/3)-1) > 0.003 || math.Abs(ball.Tensor[0]/(0.4*400*ball.Volume)-1) > 0.003 {
		t.Errorf("ball: closed %v, volume %g, tensor %v", ball.Closed, ball.Volume, ball.Tensor)
	}
	// Moved away from the origin, the tensor about the middle stays; inside out, volume stays positive.
	far := boxTriangles(30, 20, 10)
	for i := range far {
		far[i][0], far[i][1] = far[i][1], far[i][0]
		for k := range far[i] {
			far[i][k][0] += 1000
		}
	}
	m := NewMesh(far, 1)
	if math.Abs(m.Volume-6000) > 1e-6 || !near(m.Middle, Vec{X: 1000}, 1e-6) || math.Abs(m.Tensor[0]-6000*(400+100)/12) > 1 {
		t.Errorf("inside out and far away: volume %g at %v, tensor %v", m.Volume, m.Middle, m.Tensor)
	}
	open := NewMesh(boxTriangles(30, 20, 10)[1:], 1)
	if open.Closed || open.Volume != 0 {
		t.Errorf("a box with a hole: closed %v, volume %g", open.Closed, open.Volume)
	}
	twice := NewMesh(append(boxTriangles(3, 2, 1), boxTriangles(3, 2, 1)...), 1)
	if twice.Closed {
		t.Error("every triangle twice counts as closed")
	}
}

func TestMeshesMeasureAsTheirSolids(t *testing.T) {
	r := seedOf(t)
	for range 300 {
		size := Vec{float64(float32(1 + 60*r.Float64())), float64(float32(1 + 60*r.Float64())), float64(float32(1 + 60*r.Float64()))}
		sa := anyShape(r, Box)
		sa.Size = size
		mesh := meshPiece(NewMesh(boxTriangles(float32(size.X), float32(size.Y), float32(size.Z)), 1), sa.Frame)
		sb := anyShape(r, hullKinds[r.IntN(5)])
		a, b := PieceOf(hullOf(t, sa)), PieceOf(hullOf(t, sb))
		want := Apart(&a, &b, math.Inf(1), nil)
		got := Apart(mesh, &b, math.Inf(1), nil)
		back := Apart(&b, mesh, math.Inf(1), nil)
		switch {
		case want.Distance > 0:
			if math.Abs(got.Distance-want.Distance) > 1e-6 || math.Abs(back.Distance-want.Distance) > 1e-6 || got.Deep {
				t.Fatalf("box %+v, its mesh %+v and %+v", want, got, back)
			}
			if d := got.AtA.Sub(got.AtB).Norm(); math.Abs(d-want.Distance) > 1e-6 || back.AtA != got.AtB {
				t.Fatalf("nearest points %v, %v are %g apart, not %g", got.AtA, got.AtB, d, want.Distance)
			}
		case !got.Touching() || !back.Touching():
			t.Fatalf("box touches %+v, its mesh not %+v", want, got)
		}
		if limit := want.Distance * 0.9; limit > 0 {
			if g := Apart(mesh, &b, limit, nil); !g.Beyond || g.Distance > want.Distance+1e-9 {
				t.Fatalf("beyond %g: %+v", limit, g)
			}
		}
		other := sb
		if sb.Kind == Box {
			other.Frame = sb.Frame
			second := meshPiece(NewMesh(boxTriangles(float32(sb.Size.X), float32(sb.Size.Y), float32(sb.Size.Z)), 1), other.Frame)
			g := Apart(mesh, second, math.Inf(1), nil)
			if want.Distance > 1e-5 && math.Abs(g.Distance-want.Distance) > 1e-4 || (want.Distance < -1e-3) != g.Touching() && want.Distance != 0 {
				t.Fatalf("two boxes %+v, their meshes %+v", want, g)
			}
		}
	}
}

// Against every triangle by itself, without the tree; and two meshes against every pair.
func TestTreesMissNothing(t *testing.T) {
	r := seedOf(t)
	ball := NewMesh(ballTriangles(20, 12), 1)
	for range 60 {
		mesh := meshPiece(ball, anyShape(r, Box).Frame)
		sb := anyShape(r, hullKinds[r.IntN(5)])
		b := PieceOf(hullOf(t, sb))
		slow := math.Inf(1)
		for i := range ball.Triangles {
			tri := ball.triangle(int32(i))
			p := PieceOf(tri.Placed(&mesh.Frame))
			g := Apart(&p, &b, math.Inf(1), nil)
			slow = min(slow, g.Distance)
		}
		got := Apart(mesh, &b, math.Inf(1), nil)
		if slow > 0 && !got.Deep && math.Abs(got.Distance-slow) > 1e-6 || slow <= 0 && !got.Touching() {
			t.Fatalf("tree %+v, one by one %g", got, slow)
		}
		two := meshPiece(NewMesh(ballTriangles(11, 7), 1), anyShape(r, Box).Frame)
		far := two.Frame.At.Sub(mesh.Frame.At).Norm()
		g := Apart(mesh, two, math.Inf(1), nil)
		slow = math.Inf(1)
		for i := range two.Mesh.Triangles {
			tri := two.Mesh.triangle(int32(i))
			p := PieceOf(tri.Placed(&two.Frame))
			k := Apart(mesh, &p, math.Inf(1), nil)
			slow = min(slow, k.Distance)
		}
		if far > 32 && (g.Deep || math.Abs(g.Distance-slow) > 1e-6 || g.Distance < far-31-1e-6) {
			t.Fatalf("balls %g apart: two trees %+v, one by one %g", far, g, slow)
		}
		if far < 25 && !g.Touching() {
			t.Fatalf("balls of 20 and 11 at %g: %+v", far, g)
		}
	}
}

func TestInsideIsInside(t *testing.T) {
	r := seedOf(t)
	ball := NewMesh(ballTriangles(20, 24), 1)
	for range 3000 {
		p := Vec{25 * (2*r.Float64() - 1), 25 * (2*r.Float64() - 1), 25 * (2*r.Float64() - 1)}
		n := p.Norm()
		if n > 19.8 && n < 20.001 { // between the ball and its faces
			continue
		}
		if ball.Inside(p) != (n < 20) {
			t.Fatalf("%v at %g of 20: inside %v", p, n, ball.Inside(p))
		}
	}
	// A screw wholly inside a gear case touches no triangle, but is in it.
	small := PieceOf(Line(Vec{}, Vec{X: 1}, 1))
	if g := Apart(meshPiece(ball, Frame{R: Identity}), &small, 100, nil); !g.Touching() || !g.Deep {
		t.Errorf("a small part in the middle of a ball: %+v", g)
	}
	tiny := meshPiece(NewMesh(boxTriangles(1, 1, 1), 1), Frame{R: Identity})
	for _, g := range []Gap{Apart(meshPiece(ball, Frame{R: Identity}), tiny, 100, nil), Apart(tiny, meshPiece(ball, Frame{R: Identity}), 100, nil)} {
		if !g.Touching() {
			t.Errorf("a small mesh in the middle of a ball: %+v", g)
		}
	}
}

// Two dense plates along each other are the worst there is for trees; the work is bounded, and what was not looked at is said.
func TestMeshesAlongEachOtherStayQuick(t *testing.T) {
	plate := func(z float32) *Mesh {
		var out [][3][3]float32
		const n = 100
		for i := range n {
			for j := range n {
				x, y := float32(i), float32(j)
				a, b, c, d := [3]float32{x, y, z}, [3]float32{x + 1, y, z}, [3]float32{x + 1, y + 1, z}, [3]float32{x, y + 1, z}
				out = append(out, [3][3]float32{a, b, c}, [3][3]float32{a, c, d})
			}
		}
		return NewMesh(out, 1)
	}
	tilt := Frame{R: Turned(1e-6, 1e-6, 0)}
	g := Apart(meshPiece(plate(0), Frame{R: Identity}), meshPiece(plate(3), tilt), math.Inf(1), nil)
	if d := g.Distance; d > 3.001 || d-g.Slack < 2.5 || d < 2.999 {
		t.Errorf("%+v, expected about 3", g)
	}
}

func TestMeshDistancesTakeNoMemory(t *testing.T) {
	mesh := meshPiece(NewMesh(ballTriangles(20, 12), 1), Frame{At: Vec{50, 3, 2}, R: Turned(1, 2, 3)})
	other := meshPiece(NewMesh(ballTriangles(10, 5), 1), Frame{R: Identity})
	bar := PieceOf(Line(Vec{}, Vec{X: 10, Y: 20}, 3))
	if n := testing.AllocsPerRun(20, func() {
		Apart(mesh, &bar, 100, nil)
		Apart(mesh, other, 100, nil)
	}); n != 0 {
		t.Errorf("%v allocations", n)
	}
}

func BenchmarkMesh(b *testing.B) {
	big := ballTriangles(20, 220) // 193 160 triangles
	b.Run("grow", func(b *testing.B) {
		for b.Loop() {
			NewMesh(big, 1)
		}
	})
	mesh := meshPiece(NewMesh(big, 1), Frame{At: Vec{50, 3, 2}, R: Turned(1, 2, 3)})
	bar := PieceOf(Line(Vec{}, Vec{X: 10, Y: 20}, 3))
	b.Run("hull", func(b *testing.B) {
		for b.Loop() {
			Apart(mesh, &bar, 100, nil)
		}
	})
	other := meshPiece(NewMesh(ballTriangles(10, 100), 1), Frame{R: Identity})
	b.Run("mesh", func(b *testing.B) {
		for b.Loop() {
			Apart(mesh, other, 100, nil)
		}
	})
}
