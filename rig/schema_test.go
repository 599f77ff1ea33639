package rig

import (
	"bytes"
	"errors"
	"regexp"
	"testing"

	"github.com/goccy/go-yaml"
	"github.com/santhosh-tekuri/jsonschema/v6"

	"lowslung/quantity"
)

// compile gives the schema to a validator that this program has no part in (santhosh-tekuri/jsonschema), which first holds
// it against the meta-schema of draft 2020-12.
func compile(t *testing.T, schema []byte) *jsonschema.Schema {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(schema))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("urn:lowslung:test", doc); err != nil {
		t.Fatal(err)
	}
	out, err := c.Compile("urn:lowslung:test")
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// generic reads YAML without any of this package's code.
func generic(t *testing.T, text []byte) any {
	t.Helper()
	js, err := yaml.YAMLToJSON(text)
	if err != nil {
		t.Fatal(err)
	}
	v, err := jsonschema.UnmarshalJSON(bytes.NewReader(js))
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func TestSchemaAcceptsDocuments(t *testing.T) {
	rig, bin := compile(t, Schema()), compile(t, BinSchema())
	if err := rig.Validate(generic(t, Starter("A rig"))); err != nil {
		t.Errorf("starter: %v", err)
	}
	for name, text := range examples(t) {
		s := rig
		if isBin(name) {
			s = bin
		}
		if err := s.Validate(generic(t, text)); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestSchemaRefuses(t *testing.T) {
	schema := compile(t, Schema())
	for name, c := range map[string]struct {
		text string
		ok   bool
	}{
		"version missing":              {"name: x", false},
		"version only":                 {"lowslung: 1", true},
		"patch without version":        {"base: a.yaml\nname: x", true},
		"patch that takes out":         {"base: a.yaml\nlinks: {upper: null}\nfront: null", true},
		"null without a base":          {"lowslung: 1\nfront: null", false},
		"link of a patch, one key":     {"base: a.yaml\nlinks: {upper: {length: 3 in}}", true},
		"link without ends":            {"lowslung: 1\nlinks: {upper: {length: 3 in}}", false},
		"unknown key":                  {"lowslung: 1\nlinks: {}\nlinx: {}", false},
		"wrong unit":                   {"lowslung: 1\nride_height: 3 g", false},
		"negative text":                {"lowslung: 1\nchassis: {parts: {a: {mass: -3 g}}}", false},
		"negative number":              {"lowslung: 1\nchassis: {parts: {a: {mass: -3}}}", false},
		"two numbers for a point":      {"lowslung: 1\nchassis: {parts: {a: {cg: [1, 2]}}}", false},
		"units in a point":             {"lowslung: 1\nchassis: {parts: {a: {cg: [1 in, 2 cm, 3]}}}", true},
		"unknown kind":                 {"lowslung: 1\nchassis: {parts: {a: {kind: skidd}}}", false},
		"name with a slash at its end": {"lowslung: 1\nchassis: {parts: {a/: {kind: skid}}}", false},
		"tyre of an item, one key":     {"lowslung: 1\nchassis: {parts: {a: {item: x, tyre: {width: 3}}}}", true},
		"tyre without its diameter":    {"lowslung: 1\nchassis: {parts: {a: {tyre: {width: 3}}}}", false},
		"field of an item taken out":   {"lowslung: 1\nchassis: {parts: {a: {item: x, cg: null}}}", true},
		"a list":                       {"[1, 2]", false},
	} {
		if err := schema.Validate(generic(t, []byte(c.text))); (err == nil) != c.ok {
			t.Errorf("%s: got %v, want valid %v", name, err, c.ok)
		}
	}
}

// The pattern of a quantity lets through what the program reads, and nothing else, size aside.
func TestSchemaPatterns(t *testing.T) {
	r := seed(t)
	pieces := []string{"1", "2.5", ".5", "5.", "-", "+", "e3", "E-2", " ", "mm", "in", "\"", "g", "N/mm", "°", "%", "x", ".", "kgf·cm", "N*m"}
	beyond := regexp.MustCompile(`[eE]-?[0-9]{3}`) // exponents beyond a float64
	for _, d := range quantity.All() {
		re, err := regexp.Compile(pattern(true, units(d)))
		if err != nil {
			t.Fatal(err)
		}
		for range 3000 {
			text := ""
			for range 1 + r.IntN(4) {
				text += pieces[r.IntN(len(pieces))]
			}
			_, err := d.Parse(text)
			if e := (*quantity.Error)(nil); errors.As(err, &e) && e.Which == "which is too large" {
				continue
			}
			if beyond.MatchString(text) {
				continue
			}
			if (err == nil) != re.MatchString(text) {
				t.Fatalf("%s %q: parse says %v, the pattern %v", d.Name, text, err, re.MatchString(text))
			}
		}
	}
}
