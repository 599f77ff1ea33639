package rig

import "testing"

// A document of 300 to 500 lines with a bin of 80 items and more.
func BenchmarkLoad(b *testing.B) {
	texts := files{}
	for name, text := range examples(b) {
		texts[name] = string(text)
	}
	for name := range texts {
		if isBin(name) {
			continue
		}
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Load(texts.read, name); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkSetIn(b *testing.B) {
	text := Starter("A rig")
	for b.Loop() {
		if _, err := SetIn(text, []string{"chassis", "parts", "belly", "mass"}, "50 g"); err != nil {
			b.Fatal(err)
		}
	}
}
