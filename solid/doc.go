// Package solid is the printable body of a design: its parts as sections,
// meshes and files, and the checks to make before printing.
//
// A part is round about its axis: closed outlines in the half plane of radius
// and height, and what is not round (ribs, pegs, holes, pads) by its number.
// The outlines follow the same layers, rim and cup as the models of heat
// (design.Shell.Layers), so that what is simulated is what is printed.
//
// Lengths are metres, volumes m3. A part's heights count from its own lowest
// face; Part.Lift says where that stands in the assembly.
package solid
