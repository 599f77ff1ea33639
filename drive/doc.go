// Package drive answers: what do motor, gears and battery deliver?
//
// In: a solid.Model, whose document's drive block names motor, battery, controller and gear stages. Out: every ratio, the motor's line,
// working points on the flat, on slopes, at a ledge and at wheel slip with what limits them and where the power goes, the winding's
// temperature and the run time over a profile, what breaks first, what each pinion of the bin would do, and which one to fit. Torques are
// N·mm, currents A, speeds rev/min and m/s, temperatures °C.
//
// Everything here is an estimate and says so: a brushless motor is taken as its direct-current equivalent, losses in the iron as the
// no-load current, friction in the gears as an efficiency for each mesh.
package drive
