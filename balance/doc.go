// Package balance answers: where does the weight sit, and when does the rig tip?
//
// In: a solid.Model and Options (parts moved for a "what if"). Out: mass, centre of mass, inertia, axle and corner loads,
// rigid tip angles, and how much each part matters to them. Answers carry kg, mm, N and degrees; the rig stands level in its
// design pose (package travel) with the tyres as far pressed in as they are there.
package balance
