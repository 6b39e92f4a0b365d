// Package filing puts what a paper says beside the sheets of a workshop: to which
// sheet it belongs, which of its values the sheet has, lacks or has otherwise, and
// the files that change when they are taken over.
//
// [Of] compares; [Filing.Changes] gives the new content of the sheet and the paper's
// place under evidence, all or nothing, and touches no file. A sheet that is there
// is changed by surgical edits alone: what is empty is filled, what differs stays
// unless it is named.
//
// Decisions:
//   - 2026-11-29: a paper belongs to the sheet with its supplier's code; without a
//     code, to the one with its trade name. Two such sheets are asked about.
//   - 2026-11-29: bands of a safety data sheet are no composition of a fragrance
//     and are not proposed for its sheet.
//   - 2026-11-29: a constituent or an allergen that a sheet's own list does not have
//     counts as differing, since the list says what the maker took it to be.
//   - 2026-11-29: what the reading asks about is never written.
//   - 2026-11-29: a declaration of some allergens that names no list is not written
//     for a list, since the names of that list which it leaves out would count as
//     absent. In a new sheet the list stays empty, which stops the products that use
//     it; in one that is there the maker takes it by name.
//   - 2026-11-29: a sheet has no code without the name of the supplier who uses it.
//   - 2026-11-29: of two papers of one kind the later date is the newer version; a
//     month beside a day of that month tells nothing.
package filing
