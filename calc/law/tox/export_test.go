package tox

// Read is what the tests read tables of their own with.
var Read = read
