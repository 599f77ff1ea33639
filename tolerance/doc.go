// Package tolerance says how far the numbers of a build spread when it is made as well as such things are made: 95 % bands of what the
// links settle, and the three inputs that matter most to each. It is part of the question search: a build that is best only on paper is not
// best.
//
// In: a solid.Model, and how far holes, lengths, turns, rod ends, set lengths and tyres may be off (Errors: an assumption each, said in the
// answer; the document's errors: section overrides it). Out: for each number at the design pose its band from Latin hypercube samples, the
// band by linear propagation beside it as a check, and the shares of the variance. Lengths in mm, angles in rad inside; answers carry their
// units. Left and right twins are off independently: that is what puts an axle out of square.
//
// The parts themselves are taken as rigid and true to their own frames, weights as they are written.
package tolerance
