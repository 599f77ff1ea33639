// Package store keeps a workshop: rig documents and bins with every revision they ever had, in one SQLite file.
//
// In: texts, and the wish to save, undo, import or restore them. Out: documents, revisions, a rig.Source that reads the
// present texts, and errors of type *Error that say what was found and what to do.
//
// What always holds:
//
//   - A save that returned is on the disk (write-ahead log, synchronous=FULL) and is never changed or deleted: revisions are
//     append-only, removing a document only marks it, undo writes a new revision with the earlier text.
//   - All present documents load and resolve with each other. A save, undo, removal or import that would break any of them is
//     refused as a whole.
//   - Each revision remembers the texts of the bases and bins it was read with, so that Verify can repeat that at any time.
//   - Several processes may use one workshop at once. Writes come one after another; a save names the version it was made
//     from and is refused when someone else has saved in between.
package store
