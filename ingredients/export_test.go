package ingredients

// Endpoints are the keys that a sheet takes, for the test that holds them to the table.
var Endpoints = endpoints
