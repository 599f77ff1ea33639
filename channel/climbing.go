package channel

import "lowslung/quantity"

func climbing() []Channel {
	const by = ", with the assumed grip: an estimate"
	length := func(name, doc string) Channel {
		return Channel{Name: name, Word: "rocks", Dim: quantity.DimLength, Digits: 0, Sense: Higher, Doc: doc + by}
	}
	angle := func(name, doc string) Channel {
		return Channel{Name: name, Word: "rocks", Dim: quantity.DimAngle, Digits: 0, Sense: Higher, Doc: doc + by}
	}
	return []Channel{
		length("highest ledge", "Highest step with a sharp edge that is cleared, both front wheels at once"),
		angle("steepest climb", "Steepest slope after a level start that is cleared, half a metre of it"),
		angle("steepest side slope", "Steepest slope across the way along which it drives, left side down"),
		length("highest off-camber ledge", "Highest ledge that is cleared on a side slope of 20°, left side down"),
		angle("steepest gully", "Steepest rise of a V between walls of 35° that is cleared, half a metre of it"),
		length("deepest holes", "Deepest holes that are cleared, one for the right wheels and one for the left"),
		length("highest boulders", "Highest boulders of the usual field that are cleared"),
	}
}
