// Package transcribe reads suppliers' papers: it proposes what a paper says of a
// material, with the place of each value, and asks where it is not sure.
//
// [Reader.Read] answers a [Reading]: identity of the paper, composition, allergens,
// certificate, impurities, physical data, statements. Nothing of a table is passed
// over quietly: what is not understood is listed with its text
// ([Reading].NotUnderstood), what cannot be decided is asked ([Reading].Asks).
//
// Below it stand paper (bytes to lines and cells), grid (lines to rows and tables),
// figure (text to numbers with bounds and units) and lexicon (the words of papers by
// language). No word of a language stands in the code.
//
// Decisions:
//   - 2026-11-29: a wrong value is worse than a missing one. A figure without a unit
//     is asked about unless the paper names one unit for all, a row that holds two
//     figures of one kind is asked about, figures of an untrusted page are asked
//     about one and all.
//   - 2026-11-29: a printed nought stands for up to half a unit of its last digit,
//     unless the paper says what it means.
//   - 2026-11-29: category 11 alone stands for 11A and 11B; any other category
//     without its letter is asked about. Of several lines in one category the lowest
//     counts.
//   - 2026-11-29: day comes before month in 03/04/2024 where the paper shows a date
//     that cannot be read otherwise, or is not in English, or names European or
//     British law; in any other paper such a date is asked about.
//   - 2026-11-29: what a mail quotes is older than what it says and is not proposed.
//   - 2026-11-29: outside a safety data sheet every row with a CAS number or a share
//     from which nothing was read is listed, and a declaration, certificate or
//     composition without a row that was read is asked about.
//   - 2026-11-29: a name over its number is taken where every substance without a name
//     has one; otherwise all of them are asked about.
//   - 2026-11-29: "from 1.2 % to 1.45 %" in a sentence may be a change, and is asked
//     about; "between" is a range.
//   - 2026-11-29: a declaration of fewer names than a list has answers for the list
//     that the paper names, for the shorter where it names both, for none where it
//     names none.
package transcribe
