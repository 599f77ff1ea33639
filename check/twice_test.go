package check

import (
	"os"
	"testing"

	"lowslung/rig"
	"lowslung/solid"
)

// What mates and drive both find is in the list of all once; either answer has it.
func TestToldOnce(t *testing.T) {
	for patch, codes := range map[string][2]string{
		"chassis: {parts: {motor: {motor: {max_voltage: 8}}}}":                     {"mates/too-many-volts", "drive/over-voltage"},
		"chassis: {parts: {pinion: {gear: {diametral_pitch: null, module: 0.8}}}}": {"mates/wrong-pitch", "drive/pitch"},
	} {
		b, err := rig.Load(func(name string) ([]byte, error) {
			if name == "it.rig.yaml" {
				return []byte("lowslung: 1\nbase: bramble.rig.yaml\n" + patch + "\n"), nil
			}
			return os.ReadFile("../examples/" + name)
		}, "it.rig.yaml")
		if err != nil {
			t.Fatal(err)
		}
		m, err := solid.Resolve(b)
		if err != nil {
			t.Fatal(err)
		}
		a, err := Assess(m, Options{})
		if err != nil {
			t.Fatal(err)
		}
		count := map[string]int{}
		for _, f := range a.Findings {
			count[f.Code]++
		}
		own := 0
		for _, f := range a.Drive.Findings {
			if f.Code == codes[1] {
				own++
			}
		}
		if count[codes[0]] != 1 || count[codes[1]] != 0 || own == 0 {
			t.Errorf("%s: %v in the list of all, %d in drive", patch, count, own)
		}
	}
}
