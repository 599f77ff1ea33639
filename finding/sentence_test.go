package finding

import "testing"

func TestSentence(t *testing.T) {
	for text, want := range map[string]string{"": "", "rear lower": "Rear lower", "Rear": "Rear", "2 plates": "2 plates", "über": "über", "→": "→"} {
		if got := Sentence(text); got != want {
			t.Errorf("%q: found %q, expected %q", text, got, want)
		}
	}
}
