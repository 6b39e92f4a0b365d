// Package tox holds what an assessor looks for in the profile of a substance: the
// endpoints, hazard classes, published doses without sensitisation, the impurities to
// expect in a kind of raw material, and what Part B of a report has to say. Start at
// [Builtin].
//
// No figure of a product rests on these tables: they say what to ask for and what is
// published, and the assessor judges. They stand in no fingerprint of figures.
//
// # Decisions
//
// 2026-11-29, unverified. Guideline numbers, triggers and accepted reasons of the
// endpoints are recalled in every row, so no row of endpoints.csv counts as checked. The
// doses of sensitisation.csv were read in a transcription and not in the papers.
//
// 2026-11-29, classes that would cry wolf. A class with Note L or N, or one that a court
// annulled, is marked as a question and is no CMR finding.
package tox
