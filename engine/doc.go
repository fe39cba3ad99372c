// Package engine holds what draws heat between two plates: a low-temperature-
// difference Stirling engine and a thermoelectric generator, and the bounds on
// the work they can give.
//
// Everything is a pure function of SI numbers (temperatures in kelvin). Heat
// intake of a small engine is an empirical law with three numbers that trials
// can teach; its power is only ever an estimate between named bounds.
package engine
