// Package declaration reads declarations of fragrance allergens: which allergen a
// printed name or number means ([Known]), its content, which rows are part of a group,
// and for which list the declaration answers.
//
// Decisions:
//   - 2026-11-29: a printed nought stands for up to half a unit of its last digit,
//     unless the paper says what it means.
//   - 2026-11-29: a declaration of fewer names than a list has answers for the list
//     that the paper names, for the shorter where it names both, for none where it
//     names none.
package declaration
