package solid_test

import (
	"errors"
	"os"
	"slices"
	"strings"
	"testing"

	"lowslung/rig"
	"lowslung/solid"
)

const sprung = `lowslung: 1
base: gully.rig.yaml
front:
  parts:
    front tyre: {tyre: {curve: [{pressed: 2, load: 2.5}, {pressed: 5, load: 8}]}}
shocks:
  front:
    springs: [{item: spring-65-16}, {rate: 0.5, free: 20, solid: 14}]
    above_piston: [{item: spring-65-08, free: 40}]
    below_piston: [{rate: 0.1, free: 30}]
    collar: 6
    piston: {discharge: 0.7, rebound: {holes: 1, diameter: 0.8}}
`

func resolved(t *testing.T, text string) (*solid.Model, error) {
	t.Helper()
	b, err := rig.Load(func(name string) ([]byte, error) {
		if name == "it.rig.yaml" {
			return []byte(text), nil
		}
		return os.ReadFile("../examples/" + name)
	}, "it.rig.yaml")
	if err != nil {
		return nil, err
	}
	return solid.Resolve(b)
}

// What gives, as the document writes it: items filled in, twins mirrored.
func TestSpringsBarsAndTyresAreResolved(t *testing.T) {
	m, err := resolved(t, sprung)
	if err != nil {
		t.Fatal(err)
	}
	s := m.Shocks[1]
	if s.Name != "front" || s.Side != solid.Right {
		t.Fatalf("found %s %s, expected the front right shock", s.Name, s.Side)
	}
	if want := []solid.Spring{{Item: "spring-65-16", Rate: 0.16, Free: 65, Travel: 42}, {Rate: 0.5, Free: 20, Travel: 6}}; !slices.Equal(s.Springs, want) {
		t.Errorf("outer springs %+v, expected %+v", s.Springs, want)
	}
	if want := []solid.Spring{{Item: "spring-65-08", Rate: 0.08, Free: 40, Travel: 19}}; !slices.Equal(s.Above, want) {
		t.Errorf("springs above the piston %+v, expected %+v", s.Above, want)
	}
	if want := []solid.Spring{{Rate: 0.1, Free: 30}}; !slices.Equal(s.Below, want) || s.Collar != 6 {
		t.Errorf("springs below the piston %+v, collar %v", s.Below, s.Collar)
	}
	if want := (solid.Damper{Oil: 350, Bore: 10, Rod: 3, Holes: 2, Hole: 1.2, Length: 2.4, Gap: 0.05, Discharge: 0.7, Valved: [2]solid.OneWay{{}, {Holes: 1, Hole: 0.8}}}); s.Damper != want {
		t.Errorf("damper %+v, expected %+v", s.Damper, want)
	}
	w := m.Axles[solid.Front].Wheels
	if len(w) != 2 || w[0].Side != solid.Left || w[1].At != w[0].At.Flip() || w[1].Rate != 1.5 || w[0].Radius != 63.5 || w[0].Lateral != 1 {
		t.Errorf("front wheels %+v", w)
	}
	if want := []solid.Press{{By: 2, Load: 2.5}, {By: 5, Load: 8}}; !slices.Equal(w[0].Curve, want) {
		t.Errorf("tyre's curve %+v, expected %+v", w[0].Curve, want)
	}
	b := m.Bars[0]
	if b.Name != "rear" || !b.Hung || b.Eyes[1].At != b.Eyes[0].At.Flip() || b.Eyes[0].At.Y <= 0 || b.Wire != 1.6 || b.Material != "spring steel" {
		t.Errorf("bar %+v", b)
	}
}

func TestTyresCurveMustRise(t *testing.T) {
	_, err := resolved(t, strings.Replace(sprung, "load: 8", "load: 2", 1))
	var bad rig.Diagnostics
	if !errors.As(err, &bad) || len(bad) != 1 || bad[0].Code != "contradiction" || !strings.Contains(bad[0].Text, "expected both to rise") {
		t.Fatalf("found %v, expected one contradiction", err)
	}
}
