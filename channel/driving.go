package channel

import "lowslung/quantity"

func driving() []Channel {
	return []Channel{
		{Name: "front gear ratio", Word: "drive", Dim: quantity.DimNumber, Digits: 2, Doc: "Motor turns per turn of the front wheels"},
		{Name: "rear gear ratio", Word: "drive", Dim: quantity.DimNumber, Digits: 2, Doc: "Motor turns per turn of the rear wheels"},
		{Name: "top speed", Word: "drive", Dim: quantity.DimSpeed, Digits: 2, Doc: "Speed without load at nominal voltage, an estimate"},
		{Name: "current at wheel slip", Word: "drive", Dim: quantity.DimCurrent, Digits: 0, Sense: Lower, Doc: "Motor current at which all wheels slip on the level, or the limit that ends it, an estimate"},
		{Name: "run time", Word: "drive", Dim: quantity.DimDuration, Digits: 0, Sense: Higher, Doc: "Time over the usual run profile until the pack is at 20 %, an estimate"},
	}
}
