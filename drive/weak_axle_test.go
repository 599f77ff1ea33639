package drive

import (
	"math"
	"strings"
	"testing"

	"lowslung/finding"
)

// Bevel gears after Tredgold: virtual teeth z/cos δ, tan δ = z₁/z₂ (Shigley ch. 13; recomputed, exact).
func TestPublishedBevel(t *testing.T) {
	p, g := BevelOf(20, 40, 2, 10), BevelOf(40, 20, 2, 10)
	close(t, "virtual teeth of the pinion, 20/40", p.Virtual, 10*math.Sqrt(5), 1e-12)
	close(t, "virtual teeth of the gear, 20/40", g.Virtual, 40*math.Sqrt(5), 1e-12)
	close(t, "cone distance, m 2 20/40", p.Cone, 20*math.Sqrt(5), 1e-12)
	close(t, "mitre gears", BevelOf(20, 20, 1, 0).Virtual, 20*math.Sqrt2, 1e-12)
	// pitch radius in the middle of the face: r − F/2·sin δ, sin δ = z₁/√(z₁² + z₂²)
	close(t, "radius in the middle", p.Radius, 20-5/math.Sqrt(5), 1e-12)
	close(t, "module in the middle", p.Module, 2*p.Radius/20, 1e-12)
}

// The mean module against the slow twin: a tooth that tapers to the point, cut in slices that all bear the same stress, each carrying
// dT = σ·Y·m(x)·r(x)·dx. The integral is σ·Y·m·r·F·(1 − u + u²/3), u = F/R; the mean takes (1 − u/2)². Within u²/12, on the safe side; the
// handbooks' 1 − F/R (Hall, Holowenko & Laughlin, Machine Design, bevel gears: from memory) is safer by u²/4.
func TestBevelAgainstSlices(t *testing.T) {
	for _, c := range []struct {
		z, other int
		share    float64 // face over cone distance; a third is the most that is usual
	}{{8, 30, 1. / 3}, {8, 27, 0.2}, {20, 20, 0.25}, {30, 8, 1. / 3}} {
		const m, stress = 1.0, 100.0
		cone := BevelOf(c.z, c.other, m, 0).Cone
		face := c.share * cone
		g := BevelOf(c.z, c.other, m, face)
		sum := 0.0
		const slices = 10000
		for k := range slices {
			x := (float64(k) + 0.5) / slices * face
			taper := 1 - x/cone
			sum += stress * FormFactor(g.Virtual) * m * taper * m * float64(c.z) / 2 * taper * face / slices
		}
		got := g.Bending(sum, face, 0) // the estimate for the torque that the slices carry at 100 MPa
		want := stress * (1 - c.share + c.share*c.share/3) / math.Pow(1-c.share/2, 2)
		close(t, "stress", got, want, 1e-5)
		if got < stress || got > stress*(1+c.share*c.share/8) {
			t.Errorf("%d/%d: %.2f MPa where the slices bear 100", c.z, c.other, got)
		}
		if book := stress * (1 - c.share + c.share*c.share/3) / (1 - c.share); book < got {
			t.Errorf("%d/%d: the handbook's factor gives %.2f MPa, expected it to be safer than %.2f", c.z, c.other, book, got)
		}
	}
	// a pinion on a gear so large that it is flat is a spur gear on a rack
	b := BevelOf(20, 2_000_000, 1, 5)
	close(t, "nearly spur", b.Bending(100, 5, 0), Bending(100/10., 5, 1, FormFactor(20), 0), 1e-4)
}

const sized = `drive:
  front: {ring: 27, pinion: 8, portal: [16, 20], gears: {module: 1, face: 5, material: alloy steel}, portal_gears: {module: 0.6, face: 5, material: alloy steel},
    half_shaft: {diameter: 5, material: alloy steel}, stub: {diameter: 5, pin: 2, material: alloy steel}}
`

func margins(t *testing.T, a Answer) map[string]Margin {
	t.Helper()
	out := map[string]Margin{}
	for _, w := range a.Weak {
		out[w.Part+": "+w.What] = w
	}
	return out
}

// The axle's parts by hand from the torque that its wheels slip at with the whole rig on it.
func TestStrengthWithinAnAxle(t *testing.T) {
	l := lineOf(t, "bramble-portal", sized)
	wheels := l.ends[0].grip * l.weight * l.ends[0].radius
	a := answer(t, "bramble-portal", sized)
	got := margins(t, a)
	const eff = 0.96
	upper := wheels / (1.25 * eff)
	pinion := upper / (27. / 8 * eff)
	for part, want := range map[string]float64{
		"front stub shaft: shaft torsion": wheels, "front stub shaft: pin shear": wheels, "front half shaft: shaft torsion": upper,
		"front portal, upper gear: tooth bending": upper, "front axle pinion: tooth bending, bevel": pinion,
		"front axle ring gear: tooth bending, bevel": pinion * 27 / 8, "front portal, lower gear: tooth bending": upper * 20 / 16,
	} {
		close(t, part, got[part].Torque, want, 1e-9*want)
	}
	// the drive shaft brings what the pinion gets
	close(t, "drive shaft", *a.Shafts[0].TorqueNMM, pinion, 1e-9*pinion)
	// stresses by the formulas of Shigley, by hand: stub 5 mm, pin 2 mm, portal 16 teeth m 0.6 F 5, Y .296
	near := func(part string, want, share float64) {
		if s := got[part].Stress; math.Abs(s-want) > share*want {
			t.Errorf("%s: %.2f MPa, expected %.2f", part, s, want)
		}
	}
	near("front stub shaft: shaft torsion", 16*wheels/(math.Pi*125), 1e-12)
	near("front stub shaft: pin shear", wheels/5/math.Pi, 1e-12)
	near("front half shaft: shaft torsion", 16*upper/(math.Pi*125), 1e-12)
	near("front portal, upper gear: tooth bending", upper/4.8/(5*0.6*0.296), 0.06) // the velocity factor is a few percent
	near("front portal, lower gear: tooth bending", upper/4.8/(5*0.6*0.322), 0.06)
	for _, w := range a.Weak {
		if strings.HasPrefix(w.Part, "front ") && w.Stuff == "alloy steel" && w.What == "tooth bending" && w.Holds != 900 {
			t.Errorf("%+v", w)
		}
	}
	// an open differential gives each side half
	open := margins(t, answer(t, "bramble-portal", sized+"    # open\n  rear: {diff: open}\n"))
	locked := got["rear half shaft: shaft torsion"].Torque
	close(t, "open", open["rear half shaft: shaft torsion"].Torque, locked/2, 1e-9*locked)
	close(t, "open, before the differential", open["rear axle pinion: tooth bending, bevel"].Torque, got["rear axle pinion: tooth bending, bevel"].Torque, 1e-9*pinion)
}

