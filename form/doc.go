// Package form makes solids that can be printed: flat outlines with holes, extruded and stacked, as closed surfaces of triangles, written as
// STL and 3MF.
//
// In: rings of corners in mm, layers of them with a height each. Out: a Mesh whose every side is shared by exactly two triangles that run
// along it in opposite directions, checked before it is handed out. Everything lies on a grid of 1 µm, so that what is inside, crosses or
// touches is decided in whole numbers and never by rounding.
package form
