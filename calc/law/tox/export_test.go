package tox

// Faults is what is wrong with tables of a test.
func Faults(give func(file string) ([]byte, error)) error { return tablesOf(give).faults() }
