// Package reference holds the checks of the mechanics against the outside world: values printed in the literature, cases that
// can be solved on paper, symmetries that any right answer has, and a second program that solves the same rigs by another road
// (NumPy and SciPy, under python/), a collision library that measures the same shapes (FCL, under fcl/), readers of the files that are
// written for printers and other tools (lib3mf, under lib3mf/; three and the glTF validator, under three/), a multibody program that settles on the same poses and stances (MuJoCo, under mujoco/), and a plain twin of the
// pose kernel in C (cpose/). One file a source; each number says where it comes from:
//
//	print       read in a published text
//	recomputed  the problem or formula is published, the digits were worked out for this check
//	memory      source and formula from memory
//	derived     from statics or kinematics on paper, or by two ways that agree
//
// Values that are rounded in print are compared within their last digit. The package has no code of its own outside tests;
// report/ prints the benchmarks as one table.
//
// Published problems that are left out because nothing here can express them: the seven-body squeezing mechanism (Schiehlen,
// Multibody Systems Handbook, 1990) has three loops, and one axle on its links has one. Published values of springs, bars, dampers,
// compliant tipping and the ramp travel index are beside their code, in ride.
package reference
