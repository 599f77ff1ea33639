package shop_test

import (
	"testing"

	"lowslung/examples"
	"lowslung/rig"
	"lowslung/shop"
	"lowslung/solid"
)

// The cut list has beside each link what shop strength says of it.
func TestCutListSaysWhatLinksStand(t *testing.T) {
	b, err := rig.Load(examples.Files.ReadFile, "bramble-portal.rig.yaml")
	if err != nil {
		t.Fatal(err)
	}
	m, err := solid.Resolve(b)
	if err != nil {
		t.Fatal(err)
	}
	cut, strength := shop.CutOf(b, m), shop.StrengthOf(m, shop.StrengthOptions{})
	for i := range cut.Links {
		l := &cut.Links[i]
		want := strength.Link(l.Name)
		if l.Strength == nil || want == nil || *l.Strength.PushMargin != *want.PushMargin || *l.Strength.StrikeMargin != *want.StrikeMargin {
			t.Errorf("%s: %+v, expected %+v", l.Name, l.Strength, want)
		}
	}
}
