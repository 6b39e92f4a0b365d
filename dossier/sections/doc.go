// Package sections builds the sections of a product's figures and files, each on its own:
// a terminal shows them by name, the workbook keeps them in full, and the pack shows what
// a judgement rests on. Start at [Figures].
//
// # Decisions
//
// 2026-11-29, two rooms. A section here is whole: every row, with its place in the files.
// What an assessor reads is cut from it in dossier/pack, which also cites.
package sections
