package cli

import (
	"io"
	"testing"

	"lowslung/check"
	"lowslung/rig"
	"lowslung/solid"
	"os"
)

func BenchmarkLoadDocument(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if _, err := load("../examples/bramble-portal.rig.yaml"); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkResolve(b *testing.B) {
	root := os.DirFS("../examples")
	build, err := rig.Load(func(name string) ([]byte, error) {
		f, err := root.Open(name)
		if err != nil {
			return nil, err
		}
		defer f.Close()
		return io.ReadAll(f)
	}, "bramble-portal.rig.yaml")
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := solid.Resolve(build); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkCheck(b *testing.B) {
	l, err := load("../examples/bramble-portal.rig.yaml")
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := check.Assess(l.model, check.Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
