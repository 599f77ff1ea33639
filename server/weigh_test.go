package server

import (
	"testing"

	"lowslung/form"
	orders "lowslung/shop"
)

// A mesh is weighed as the command does it, and a bad one is refused in words.
func TestWeighIsTheCommands(t *testing.T) {
	s := openShop(t)
	m, err := form.Stack(form.Layer{Rings: []form.Ring{form.Rectangle(0, 0, 40, 20), form.Circle(10, 0, 8)}, Height: 3})
	if err != nil {
		t.Fatal(err)
	}
	for _, data := range [][]byte{m.STL("x"), m.ThreeMF("x", "")} {
		want, err := orders.Weigh(data, orders.WeighOptions{Material: "PA12", Infill: 0.3, File: "a.stl"})
		if err != nil {
			t.Fatal(err)
		}
		wantJSON(t, s.do("POST", "/api/shop/weigh?material=PA12&infill=30+%25&file=a.stl", data, "Content-Type", "application/octet-stream"), want)
	}
	s.do("POST", "/api/shop/weigh", []byte("nothing of the kind"), "Content-Type", "application/octet-stream").problem(422, "")
	s.do("POST", "/api/shop/weigh?infill=0", m.STL("x"), "Content-Type", "application/octet-stream").problem(422, "")
	s.do("POST", "/api/shop/weigh?material=cheese", m.STL("x"), "Content-Type", "application/octet-stream").problem(422, "")
}
