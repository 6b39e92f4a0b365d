// Package history saves the files of a workshop and remembers every step, so that each
// can be taken back: over restarts, one step at a time, back and forth.
//
// Start with [Open]; [Store.Read] gives a file with the hash a save has to name,
// [Store.Save] writes files whole or not at all and refuses with a [Conflict] when one of
// them changed meanwhile, [Store.Undo] and [Store.Redo] walk the steps.
//
// Size and time of a file do not show every change, so its bytes decide. The bytes that a
// save replaces are kept before it replaces them: nothing of the maker's is lost, not
// even what another program writes in the moment between the comparison and the save.
//
// Everything remembered stands in the folder of the program for user data, by workshop
// ([Folder]), never in the workshop or beside it, and only its user can read it. Deleting
// that folder forgets the steps and changes no file of the workshop.
package history
