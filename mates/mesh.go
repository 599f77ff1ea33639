package mates

import (
	"fmt"
	"math"

	"lowslung/solid"
)

const (
	meshTight = 0.03 // mm nearer than the pitch circles allow: the teeth bind
	meshWide  = 0.20 // share of the module further apart: the teeth climb
)

// mesh holds the distance between two gears' axes as they are placed against m(z₁ + z₂)/2 (ISO 21771; for DP (N₁ + N₂)/(2·DP)), and
// whether their faces stand beside each other at all. It says what is wrong, or nothing; gears that are not placed (both at their
// parts' origin without a shared carrier) are left alone.
func (w *works) mesh(a, b *Port) string {
	ba, bb := w.body(a.Part), w.body(b.Part)
	if ba == nil || bb == nil || ba.Carrier != bb.Carrier || a.Teeth == 0 || b.Teeth == 0 {
		return ""
	}
	axis := ba.Frame.Turn(solid.Vec{X: 1}) // a turning part turns about its own x axis
	if other := bb.Frame.Turn(solid.Vec{X: 1}); math.Abs(axis.Dot(other)) < 0.999 {
		return "their axes are not parallel as placed"
	}
	d := bb.Frame.At.Sub(ba.Frame.At)
	along := d.Dot(axis)
	apart := d.Along(axis, -along).Norm()
	if apart < 1e-9 && math.Abs(along) < 1e-9 {
		return ""
	}
	want := a.Module * float64(a.Teeth+b.Teeth) / 2
	switch {
	case apart < want-meshTight:
		return fmt.Sprintf("as placed their axes are %s apart and their pitch circles ask for %s: %s too near, they bind", w.dim(apart), w.dim(want), w.dim(want-apart))
	case apart > want+meshWide*a.Module:
		return fmt.Sprintf("as placed their axes are %s apart and their pitch circles ask for %s: %s too far", w.dim(apart), w.dim(want), w.dim(apart-want))
	}
	return ""
}

// body is the placed part of that name, its left or single one.
func (w *works) body(name string) *solid.Body {
	for i := range w.m.Bodies {
		if b := &w.m.Bodies[i]; b.Name == name && b.Side != solid.Right {
			return b
		}
	}
	return nil
}
