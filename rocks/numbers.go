package rocks

import "lowslung/channel"

// channels are the catalogue's names of the limits.
var channels = map[string]string{
	"ledge": "highest ledge", "climb": "steepest climb", "side slope": "steepest side slope", "off-camber ledge": "highest off-camber ledge",
	"gully": "steepest gully", "holes": "deepest holes", "boulders": "highest boulders",
}

// Numbers are the answer's numbers for the catalogue, in program units.
func (a *Answer) Numbers() []channel.Value {
	var out []channel.Value
	for i := range a.Limits {
		v := a.Limits[i].Cleared
		if a.Limits[i].Unit == "°" {
			v *= deg
		}
		out = append(out, channel.Of(channels[a.Limits[i].Obstacle], v))
	}
	return out
}

// Needed are the obstacles whose limits the names of the catalogue ask for, in the order of the standard set.
func Needed(names []string) []string {
	var out []string
	for i := range obstacles {
		for _, n := range names {
			if channels[obstacles[i].name] == n {
				out = append(out, obstacles[i].name)
				break
			}
		}
	}
	return out
}
