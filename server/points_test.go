package server

import (
	"strings"
	"testing"
)

func TestRigFromMeasuredPoints(t *testing.T) {
	b := openShop(t)
	const table = "axle\twhat\tchassis x\tchassis y\tchassis z\taxle x\taxle y\taxle z\tpinion angle\n" +
		"rear\twheel\t\t\t\t-152,5\t100\t-12\t6\nrear\tlower\t-40\t28\t8\t-142\t46\t-17\t\nrear\tupper\t-36\t25\t32\t-147\t22\t18\t\n"
	made := b.do("POST", "/api/rigs", map[string]string{"file": "measured.rig.yaml", "points": table}).want(201).rig()
	if made.Name != "measured" || made.Revision != 1 || !strings.Contains(made.Text, "near: [-152.5, 0, -12]") || made.Why != "begun from measured points" {
		t.Errorf("found %+v", made)
	}
	var answer struct {
		Axles struct {
			Rear struct {
				Design struct {
					PinionAngle float64 `json:"pinion_angle_deg"`
				}
			}
		}
	}
	b.do("GET", "/api/rigs/"+made.ID+"/travel", nil).want(200).into(&answer)
	if got := answer.Axles.Rear.Design.PinionAngle; got < 6-1e-6 || got > 6+1e-6 {
		t.Errorf("found a pinion angle of %g°, expected the 6° measured", got)
	}

	p := b.do("POST", "/api/rigs", map[string]string{"file": "bad.rig.yaml", "points": strings.Replace(table, "rear\tlower", "raer\tlower", 1)}).problem(422, "table of points")
	if len(p.Errors) != 1 || p.Errors[0].Location != "body.points" || p.Errors[0].Line != 3 || p.Errors[0].Column != 1 || !strings.Contains(p.Errors[0].Message, `did you mean "rear"?`) {
		t.Errorf("found %+v", p.Errors)
	}
	b.do("POST", "/api/rigs", map[string]string{"file": "two.rig.yaml", "points": table, "starter": "x"}).problem(422, "exactly one")
}
