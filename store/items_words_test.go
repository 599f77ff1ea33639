package store

import (
	"math/rand/v2"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode"
)

// slowWords is what searchWords does, by rules of rewriting, each over the whole text.
func slowWords(text string) []string {
	text = strings.ToLower(text)
	for range 2 { // twice, since matches of 1,2,3 and 5 × 11 × 4 overlap
		text = regexp.MustCompile(`([0-9]),([0-9])`).ReplaceAllString(text, "$1.$2")
	}
	for range 2 { // only what is not written 5x11 yet
		text = regexp.MustCompile(`([0-9])(?: +[x×*] *| *[×*] *|x +)([0-9])`).ReplaceAllString(text, "${1}x${2}")
	}
	var out []string
	for _, w := range strings.FieldsFunc(text, func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsDigit(r) && !unicode.IsMark(r) && r != '.'
	}) {
		if w = strings.Trim(w, "."); w != "" {
			out = append(out, w)
		}
	}
	return out
}

func TestSearchWordsAgainstRewriting(t *testing.T) {
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, 2))
	bits := []string{"5", "11", " ", "  ", "x", "×", "*", ",", ".", "-", "m", "M3", "Ü", "e\u0301", "\xff", "½", "/"}
	texts := []string{"5 × 11 × 4", "M3 x 12", "2,5", "0,1,2", "3 x11, 4", "x5", "5x", "5 x", "5 × ", "max 5", "..", "v1.2."}
	for range 5000 {
		var b strings.Builder
		for range 1 + r.IntN(9) {
			b.WriteString(bits[r.IntN(len(bits))])
		}
		texts = append(texts, b.String())
	}
	for _, text := range texts {
		if got, want := searchWords(text), slowWords(text); !slices.Equal(got, want) {
			t.Fatalf("%q: %q, expected %q", text, got, want)
		}
	}
}
