// Package names reads the names of substances as suppliers print them.
//
// [Read] cuts a printed name into pieces without losing a letter: text, brackets,
// joints, marks. [Resolver.Resolve] says what is meant: the substance, or several;
// whether it is a nano form; which plant, part and preparation; and what must be
// asked before anything rests on it.
//
// The whole printed text is looked up first, since thousands of official names hold
// a slash or a comma. Only what is no name as a whole is read into parts, and it is
// two substances only where every part is a name of its own. The printed name
// leads and numbers advise: a number names a material only where its name is in no
// list, and the number of a plant never does, for it belongs to all its parts.
//
// Names come from four places, the surest first: the tables of law above (handed
// in as [Tables]), the customary names of this package, the official names of the
// inventory, and the other names that official lists give them.
//
// 2026-11-29: a name in the list of prohibited substances that no other list has is
// known as it stands and renames nothing; one with brackets is read by them first, and
// so only where they leave nothing to ask.
//
// A text that no list has is searched for names of the law among its words and in its
// brackets ([Reading].Within): what the law says of them is asked about, so that no
// wording around a name hides it. A CAS or EC number printed in a name is compared
// with the name and contradicts or confirms it.
//
// 2026-11-30: a name of a salt ([Resolver.SaltOf]) leads to what it is a salt of, so that
// sodium salicylate is asked about under the entry of salicylic acid, which names the acid
// alone. Whether an entry covers the salts is a column of the tables, not of this package.
//
// 2026-11-30: the work on one text is bounded by its length and by how deep its brackets
// stand in one another ([Read]), and a bracket is read once. Before, each bracket in a bracket
// made it four to nine times the work, and 4,000 bytes of them took six minutes. What is past
// the bounds is in no list, and asked about.
//
// 2026-12-01: several numbers behind a name, or in its bracket, are each compared with it; up
// to eight, since a row of more is no name. A bracket chooses among the substances of which a
// name is one, and takes none away from a mixture. Where a bracket alone makes a text a name
// and parts of the text are names too, the parts lead, so that none of them is lost.
//
// What cannot be decided comes back as an [Ask], a code with the names it is about;
// wording is for whoever prints it.
package names
