// Package search answers: which links, holes, shocks and gears are best, of what one can buy and what the parts allow?
//
// In: a rig.Build whose document has a search: section. It says what may change (rods, rod ends, turns, holes, shocks, springs, collars,
// pinions, tyres, the place of the battery: any value of the document), what a build must reach (ranges on any number of the catalogue,
// package channel), and which numbers are better lower, higher or in the middle.
//
// Out: every combination has been judged over the whole travel, or is shown not to need it. The answer holds the builds that no other
// beats in everything preferred (the Pareto front), each with its numbers, its changes and a patch document; how many combinations
// failed which want; and the one want whose loosening would let in the most. Lengths in mm, angles in rad inside; answers carry their
// units.
//
// The answer does not depend on the number of workers. A run can be stopped through its context and taken up again from a checkpoint.
package search
