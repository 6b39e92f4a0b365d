// Package gate stands before every page of the workbench: it lets in the browser of the
// person who started the program and nobody else.
//
// [Gate.Handler] checks, before any route and for every method: the name and port asked
// for (so that no other name can be made to lead here), the origin (the standard
// library's protection, for all that changes something), the token of this start in a
// cookie, and the size of what is sent. It sets the content policy and the other headers
// of every answer. [Serve] gives each request its time, so that one client that stops
// reading or sending holds up nobody.
//
// A gate for reading alone asks for no token and lets nothing but GET and HEAD through.
//
// What this package does not do: it knows no page and no path inside a workshop.
package gate
