// Package solid holds the resolved model: a rig as plain numbers, with nothing left to look up. Resolve turns a document
// into a Model; every question reads Models and nothing else.
//
// Units: mm, kg, s, rad, N. Frames follow ISO 8855: x forward, y left, z up. The chassis frame has z = 0 in the belly's
// lowest plane; an axle's frame has its origin midway between the wheel centres, y along the wheel axis, x and z with the
// pinion shaft level.
package solid
