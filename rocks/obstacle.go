package rocks

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"

	"lowslung/quantity"
	"lowslung/solid"
)

// An obstacle is a kind of rock of which there are larger and smaller ones.
type obstacle struct {
	name   string
	about  string // what its size is
	angle  bool   // its size is an angle, otherwise a length
	least  float64
	most   float64
	stride float64 // between sizes tried on the way up
	fine   float64 // how finely the largest one is found
	usual  float64 // when none is asked for
	lay    func(size float64, seed uint64) course
}

// A course is rock laid out along x: the rig comes from below 0 and is through when its rear axle is beyond finish.
type course struct {
	rock   terrain
	lean   float64 // rad: the whole of it is tilted to the side, right side up when positive: the rig leans to its left
	start  float64 // x of the front axle at the start, in tyre radii behind 0
	finish float64 // mm
}

const (
	track   = 1600.0 // mm to both sides, and 2 m and more along
	camber  = 20.0   // degrees of the off-camber ledge
	walls   = 35.0   // degrees of the gully's sides
	between = 300.0  // mm from the right hole to the left one
	hole    = 150.0  // mm long, of a hole
	garden  = 900.0  // mm of boulders
)

var level = below(solid.Vec{}, solid.Vec{Z: 1})

func one(s ...stone) group { return group{stones: s} }

func ground() group { return one(level) }

// shelf is a step up of height h at x, mm.
func shelf(x, h float64) group {
	return one(block(solid.Vec{X: x + 1500, Z: h - 200}, solid.Vec{X: 3000, Y: 2 * track, Z: 400}, solid.Identity, 2))
}

var obstacles = []obstacle{
	{name: "ledge", about: "height of a step with a sharp edge, both front wheels at once", least: 5, most: 250, stride: 20, fine: 2, usual: 50,
		lay: func(h float64, _ uint64) course { return course{terrain{ground(), shelf(0, h)}, 0, 1.6, 60} }},
	{name: "climb", about: "slope after a level start, 0.5 m of it", angle: true, least: 3, most: 75, stride: 10, fine: 1, usual: 35,
		lay: func(a float64, _ uint64) course {
			sin, cos := math.Sincos(a * deg)
			return course{terrain{ground(), one(below(solid.Vec{}, solid.Vec{X: -sin, Z: cos}))}, 0, 1.6, 500 * cos}
		}},
	{name: "side slope", about: "slope across the way, right side up, 0.6 m along it", angle: true, least: 3, most: 75, stride: 10, fine: 1, usual: 30,
		lay: func(a float64, _ uint64) course { return course{terrain{ground()}, a * deg, 1.6, 250} }},
	{name: "off-camber ledge", about: "height of a ledge on a side slope of 20°", least: 5, most: 250, stride: 20, fine: 2, usual: 40,
		lay: func(h float64, _ uint64) course { return course{terrain{ground(), shelf(0, h)}, camber * deg, 1.6, 60} }},
	{name: "gully", about: "slope up which the bottom of a V with walls of 35° rises, 0.5 m of it", angle: true, least: 3, most: 75, stride: 10, fine: 1, usual: 35,
		lay: func(a float64, _ uint64) course {
			sin, cos := math.Sincos(walls * deg)
			up := solid.Turned(0, -a*deg, 0)
			var t terrain
			for _, side := range []float64{1, -1} { // the level part and the rising one of each wall make one surface
				n := solid.Vec{Y: -side * sin, Z: cos}
				t = append(t, one(below(solid.Vec{}, n), below(solid.Vec{}, up.Mul(n))))
			}
			return course{rock: t, start: 1.6, finish: 500 * math.Cos(a*deg)}
		}},
	{name: "holes", about: "depth of a hole for the right wheels and, 0.3 m on, one for the left", least: 5, most: 150, stride: 10, fine: 2, usual: 40,
		lay: func(h float64, _ uint64) course {
			slab := func(x0, x1, y0, y1 float64) stone {
				return block(solid.Vec{X: (x0 + x1) / 2, Y: (y0 + y1) / 2, Z: -200}, solid.Vec{X: x1 - x0, Y: y1 - y0, Z: 400}, solid.Identity, 2)
			}
			floor := one(slab(-track, 0, -track, track), slab(hole, between, -track, track), slab(between+hole, 2*track, -track, track), slab(0, hole, 0, track), slab(between, between+hole, -track, 0))
			return course{terrain{floor, one(below(solid.Vec{Z: -h}, solid.Vec{Z: 1}))}, 0, 1.6, between + hole + 60}
		}},
	{name: "boulders", about: "height of the largest of a field of boulders, 0.9 m of it", least: 10, most: 150, stride: 20, fine: 5, usual: 60, lay: boulders},
}

// boulders lie in rows, each turned and sunk by chance: the same seed lays the same field, and a larger size the same boulders larger.
func boulders(size float64, seed uint64) course {
	const rows, across = 7, 5
	rng := rand.New(rand.NewPCG(seed, 0x726f636b73))
	t := terrain{ground()}
	for i := range rows {
		for k := range across {
			x := 60 + (float64(i)+0.5+0.6*(rng.Float64()-0.5))*garden/rows
			y := (float64(k) - 2 + 0.5*float64(i%2) - 0.25 + 0.5*(rng.Float64()-0.5)) * 110
			share := 0.4 + 0.6*rng.Float64()
			flat := 0.6 + 0.5*rng.Float64()
			r := solid.Turned((rng.Float64()-0.5)*50*deg, (rng.Float64()-0.5)*50*deg, rng.Float64()*360*deg)
			h := size * share
			full := solid.Vec{X: 2 * h, Y: 2 * h * flat, Z: 2 * h} // half of it is in the ground
			t = append(t, one(block(solid.Vec{X: x, Y: y}, full.Scale(0.8), r, 0.25*h)))
		}
	}
	return course{t, 0, 2, 60 + garden + 60}
}

func obstacleOf(name string) (*obstacle, error) {
	var names []string
	for i := range obstacles {
		if obstacles[i].name == name {
			return &obstacles[i], nil
		}
		names = append(names, obstacles[i].name)
	}
	return nil, fmt.Errorf("obstacle: found %q, expected one of %s", name, strings.Join(names, ", "))
}

// Obstacles are their names, in the order of the standard set.
func Obstacles() (names []string) {
	for i := range obstacles {
		names = append(names, obstacles[i].name)
	}
	return names
}

// size is a size in words.
func (o *obstacle) size(v float64, units quantity.System) string {
	if o.angle {
		return quantity.DimAngle.FormatDigits(v*deg, units, 0)
	}
	return quantity.DimLength.FormatDigits(v, units, map[quantity.System]int{quantity.US: 2}[units])
}
