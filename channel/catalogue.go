package channel

import "lowslung/quantity"

func buildAll() []Channel {
	out := []Channel{
		{Name: "wheelbase", Word: "travel", Symbol: "L", Dim: quantity.DimLength, Digits: 1,
			Doc: "Distance between the wheel centres of front and rear axle along chassis x, in the design pose"},
		{Name: "belly clearance", Word: "travel", Dim: quantity.DimLength, Digits: 1, Sense: Higher,
			Doc: "Height of the belly plane above the ground midway between the axles, in the design pose"},
		{Name: "least clearance", Word: "travel", Dim: quantity.DimLength, Digits: 1, Sense: Higher,
			Doc: "Smallest gap between what moves and what it moves against, over all that the axles reach, wheels straight ahead: 0 when they touch, 5 mm when nothing comes nearer than that"},
	}
	for _, axle := range []string{"front", "rear"} {
		anti, doc := "anti-squat", "Share of the rear suspension's squat under drive that the links take, in percent: drive torque reacted in the housing"
		if axle == "front" {
			anti, doc = "anti-lift", "Share of the front suspension's lift under drive that the links take, in percent: drive torque reacted in the housing"
		}
		out = append(out,
			Channel{Name: axle + " pinion angle", Word: "travel", Dim: quantity.DimAngle, Digits: 1,
				Doc: "Elevation of the pinion shaft pointing out of the " + axle + " axle against the chassis, positive up, in the design pose"},
			Channel{Name: axle + " out of square", Word: "travel", Symbol: "ψ", Dim: quantity.DimAngle, Digits: 2,
				Doc: "How far the " + axle + " axle is steered against the chassis by its links, positive turned left, in the design pose"},
			Channel{Name: axle + " off centre", Word: "travel", Dim: quantity.DimLength, Digits: 2,
				Doc: "How far the middle of the " + axle + " axle sits left of the chassis centreline, in the design pose"},
			Channel{Name: axle + " pinion angle swing", Word: "travel", Dim: quantity.DimAngle, Digits: 1, Sense: Lower,
				Doc: "Largest less smallest pinion angle of the " + axle + " axle over the poses swept"},
			Channel{Name: axle + " side slope", Word: "travel", Symbol: "t", Dim: quantity.DimNumber, Digits: 3,
				Doc: "Rearward (rear axle) or forward (front axle) travel of the contact point per unit of bump"},
			Channel{Name: axle + " " + anti, Word: "travel", Dim: quantity.DimShare, Digits: 0, Doc: doc},
			Channel{Name: axle + " roll centre height", Word: "travel", Symbol: "h_r", Dim: quantity.DimLength, Digits: 1,
				Doc: "Height above the ground of the point about which the chassis rolls on the " + axle + " axle"},
			Channel{Name: axle + " roll axis", Word: "travel", Dim: quantity.DimAngle, Digits: 1,
				Doc: "Inclination of the " + axle + " axle's own axis of roll, positive when it rises forward"},
			Channel{Name: axle + " roll steer", Word: "travel", Dim: quantity.DimNumber, Digits: 3,
				Doc: "Degrees the " + axle + " axle steers per degree it rolls"},
			Channel{Name: axle + " sideways play", Word: "travel", Dim: quantity.DimLength, Digits: 2, Sense: Lower,
				Doc: "How far the " + axle + " axle can move sideways when every link has 0.1 mm of slop"},
			Channel{Name: axle + " bump stroke", Word: "travel", Dim: quantity.DimLength, Digits: 1, Sense: Higher,
				Doc: "What is left of the " + axle + " shocks until the first is closed, in the design pose"},
			Channel{Name: axle + " droop stroke", Word: "travel", Dim: quantity.DimLength, Digits: 1, Sense: Higher,
				Doc: "What is left of the " + axle + " shocks until the first is open, in the design pose"},
			Channel{Name: axle + " shaft joint angle", Word: "travel", Dim: quantity.DimAngle, Digits: 1, Sense: Lower,
				Doc: "Largest angle of a joint of the " + axle + " drive shaft over the poses swept that the shocks allow"},
			Channel{Name: axle + " shaft joint room", Word: "travel", Dim: quantity.DimAngle, Digits: 1, Sense: Higher,
				Doc: "What that leaves to the limit of the joint"},
			Channel{Name: axle + " shaft room", Word: "travel", Dim: quantity.DimLength, Digits: 1, Sense: Higher,
				Doc: "Least that the " + axle + " drive shaft has left, over the same poses, until it bottoms or has only the overlap that it must keep"},
			Channel{Name: axle + " rod end room", Word: "travel", Dim: quantity.DimAngle, Digits: 1, Sense: Higher,
				Doc: "Least swing that a rod end of the " + axle + " links has left, over the same poses"},
		)
	}
	out = append(out,
		Channel{Name: "price", Word: "search", Dim: quantity.DimNumber, Digits: 2, Sense: Lower,
			Doc: "Of what a build found needs beyond the parts of the build searched from and what lies in the drawer, in the currency of the bin"},
		Channel{Name: "new parts", Word: "search", Dim: quantity.DimNumber, Digits: 0, Sense: Lower,
			Doc: "Parts of a build found that the build searched from does not have"},
	)
	out = append(out, steering()...)
	out = append(out,
		Channel{Name: "mass", Word: "balance", Symbol: "m", Dim: quantity.DimMass, Digits: 0, Doc: "Sum of all weights given"},
		Channel{Name: "sprung mass", Word: "balance", Dim: quantity.DimMass, Digits: 0, Doc: "Chassis parts and half of links, shocks and shafts"},
		Channel{Name: "centre of mass height", Word: "balance", Symbol: "h", Dim: quantity.DimLength, Digits: 1, Sense: Lower, Doc: "Height of the centre of mass above the ground"},
		Channel{Name: "front share", Word: "balance", Dim: quantity.DimShare, Digits: 1, Doc: "Share of the weight on the front axle, standing level"},
		Channel{Name: "static stability factor", Word: "balance", Symbol: "T/2h", Dim: quantity.DimNumber, Digits: 2, Sense: Higher, Doc: "Half the mean track over the height of the centre of mass"},
		Channel{Name: "tip angle left", Word: "balance", Dim: quantity.DimAngle, Digits: 1, Sense: Higher, Doc: "Side slope at which the rigid rig tips over its left wheels"},
		Channel{Name: "tip angle right", Word: "balance", Dim: quantity.DimAngle, Digits: 1, Sense: Higher, Doc: "Side slope at which the rigid rig tips over its right wheels"},
		Channel{Name: "tip angle nose up", Word: "balance", Dim: quantity.DimAngle, Digits: 1, Sense: Higher, Doc: "Climb at which the rigid rig tips over its rear wheels"},
		Channel{Name: "tip angle nose down", Word: "balance", Dim: quantity.DimAngle, Digits: 1, Sense: Higher, Doc: "Descent at which the rigid rig tips over its front wheels"},
	)
	out = append(out, springing()...)
	out = append(out, driving()...)
	return append(out, climbing()...)
}
