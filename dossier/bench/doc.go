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
//   - Nothing listens beyond this computer: a batch on a tablet of its own is not built yet.
//
// What is remembered outside the workshop (steps, the last workshop, the token of a running
// start) stands in the program's folder for user data; see dossier/edit/history.
package bench
