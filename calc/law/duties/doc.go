// Package duties reads the tables of what a label must say and what a product file must
// hold: label rules, cautions, countries, contents of the dossier.
package duties
