// Package photo is about the photographs of a pack: how a product file names them,
// which files are one, and the picture that is printed. Begin at [Read].
//
// Decisions:
//   - 2026-11-29: a check reads the head of a file alone, which says format and size;
//     the dots are decoded where they are printed. A file that breaks off after its head
//     is found there, and the page says so.
//   - 2026-11-29: what is printed is made anew from the dots. So it stands upright, takes
//     little room, and what a camera writes beside the picture, such as the place where it
//     was taken, goes to nobody.
package photo
