// Package lexicon holds the words of suppliers' papers by language: titles,
// headings, heads of columns, labels of facts, names of properties, statuses,
// signs, units, and the names under which fragrance allergens are printed. All of
// it stands in tables with its source; nothing here knows what a paper is.
//
// Words are compared folded ([Fold]): without case, accents and punctuation.
package lexicon
