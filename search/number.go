package search

import (
	"lowslung/solid"
)

// The cheap numbers: those that a combination is judged by without resolving its document. The others are asked of whole builds.

// Numbers of one axle.
const (
	pinionAngle = iota
	rollCentre
	rollAxis
	rollSteer
	sidewaysPlay
	bumpStroke
	droopStroke
	atDesign // so many are known at the design pose
)

const (
	pinionSwing = atDesign + iota
	shaftJoint
	shaftJointRoom
	shaftRoom
	rodEndRoom
	ofAxle // so many has an axle
)

// Numbers of both axles together.
const (
	wheelbase = 2*ofAxle + iota
	bellyClearance
	frontSlope
	rearSlope
	antiLift
	antiSquat
	price
	newParts
	cheapNumbers
)

var axleNames = [ofAxle]string{"pinion angle", "roll centre height", "roll axis", "roll steer", "sideways play", "bump stroke", "droop stroke",
	"pinion angle swing", "shaft joint angle", "shaft joint room", "shaft room", "rod end room"}

var jointNames = [cheapNumbers - wheelbase]string{"wheelbase", "belly clearance", "front side slope", "rear side slope", "front anti-lift", "rear anti-squat", "price", "new parts"}

// axleNumber is the index of a number of one axle.
func axleNumber(end solid.End, n int) int { return int(end)*ofAxle + n }

// cheapName is the name in the catalogue of a cheap number.
func cheapName(i int) string {
	if i < wheelbase {
		return solid.End(i/ofAxle).String() + " " + axleNames[i%ofAxle]
	}
	return jointNames[i-wheelbase]
}

// cheapIndex is the index of a number of the catalogue, −1 when it is not cheap.
func cheapIndex(name string) int {
	for i := range cheapNumbers {
		if cheapName(i) == name {
			return i
		}
	}
	return -1
}
