// Package assess computes one product on one day: a result for each variant and
// market, the fingerprint of what the figures rest on, and the findings of all of
// them joined. Start at [Run]. What papers, records and labels leave open is asked by
// the checks that are handed in.
//
// # Decisions
//
// 2026-11-25, the fingerprint. SHA-256 over the canonical product file without
// assessments and complaints, the sheets in use, the tables, the rows in force for the
// product on the day, and a version of the figures. A day on which no row in force
// changes gives the same fingerprint, and so does a run for some of the product's
// markets (2026-11-28): it is taken over all of them.
//
// 2026-11-28, what is beside the figures. A signed assessment must not look outdated for
// what its assessor did not judge: notifications, first_placed_in and the measures of
// the printed label (label with shape, width, height, margin, overlap, type size, sheet,
// estimated sign) are out of the fingerprint, as assessments, complaints and units sold
// are. Claims, warnings, directions, function, storage, packaging, intended use, net
// content, origin, label with sold_as, no_pao and leaflet, tests and papers stay in. In
// doubt a key stays in: a question too many costs a letter.
//
// 2026-11-28, dates ahead. What is dated after the day of the run is asked about
// (date-ahead) and shows nothing until its own day: readings, passed tests, papers,
// notices, assessments and reports are left out of the product that is assessed
// ([AsOf]), a certificate and a declaration count as not there, although their limits
// and names bind. What speaks against a product stays whatever its date: failed tests,
// counts over the limit, effects. A report dated before its effect (date-order) reports
// nothing. A week is a rounded figure, so a reading counts from half a week before its
// day. The rule goes by the day of the run alone and never by the clock beside --date,
// so that the same command gives the same answer; with --date what is later will mostly
// be right, so a file has one finding for all of it, which says that the day was chosen.
// A run for a past day therefore answers what the papers showed on that day, and not
// only what its law asked.
package assess
