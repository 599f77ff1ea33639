package tolerance

import "lowslung/solid"

// An Input is one number of a model that may be off by itself, for whoever weighs such errors against readings.
type Input struct {
	Kind  string                           // key of the document's errors section: drilled, printed, length, turns, play, set, tyre
	What  string                           // the thing, with its side
	Path  string                           // where the document says it
	Sigma float64                          // standard deviation, mm
	Move  func(m *solid.Model, by float64) // puts it off by so many mm; the model's Links and Shocks, and its Rest, must be the caller's own
	Hole  bool                             // of a part's hole: On, At and Axis tell which, and in which direction
	On    solid.Carrier                    // what carries the hole
	At    solid.Vec                        // where it is, carrier's frame, mm
	Axis  int                              // 0 forward, 1 left, 2 up; of a hole on a link 0 along, 1 rise
	Link  int                              // index of the link whose length it is; −1 when it is none
}

// Inputs lists everything that the errors put off in a model.
func Inputs(m *solid.Model, e Errors) []Input {
	in, groups := inputsOf(m, e)
	out := make([]Input, len(in))
	for i := range in {
		k := &in[i]
		out[i] = Input{Kind: k.kind.String(), What: groups[k.group].what, Path: groups[k.group].path, Sigma: k.sigma(), Move: k.move, Axis: k.axis, Link: k.link}
		if k.spot != nil {
			out[i].Hole, out[i].On, out[i].At = true, k.spot.on, k.spot.at
		}
	}
	return out
}
