package channel

import "lowslung/quantity"

func springing() []Channel {
	length := func(name, symbol string, sense Sense, doc string) Channel {
		return Channel{Name: name, Word: "ride", Symbol: symbol, Dim: quantity.DimLength, Digits: 1, Sense: sense, Doc: doc}
	}
	angle := func(name string, sense Sense, doc string) Channel {
		return Channel{Name: name, Word: "ride", Dim: quantity.DimAngle, Digits: 1, Sense: sense, Doc: doc}
	}
	out := []Channel{
		length("standing clearance", "", Higher, "Height of the belly plane above the ground midway between the axles, as it stands on its springs"),
		angle("chassis pitch", Neither, "Of the belly plane against the ground as it stands on its springs, positive nose down"),
		angle("chassis roll", Neither, "Of the belly plane against the ground as it stands on its springs, positive with the left side up"),
	}
	for _, axle := range []string{"front", "rear"} {
		out = append(out,
			length(axle+" ride height", "", Neither, "Height of the belly plane above the ground at the "+axle+" axle, as it stands on its springs"),
			Channel{Name: axle + " sag", Word: "ride", Dim: quantity.DimShare, Digits: 0, Doc: "Share of the stroke that the " + axle + " shocks have used as it stands"},
			Channel{Name: axle + " wheel rate", Word: "ride", Symbol: "k_w", Dim: quantity.DimRate, Digits: 3,
				Doc: "Force per bump at each wheel of the " + axle + " axle as it stands, both wheels together up: springs and bars at their motion ratios"},
			Channel{Name: axle + " ride frequency", Word: "ride", Symbol: "f", Dim: quantity.DimFrequency, Digits: 2,
				Doc: "Bounce of the sprung mass on the " + axle + " springs and tyres, undamped"},
			Channel{Name: axle + " damping ratio", Word: "ride", Symbol: "ζ", Dim: quantity.DimNumber, Digits: 2,
				Doc: "Damping of that bounce over the least that just does not swing: an estimate from oil and piston"},
		)
	}
	return append(out,
		Channel{Name: "front roll stiffness share", Word: "ride", Dim: quantity.DimShare, Digits: 1,
			Doc: "Front axle's share of the roll stiffness of both: springs, bars and tyres, as it stands"},
		angle("flexed tip angle left", Higher, "Side slope at which the rig tips over its left wheels, on its springs and tyres"),
		angle("flexed tip angle right", Higher, "Side slope at which the rig tips over its right wheels, on its springs and tyres"),
		angle("flexed tip angle nose up", Higher, "Climb at which the rig tips over its rear wheels, on its springs and tyres"),
		angle("flexed tip angle nose down", Higher, "Descent at which the rig tips over its front wheels, on its springs and tyres"),
		Channel{Name: "ramp travel index", Word: "ride", Dim: quantity.DimNumber, Digits: 0, Sense: Higher,
			Doc: "How far the left front wheel climbs a ramp of 20° before another wheel lifts, along the ramp, over the wheelbase, times 1000"},
		angle("approach angle", Higher, "Steepest plane that the front tyres meet before any other part, as it stands"),
		angle("departure angle", Higher, "The same behind the rear tyres"),
		angle("breakover angle", Higher, "Angle between the planes under front and rear tyres that meet at the lowest part between them"),
	)
}
