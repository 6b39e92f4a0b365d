// Package words makes sentences: small English (lists, counts, capitals) and the
// wording of findings.
//
// A finding is a code with named values (package ingredients). What it says stands
// in templates/findings, one record for a code, or for a code and the form of its
// message:
//
//	[over-limit]
//	against: law
//	message: {content} in {place}: the limit is {limit} {where}
//	fix: reduce {material} to {room}[ or less, {note}]
//	assessor.fix: …
//
// A record begins with its name in brackets. Each line is a key and a text; an
// indented line goes on with the text above it. # begins a comment at the start of a
// line. The keys are message, why and fix, for the maker; with assessor. in front
// for an assessor where that reads differently, and with bench. in front for the maker who
// has fields before him and not the keys of a file; and against, of a finding that can
// stop: law, certificate, standard, record or nothing computed ("not computable").
// Records of terms have the keys text and short, the second for one line of a page where
// that reads differently.
//
// What is said on the items of the file stands in templates/readiness, one record for each
// [Remark]. They are terms as well: a remark names others as its values, and a finding
// those of an item.
//
// In a text:
//
//	{name}            the value of that name; a list is joined by commas and "and"
//	{name or}         … by commas and "or";  {name ;} by semicolons;  {name ,} by commas (by
//	                  semicolons where one of them holds a comma itself);  {name +}
//	{n pack/packs}    a count with its noun: 1 pack, 3 packs
//	{n !is/are}       the word alone that goes with the count, or with the length of a list
//	[… {name} …]      printed only where every value named inside is there
//	[!name …]         printed only where that value is not there
//	\{ \} \[ \] \\    braces, brackets and the backslash as such
//
// Beside the values of the finding there are {subject}, {who} (who can settle it),
// {action} (what the program can do, worded for the reader), {line} and {value} (of
// the line that settles it) and, for a finding about another one, {inner},
// {inner.why} and {inner.fix}.
//
// Wording: plain British English of the trade; who does what; no capital at the
// start, no full stop at the end; a message never repeats its subject, since the
// printer puts that in front; no verb of the command line in a text for an assessor.
package words
