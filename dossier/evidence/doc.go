// Package evidence says what is on file for a product on its day: which papers are
// there, what each material is like, and how an item of the dossier is answered.
package evidence
