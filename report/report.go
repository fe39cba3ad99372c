// Package report turns answers into what people look at: pictures (SVG and
// PNG from one drawing), text for a terminal, and JSON.
//
// It computes no physics. Every number shown comes from package result or
// package predict; here it is only scaled, rounded and placed.
package report

import "meltspan/report/sheet"

// Picture is a finished drawing.
type Picture struct{ sheet *sheet.Sheet }

// SVG returns the picture as a stand-alone SVG document with real text, a
// title and a description. The same answer gives the same bytes.
func (p *Picture) SVG() ([]byte, error) { return p.sheet.SVG() }

// PNG returns the picture at two image pixels for each CSS pixel. The same
// answer gives the same bytes.
func (p *Picture) PNG() ([]byte, error) { return p.sheet.PNG(2) }

// Sheet returns what the picture is drawn on, for those who place it on a page.
// It is not to be drawn on.
func (p *Picture) Sheet() *sheet.Sheet { return p.sheet }
