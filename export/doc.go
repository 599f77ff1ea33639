// Package export writes a rig for general tools: glTF to look at it anywhere, MJCF for a general physics engine, its points as a table, and its
// document, bases merged, as JSON.
//
// In: a solid.Model, or a rig.Build for the document. Out: bytes, the same for the same rig. glTF and MJCF are in metres and kilograms, as their
// standards want; the table is in mm and g, as everywhere in the program.
package export
