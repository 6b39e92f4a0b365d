// Package finding is what the program has to say about the maker's files, and where.
package finding
