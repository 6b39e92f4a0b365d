// Package bench is the workbench: pages in a browser on the maker's own computer, for all
// that the verbs of the command line do. The files of the workshop stay the truth.
//
// [Run] starts it: one instance for a folder, at a port of this computer alone, behind
// dossier/bench/gate. The pages are tables of routes in packages of their own, joined in
// [sets]; dossier/bench/frame says how a page is made. Here stand the first page, which is
// there until a workshop is open, the page of files that cannot be read, and the one that
// shows both versions when a file was changed twice.
//
// Decisions (2026-11-29):
//
//   - A browser is let in by a code that works once and may stand in its command line; the
//     address with the token of this start is printed in the terminal of its user alone.
//   - A value after which the program could not read the file is not written: it stays in its
//     field with the sentence of the finding. Over a limit is no such value.
//   - The version that loses a conflict is kept, and the file's comments and layout win.
//   - Pages for reading (--read-only) need no token, as they can change nothing: forms that are
//     sent are taken out of each page as it is shown, in one place, and the gate lets nothing
//     but GET and HEAD through. Whoever uses this computer can read them while they are up;
//     the name and port asked for are looked at all the same.
//   - A finding is told whole (what a stop is against, what adds up, why, what to do, who can
//     do it) and leads to the field that its line to settle names. Where it names none, no
//     amount is offered: a guess at a line of the formula could settle the wrong one.
//   - Nothing listens beyond this computer, but for the batch pages at an address that is named
//     at the start. They have a gate and a token of their own, let in who types the code on the
//     screen, lead to no other page, and say what a network can hear.
//
// What is remembered outside the workshop (steps, the last workshop, the token of a running
// start) stands in the program's folder for user data; see dossier/edit/history.
package bench
