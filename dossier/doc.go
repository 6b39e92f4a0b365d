// Package dossier reads a workshop folder, has its products assessed, and turns
// what comes out into documents.
//
// The ways in, in the order of a run:
//
//   - [Load] reads a folder into a [Workshop] and returns every fault of every file
//     as findings; [Workshop.Product], [Workshop.SheetSource] and [Workshop.Batch] look
//     one thing up.
//   - [Workshop.Assess] computes a product on a day: an [Assessment] holds one
//     [calc.Result] for each variant and market, all findings, and the fingerprint of
//     what the figures rest on. [Assessment.Readiness] says which items of the dossier
//     are there.
//   - Builders turn assessments into a [Document], the one tree that all printers
//     share: [Pack], [Stability], [NotificationSheet], [Letters] and others. [Labels]
//     makes labels, [Workshop.Weigh] a weighing sheet, [Workshop.Review] judges a
//     batch record, [Workshop.TraceLot] follows a lot.
//   - Printers write a document: [RenderPDF], [WriteXLSX], [WriteText], [WriteHTML];
//     [WriteJSON] prints the results themselves. [WritePack] makes PDF and workbook of
//     a product, [WriteFiles] writes files that belong together.
//
// Files are named after what they do: read_ and product_read for reading, build_ for
// the sections of documents, readiness_ for the items of the dossier, label_ for
// labels, print_, pdf_ and xlsx_ for printers, model_ for the formulas of the
// workbook.
//
// A printer computes nothing, and nothing here decides a limit: figures come from
// package calc. The clock is never read; the day is an argument. The package only
// writes where it is told to, whole files or none. It prepares what a safety assessor
// needs, and never says that a product is safe.
package dossier
