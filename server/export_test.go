package server

import (
	"strings"
	"testing"

	"lowslung/export"
)

// Over HTTP an export is the command's, byte for byte, and says what it leaves out.
func TestExportsAreTheCommands(t *testing.T) {
	s := openShop(t)
	for _, file := range demoFiles {
		build, m := model(t, file)
		at := "/api/rigs/" + s.find(file).ID + "/export"
		var list struct{ Formats []ExportFormat }
		s.do("GET", at, nil).want(200).into(&list)
		if len(list.Formats) != len(export.Formats) {
			t.Errorf("%d formats", len(list.Formats))
		}
		for i, f := range export.Formats {
			want, left, err := export.Write(f, build, m)
			if err != nil {
				t.Fatal(err)
			}
			r := s.do("GET", at+"/"+f.Format, nil).want(200)
			if string(r.Raw) != string(want) || r.Header.Get("Content-Type") != f.Type || r.Header.Get("Content-Disposition") != `attachment; filename="`+strings.TrimSuffix(file, ".rig.yaml")+f.Ending+`"` {
				t.Errorf("%s as %s: %d bytes, expected %d; %v", file, f.Format, len(r.Raw), len(want), r.Header)
			}
			if len(list.Formats[i].Left) != len(left) {
				t.Errorf("%s as %s leaves out %v, expected %v", file, f.Format, list.Formats[i].Left, left)
			}
		}
		s.do("GET", at+"/obj", nil).problem(422, "")
	}
}
