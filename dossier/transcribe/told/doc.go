// Package told prints on a terminal what was read of papers: each paper beside its sheet,
// what two papers of one material say differently, and the table of a whole folder.
package told
