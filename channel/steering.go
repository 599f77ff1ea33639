package channel

import "lowslung/quantity"

func steering() []Channel {
	angle := func(name, symbol string, sense Sense, doc string) Channel {
		return Channel{Name: name, Word: "steer", Symbol: symbol, Dim: quantity.DimAngle, Digits: 1, Sense: sense, Doc: doc}
	}
	return []Channel{
		angle("steer lock left", "δi", Higher, "Steer angle of the inner wheel turned left as far as it goes, at ride height"),
		angle("steer lock right", "δi", Higher, "Steer angle of the inner wheel turned right as far as it goes, at ride height"),
		{Name: "least clearance at lock", Word: "steer", Dim: quantity.DimLength, Digits: 1, Sense: Higher,
			Doc: "Smallest gap of the front wheels and of the rods that turn them at either lock, over all that the front axle reaches: 0 when they touch, 5 mm when nothing comes nearer than that"},
		angle("outer wheel at left lock", "δo", Neither, "Steer angle of the outer wheel there, without sign"),
		angle("outer wheel at right lock", "δo", Neither, "Steer angle of the outer wheel there, without sign"),
		{Name: "ackermann at lock", Word: "steer", Dim: quantity.DimShare, Digits: 0,
			Doc: "Inner less outer wheel angle at lock, of what the Ackermann relation asks, mean of left and right: 100 % meets it, 0 % is parallel"},
		angle("ackermann error at lock", "", Neither, "How much further the outer wheel turns at lock than the Ackermann relation asks, mean of left and right"),
		{Name: "turning circle", Word: "steer", Dim: quantity.DimLength, Digits: 0, Sense: Lower,
			Doc: "Kerb to kerb: diameter that the outer front tyre's outer edge describes at lock, the larger of left and right"},
		angle("transmission angle", "μ", Higher, "The smallest angle between lock and lock of drag link and tie rod to the eye that they pull: 90° pulls square, 0° is over-centre"),
		angle("toe-in", "", Neither, "Right less left steer angle with the servo at its middle: positive with the wheels' fronts towards each other"),
		angle("kingpin inclination", "", Neither, "Lean of the kingpin axis seen from ahead, positive with the top inward"),
		angle("caster", "", Neither, "Lean of the kingpin axis seen from the side at ride height, positive with the top to the rear"),
		{Name: "scrub radius", Word: "steer", Dim: quantity.DimLength, Digits: 1, Doc: "On the ground, from the kingpin axis outward to the middle of the tread"},
		{Name: "caster trail", Word: "steer", Dim: quantity.DimLength, Digits: 1, Doc: "On the ground, from the middle of the tread forward to the kingpin axis"},
		{Name: "bump steer", Word: "steer", Dim: quantity.DimNumber, Digits: 3, Sense: Lower,
			Doc: "Degrees the front wheels steer against the chassis per mm of heave at ride height, servo held on the chassis, without sign"},
		angle("bump steer swing", "", Lower, "Largest less smallest steer angle of the front wheels over the heaves swept that the shocks allow, servo held on the chassis"),
		{Name: "wheel roll steer", Word: "steer", Dim: quantity.DimNumber, Digits: 3,
			Doc: "Degrees the front wheels steer against the chassis per degree the front axle rolls, servo held on the chassis, positive turns left with the left wheel up"},
		{Name: "servo torque needed", Word: "steer", Dim: quantity.DimTorque, Digits: 0, Sense: Lower,
			Doc: "Torque at the servo to turn both front wheels on the spot, the largest between the locks: an estimate"},
		{Name: "servo margin", Word: "steer", Dim: quantity.DimNumber, Digits: 2, Sense: Higher, Doc: "The servo's rated torque over the torque needed: an estimate"},
	}
}
