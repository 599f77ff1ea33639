// Package bench answers: what did I measure, and does the model agree?
//
// In: a solid.Model whose document has readings of the finished rig (kitchen scales, rule, calipers, angle gauge), each with how far it may be
// off, and readings from elsewhere besides. Out: each reading beside what the model predicts, the difference in units of their combined
// uncertainty; whether all of them together agree; the reading that does not fit, and a slip that would cure it; corrections of what the
// document says (weights and their places, holes, lengths, springs, tyres) with their bands before and after; what the readings cannot tell
// apart; what to measure next to learn most; and the corrections as a document that has this one as its base. Nothing is changed.
//
// The method is weighted least squares in which each uncertain input is a further observation, of 0 within its usual error of making: a
// Gauss–Newton search for the most probable inputs, normal errors taken (Bayesian in the sense of JCGM 100:2008, 4.3 and 5.1; residuals judged
// as Baarda's data snooping does). Lengths in mm, weights in kg, angles in rad inside; answers carry their units.
package bench
