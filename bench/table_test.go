package bench

import (
	"errors"
	"strings"
	"testing"

	"lowslung/rig"
)

func TestTable(t *testing.T) {
	list, err := ReadTable("r.csv", []byte("Name,of,at,side,is,within,angle\nall,mass,,,2790 g,3 g,\n,wheel load,front left,,27.2 oz,,\n,wheel load,front right,,,,\nup,raised load,rear,,1335,,20\n"))
	if err != nil {
		t.Fatal(err)
	}
	if len(list) != 3 || list[0].Name != "all" || list[1].Name != "wheel load front left" || list[2].Value.Angle == nil {
		t.Fatalf("%+v", list)
	}
	near(t, "ounces", value(t, &list[1].Value), 27.2*0.028349523125, 1e-12)
	near(t, "angle", float64(*list[2].Value.Angle), 20*deg, 1e-12)

	list, err = ReadTable("r.csv", []byte("\xef\xbb\xbfof;is;at\r\nride height;67,3 mm;front\r\n"))
	if err != nil || len(list) != 1 {
		t.Fatal(list, err)
	}
	near(t, "decimal comma", value(t, &list[0].Value), 67.3, 1e-12)
}

func TestTableMistakes(t *testing.T) {
	for text, want := range map[string]string{
		"":                             "empty table",
		"of,iss\n":                     `did you mean "is"`,
		"at,is\nfront,3\n":             `no column "of"`,
		"of,is\nwheel lode,3\n":        `did you mean "wheel load"`,
		"of,is\nmass,heavy\n":          "expected a number",
		"of,is,side\nwheelbase,3,up\n": "expected left or right",
		"of,is,block\nmass,3,3 g\n":    "which is a mass",
		"of,is,block\nmass,3,-1\n":     "more than 0",
		"of,is\nmass,1\nmass,2\n":      "second reading",
		"of,is\nmass,\"1\n":            "breaks off",
		"of,is,of\nmass,1\n":           "twice",
		"of,is\nmass,\xff\n":           "UTF-8",
		"of,is,within\nmass,1,a lot\n": "expected a number",
	} {
		_, err := ReadTable("r.csv", []byte(text))
		var bad rig.Diagnostics
		if !errors.As(err, &bad) || !strings.Contains(err.Error(), want) || !strings.HasPrefix(err.Error(), "r.csv:") {
			t.Errorf("%q: %v, want %q", text, err, want)
		}
	}
}
