package server

import (
	"strings"
	"testing"

	"lowslung/bench"
	"lowslung/quantity"
)

// Over HTTP the readings are judged as by the command, and the sheet is its sheet.
func TestBenchIsTheQuestion(t *testing.T) {
	s := openShop(t)
	for _, file := range append([]string{"bramble-bench.rig.yaml"}, demoFiles...) {
		_, m := model(t, file)
		a, err := bench.Assess(m, bench.Options{Units: quantity.US, Base: file})
		if err != nil {
			t.Fatal(err)
		}
		at := "/api/rigs/" + s.find(file).ID + "/bench"
		wantJSON(t, s.do("GET", at+"?units=us", nil), a)
		wantJSON(t, s.do("GET", at+"/sheet", nil), bench.SheetOf(m, quantity.Metric))
		for format, begins := range map[string]string{"pdf&paper=letter": "%PDF-", "csv": "name,of,at", "md": "# "} {
			if r := s.do("GET", at+"/sheet/paper?format="+format, nil); r.Status != 200 || !strings.HasPrefix(string(r.Raw), begins) || r.Header.Get("Content-Disposition") == "" {
				t.Errorf("%s %s: status %d, %.20q", file, format, r.Status, r.Raw)
			}
		}
		s.do("GET", at+"/sheet/paper?format=gif", nil).problem(422, "")
	}
}
