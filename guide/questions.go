package guide

import (
	"fmt"
	"slices"
	"strings"

	"lowslung/quantity"
	"lowslung/rig"
)

// A Question asks for one number.
type Question struct {
	Key     string // stable
	Ask     string // what is asked
	Help    string // how to measure it
	Dim     *quantity.Dimension
	Least   float64 // smallest answer taken, in the bare unit (mm, g)
	Most    float64
	Usual   float64
	Drawing string // which drawing shows it
}

// Questions are asked in this order. Limits are wide on purpose: they catch slips of the pen, not unusual rigs. Usual values
// are common practice for trail trucks in 1/10.
func Questions() []Question {
	length := func(key, ask, help string, least, most, usual float64, drawing string) Question {
		return Question{key, ask, help, quantity.DimLength, least, most, usual, drawing}
	}
	mass := func(key, ask, help string, least, most, usual float64, drawing string) Question {
		return Question{key, ask, help, quantity.DimMass, least, most, usual, drawing}
	}
	return []Question{
		length("wheelbase", "How far apart are the axles?",
			"Unplug the pack first: a wheel that starts by itself takes fingers along. Stand the rig on a flat table and measure along the ground from the middle of the front wheel to the middle of the rear wheel.", 150, 600, 305, "wheelbase"),
		length("track", "How far apart are the left and right wheels?",
			"From the middle of the left tyre's tread to the middle of the right one's. The same as outside to outside, less one tyre width.", 100, 400, 200, "track"),
		length("tyre_diameter", "How large are the tyres?",
			"Diameter of a tyre off the ground, over the tread. Often printed on the side wall.", 60, 220, 118, "tyre_diameter"),
		length("ride_height", "How high is the belly?",
			"From the table up to the lowest plane of the skid, rig standing as it drives, with pack and body.", 10, 150, 62, "ride_height"),
		length("rear_lower_link", "How long are the rear lower links?",
			"Eye to eye: from the middle of the ball at the skid to the middle of the ball at the axle. On a curved link, straight across.", 40, 250, 106, "lower_link"),
		length("rear_upper_link", "How long are the rear upper links?",
			"Eye to eye, as the lower ones.", 40, 250, 114, "upper_link"),
		length("front_lower_link", "How long are the front lower links?",
			"Eye to eye, as at the rear.", 40, 250, 106, "lower_link"),
		length("front_upper_link", "How long are the front upper links?",
			"Eye to eye. With one upper link and a transverse rod in front, take the upper link; the document is where you change the rest.", 40, 250, 114, "upper_link"),
		length("chassis_eyes", "How far is the upper link's eye above the lower one's at the skid?",
			"Straight up, from the bolt of the lower link to the bolt of the upper link, at the chassis end.", 8, 80, 26, "chassis_eyes"),
		length("axle_eyes", "How far is the upper link's eye above the lower one's at the axle?",
			"Straight up, from the bolt of the lower link to the bolt of the upper link, at the axle end.", 10, 90, 36, "axle_eyes"),
		length("shock_open", "How long is a shock fully open?",
			"Take a shock off and pull it out. From the middle of one eye to the middle of the other. Mind the spring: it is under load.", 50, 200, 104, "shock_open"),
		length("shock_closed", "How long is a shock fully closed?",
			"The same with the shock pushed together, spring off.", 30, 180, 72, "shock_closed"),
		length("shock_set", "How long is a shock as the rig stands?",
			"Eye to eye with the rig standing on its wheels, pack and body on. Where front and rear differ, take the middle and put your own in later.", 35, 195, 92, "shock_set"),
		mass("mass", "How heavy is the whole rig?",
			"On a kitchen scale, ready to drive, pack and body on.", 300, 15000, 2600, "scale_whole"),
		mass("front_mass", "How much of that stands on the front wheels?",
			"Front wheels on the scale, rear wheels on something of the same height, so that the rig stands level.", 100, 12000, 1400, "scale_front"),
		mass("battery_mass", "How heavy is the pack?",
			"On the scale by itself. Never a dented or swollen one: that goes to the battery collection.", 10, 3000, 180, "battery"),
	}
}

// A Mistake is one answer that cannot be used.
type Mistake struct {
	Key  string // of the question; "" when it is about several
	Text string
}

// Mistakes are all answers that cannot be used.
type Mistakes []Mistake

func (m Mistakes) Error() string {
	lines := make([]string, len(m))
	for i, one := range m {
		lines[i] = strings.TrimPrefix(one.Key+": "+one.Text, ": ")
	}
	return strings.Join(lines, "\n")
}

func (m *Mistakes) add(key, format string, args ...any) {
	*m = append(*m, Mistake{key, fmt.Sprintf(format, args...)})
}

// read turns answers into numbers in the bare units, mm and g.
func read(answers map[string]string) (map[string]float64, Mistakes) {
	var bad Mistakes
	out := map[string]float64{}
	questions := Questions()
	var keys []string
	for _, q := range questions {
		keys = append(keys, q.Key)
		text := strings.TrimSpace(answers[q.Key])
		if text == "" {
			bad.add(q.Key, "found no answer, expected %s, such as %g %s", q.Dim.Name, q.Usual, q.Dim.Bare)
			continue
		}
		v, err := q.Dim.Parse(text)
		if err != nil {
			bad.add(q.Key, "%v", err)
			continue
		}
		v = q.Dim.In(v, q.Dim.Bare)
		if !(v >= q.Least && v <= q.Most) {
			bad.add(q.Key, "found %s, expected between %g and %g %s", text, q.Least, q.Most, q.Dim.Bare)
			continue
		}
		out[q.Key] = v
	}
	var strange []string
	for key := range answers {
		if !slices.Contains(keys, key) {
			strange = append(strange, key)
		}
	}
	slices.Sort(strange)
	for _, key := range strange {
		near := ""
		if n := rig.Nearest(key, keys); n != "" {
			near = fmt.Sprintf("; did you mean %q?", n)
		}
		bad.add(key, "found an answer to no question%s", near)
	}
	return out, bad
}
