// Package pdf prints a document as PDF/A with its attachments. Start at [Render].
//
// # Decisions
//
// 2026-11-25, library path. fpdf is used at the module path where it is kept up
// (codeberg.org/go-pdf/fpdf). The older one leaves its XMP metadata unreferenced and has
// no output intent; the API is the same.
//
// 2026-11-25, PDF for keeping. The file is built to the rules of PDF/A-3b by a finishing
// step (finish.go): metadata, output intent, embedded fonts, identifiers, the workbook
// and the inputs attached as associated files. Twins without attachments, declared as
// part 1, pass the Preflight check of PDF/A-1b; nothing at hand checks 3b, so it is
// called built to the rules, not validated. Attachments are added after fpdf has written
// its objects, because fpdf's own attachments shift every link. fpdf writes into the
// font bytes it is given, so each document gets a copy.
package pdf
