package search

import (
	"os"
	"testing"

	"lowslung/rig"
)

func offered(t *testing.T, name, more string) (*rig.Build, []byte) {
	t.Helper()
	var text []byte
	b, err := rig.Load(func(n string) ([]byte, error) {
		body, err := os.ReadFile("../examples/" + n)
		if n == name {
			if text = body; more != "" {
				text = []byte(more)
			}
			return text, nil
		}
		return body, err
	}, name)
	if err != nil {
		t.Fatal(err)
	}
	return b, text
}

// Each offer, written into the document as it stands, is a choice that loads, and is then told as chosen; so are all of them together, and
// so is the starter.
func TestOffersCanBeWritten(t *testing.T) {
	for _, name := range []string{"bramble.rig.yaml", "bramble-portal.rig.yaml", "gully.rig.yaml"} {
		b, text := offered(t, name, "")
		if b.Doc.Search != nil { // begin without
			var err error
			if text, err = rig.RemoveIn(text, []string{"search"}); err != nil {
				t.Fatal(err)
			}
			b, _ = offered(t, name, string(text))
		}
		list := Offers(b)
		if len(list) < 6 {
			t.Errorf("%s: only %d offers: %+v", name, len(list), list)
		}
		seen := map[string]bool{}
		all := text
		for _, f := range list {
			if seen[f.Name] || f.Chosen || f.Values < 2 {
				t.Errorf("%s: %+v", name, f)
			}
			seen[f.Name] = true
			one, err := rig.SetIn(text, []string{"search", "vary", f.Name}, f.Value)
			if err != nil {
				t.Errorf("%s: %s: %v", name, f.Name, err)
				continue
			}
			with, _ := offered(t, name, string(one))
			chosen := 0
			for _, g := range Offers(with) {
				if g.Chosen && g.Name == f.Name && g.Change == f.Change {
					chosen++
				}
			}
			if chosen != 1 || len(with.Doc.Search.Vary) != 1 {
				t.Errorf("%s: %s was written, and is chosen %d times", name, f.Name, chosen)
			}
			if all, err = rig.SetIn(all, []string{"search", "vary", f.Name}, f.Value); err != nil {
				t.Errorf("%s: %s after the others: %v", name, f.Name, err)
			}
		}
		with, _ := offered(t, name, string(all))
		if len(with.Doc.Search.Vary) != len(list) {
			t.Errorf("%s: %d choices of %d offers", name, len(with.Doc.Search.Vary), len(list))
		}
		start, err := rig.SetIn(text, []string{"search"}, Starter(b))
		if err != nil {
			t.Fatalf("%s: starter %s: %v", name, Starter(b), err)
		}
		if with, _ := offered(t, name, string(start)); len(with.Doc.Search.Vary) < 2 {
			t.Errorf("%s: the starter varies %d things", name, len(with.Doc.Search.Vary))
		}
	}
}
