// Package answer reads back what a safety assessor wrote into Part B: a document of a
// word processor or a workbook whose rows of tables begin with a code. Start at [Read] and
// [Sheet.Against]; [Form] is what was issued, [Record] what is kept.
//
// Nothing of an answer is ever filled in by the program, and nothing is taken over in
// part: an answer for other figures, or one whose issued words were changed, is refused
// with the reasons.
//
// # Decisions
//
// 2026-11-29, codes. A row is known by the code in its first cell, never by its place:
// that survived every program it was put through.
//
// 2026-11-29, which figures. Product, fingerprint and day stand in rows of their own, so
// that they are there in every form the document may be saved in. The fingerprint is that
// of the figures without any answer.
//
// 2026-11-30, reasons. No open point is closed without one: accepted in silence it stays
// open, and its reader is told.
//
// 2026-11-29, a stop. A row of a stop has no place to accept it. Figures that an answer
// replaces may settle it, and then say whose they are.
package answer
