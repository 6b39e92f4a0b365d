// Package dossier joins the rooms below it: it has every check asked of a product,
// and writes the assessor's pack.
//
// Start at [Assess] for one product, [CheckAll] for the findings of many, [WritePack]
// for the PDF and the workbook. Everything else has a room of its own: the maker's
// folder is read in dossier/workshop, computed in dossier/assess, shown through
// dossier/show, and printed by the packages under dossier/document.
//
// Nothing here decides a limit; figures come from package calc. The clock is never
// read; the day is an argument. Whole files are written, or none. The program
// prepares what a safety assessor needs, and never says that a product is safe.
package dossier
