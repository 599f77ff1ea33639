package rig

import (
	"reflect"
	"strings"
	"testing"
)

// The words that the document allows are the kinds that there are.
func TestReadingKindsAreTheWords(t *testing.T) {
	f, _ := reflect.TypeFor[Reading]().FieldByName("Of")
	words := strings.Split(f.Tag.Get("enum"), ",")
	if len(words) != len(ReadingKinds()) {
		t.Errorf("%d words, %d kinds", len(words), len(ReadingKinds()))
	}
	for _, w := range words {
		k, ok := (&Reading{Of: w}).KindOf()
		if !ok || k.Dim == nil || k.Within <= 0 && k.Share <= 0 {
			t.Errorf("%q: %+v", w, k)
		}
	}
}
