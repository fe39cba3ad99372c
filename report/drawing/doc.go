// Package drawing draws a printed part in section, with its dimensions, on a
// sheet that can be printed to scale.
//
// The conventions, from the standards as practised (from memory, pages not
// verified):
//
//   - lines: visible edges continuous wide (01.2), centre lines long-dashed
//     dotted narrow (04.1), dimensions and hatching continuous narrow (01.1);
//     wide to narrow is 2 to 1 (ISO 128-2);
//   - hatching at 45 degrees, one direction and spacing for each part, left
//     out behind text; pegs and ribs cut along their length stay unhatched, and
//     what stands round the axis is turned into the plane of the section
//     (ISO 128-3);
//   - dimensions with extension lines and filled arrowheads, values above the
//     line, to be read from below or from the right, diameters with their sign;
//     no closed chains: what follows from others stands in brackets (ISO 129-1);
//   - scales of the standard series (ISO 5455), lettering 3.5 and 2.5 mm high
//     (ISO 3098-1), sheets A4 upright and A3 with frame, centring marks and
//     grid references (ISO 5457), fields of the title block (ISO 7200).
//
// Sheets are laid out in millimetres of paper from the upper left corner;
// parts are in metres.
package drawing
