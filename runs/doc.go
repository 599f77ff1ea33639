// Package runs keeps searches going that take longer than a request should: begun from a page, gone on with when the page is closed, taken
// up again after the program was killed.
//
// In: the texts of a rig's revision and the options of a search. Out: a Run with its state, how far it is, and in the end search's answer.
//
// What always holds:
//
//   - A run works on the texts that it was begun with, whatever becomes of the documents meanwhile.
//   - What a checkpoint holds is on the disk before the next one is asked for; a run that is stopped, or whose process dies, is taken up
//     from its last checkpoint and ends with the same answer as one that was never disturbed.
//   - Several processes may use one book of runs: a run is worked on by one of them at a time, and by another when that one is silent. Every
//     write names the process that it is of, so that one taken for dead can do no harm when it wakes.
//   - A run needs nothing but what is in the book: texts, options, checkpoint.
//
// Jobs are handed out by river, whose tables stand beside ours: in a SQLite file of its own, so that its polling never gets in the way of a
// save (sqlite.go); or in a PostgreSQL database that workshops and workers on many machines share (postgres.go, address.go). The statements
// on the table of runs are the same (table.go).
package runs
