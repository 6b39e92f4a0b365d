// Package edit changes a maker's YAML file at the place of a value and leaves every
// other byte as it is: comments, order, quotes, brackets, indentation, line ends, the
// missing newline at the end.
//
// Start with [Parse], then [File.Apply] with edits made by [Set], [Insert], [Move],
// [Remove] and [Rename]. All edits of one call are made or none is. After each edit
// the text is parsed again and has to hold exactly the wanted tree and every comment
// that did not stand on a line taken out; otherwise the edit is refused with a
// [Refusal] that says where and why. What this package does not understand (anchors,
// aliases, tags, several documents, keys that are no words) it refuses to change: it
// never writes something half understood.
//
// A value set and set back gives the same bytes, and so do an entry inserted and
// removed, moved and moved back, a key renamed and named back. Decisions (2026-11-29):
//
//   - Quotes: double quotes stay. Single quotes stay where the maker chose them and go
//     where only the value needed them, since those are the ones this package adds.
//   - A comment directly above a list entry, in the column of its dash, moves with the
//     entry; on removal it stays, and only comments on the removed lines go.
//   - The last entry taken out leaves [] or {}, which is a value; nothing is left empty
//     by taking out.
//
// The package opens no file: dossier/edit/history saves and remembers.
package edit