// Wider teeth, thicker shafts, a slipper: never less margin.
func TestMoreStuffHoldsMore(t *testing.T) {
	base := margins(t, answer(t, "bramble-portal", sized))
	for _, c := range []struct{ from, to, part string }{
		{"gears: {module: 1, face: 5", "gears: {module: 1, face: 6", "front axle pinion: tooth bending, bevel"},
		{"gears: {module: 1,", "gears: {module: 1.1,", "front axle pinion: tooth bending, bevel"},
		{"portal_gears: {module: 0.6, face: 5", "portal_gears: {module: 0.6, face: 7", "front portal, upper gear: tooth bending"},
		{"half_shaft: {diameter: 5", "half_shaft: {diameter: 6", "front half shaft: shaft torsion"},
		{"pin: 2", "pin: 2.5", "front stub shaft: pin shear"},
	} {
		more := margins(t, answer(t, "bramble-portal", strings.Replace(sized, c.from, c.to, 1)))
		if m := more[c.part].Margin; !(m > base[c.part].Margin) {
			t.Errorf("%s: %.3f with %s, %.3f with %s", c.part, m, c.to, base[c.part].Margin, c.from)
		}
	}
	slip := margins(t, answer(t, "bramble-portal", sized+"  slipper: 20\n"))
	for part, m := range slip {
		if strings.HasPrefix(part, "front ") && m.Margin < base[part].Margin*(1-1e-9) {
			t.Errorf("%s: %.3f behind a slipper, %.3f without", part, m.Margin, base[part].Margin)
		}
	}
}

// What the document does not say is told once, by key.
func TestSizesThatLack(t *testing.T) {
	for patch, want := range map[string]string{
		"drive: {front: {gears: null}, rear: {gears: null}}":                 "the document does not say: gears: {module, face, material}.",
		"drive: {front: {gears: {face: null}}}":                              "the document does not say: gears: {face} (front).",
		"drive: {front: {gears: {material: unobtainium}}}":                   "the document does not say: gears: {material that is known} (front).",
		"drive: {front: {gears: {material: carbon}}}":                        "the document does not say: gears: {material that is known} (front).",
		"drive: {rear: {stub: {diameter: null}}}":                            "the document does not say: stub: {diameter} (rear).",
		"drive: {rear: {stub: {material: carbon}}}":                          "the document does not say: stub: {material} that is known (rear).",
		"drive: {front: {portal: [16, 20]}}":                                 "the document does not say: portal_gears: {module, face, material} (front).",
		"drive: {front: {half_shaft: null, stub: null}, rear: {stub: null}}": "the document does not say: half_shaft: {diameter} (front), stub: {diameter}.",
		"": "",
	} {
		a := answer(t, "bramble", patch)
		f := a.find("drive/axle-sizes")
		if want == "" && f != nil || want != "" && (f == nil || f.Level != finding.Note || !strings.Contains(f.Sentence, want)) {
			t.Errorf("%s: %+v, expected %q", patch, f, want)
		}
	}
	a := answer(t, "bramble", "drive: {front: {stub: {diameter: 2, pin: 1}}}")
	if f := a.find("drive/breaks"); f == nil || !strings.Contains(f.Sentence, "Front stub shaft is the first to give way") {
		t.Errorf("%+v", a.Findings)
	}
	for _, c := range []struct{ patch, says string }{
		{"drive: {front: {gears: {module: 1, diametral_pitch: 32}}}", "found the module 1 mm and the diametral pitch 32, which is the module 0.794 mm"},
		{"drive: {front: {gears: {face: 16}}}", "found a face of 16 mm on teeth that run to a point in 15.524 mm"},
		{"drive: {front: {gears: {face: 0}}}", `found "0" for "face"`},
		{"drive: {front: {portal_gears: {module: 0.6}}}", `found "portal_gears" without "portal"`},
		{"drive: {front: {stub: {pin: 5}}}", "found a pin of 5 mm through a shaft of 5 mm, expected a thinner pin"},
		{"drive: {front: {stub: {diameter: -5}}}", `found "-5" for "diameter"`},
	} {
		if _, err := load(t, "bramble", c.patch); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: found %v, expected %q", c.patch, err, c.says)
		}
	}
}
