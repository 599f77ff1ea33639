package search

import (
	"context"
	"encoding/json"
	"os"
	"testing"
	"time"

	"lowslung/rig"
)

func TestQuick(t *testing.T) {
	b, err := rig.Load(func(n string) ([]byte, error) { return os.ReadFile("../examples/" + n) }, "bramble-portal.rig.yaml")
	if err != nil {
		t.Fatal(err)
	}
	t0 := time.Now()
	a, err := Run(context.Background(), b, Options{Progress: func(p Progress) {}})
	if err != nil {
		t.Fatal(err)
	}
	t.Log(time.Since(t0), a.Space, a.Evaluated, a.Front)
	a.Choices = nil
	for i := range a.Builds {
		a.Builds[i].Numbers = a.Builds[i].Numbers[:0]
	}
	a.Now = nil
	text, _ := json.MarshalIndent(a, "", " ")
	t.Log(string(text))
}
