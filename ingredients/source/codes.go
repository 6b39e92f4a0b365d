package source

// Codes of the findings that reading a file can raise. Every one of them is of
// kind stop and marks its file as not readable as it stands, except where the
// comment says otherwise.
const (
	CodeUnreadableFile = "unreadable-file" // cannot be opened, or is empty
	CodeFileTooLarge   = "file-too-large"  // larger than MaxFileBytes
	codeBadCharacter   = "bad-character"   // not UTF-8, or a character nobody can see
	codeSyntax         = "yaml-syntax"     // quotes, brackets, colons or indentation do not fit together
	codeSecondDocument = "second-document" // a second "---": one file holds one sheet or product
	codeAlias          = "alias-refused"   // anchors, aliases, merge keys and tags
	codeTooDeep        = "too-deep"        // nested deeper than any file of ours needs

	codeUnknownKey   = "unknown-key"    // a key that means nothing at this place
	CodeDuplicateKey = "duplicate-key"  // the same key twice in one group
	codeMissingKey   = "missing-key"    // a key that has to be there is not
	CodeEmptyValue   = "empty-value"    // a key without a value: missing is not zero
	codeWrongType    = "wrong-type"     // a list where one value is wanted, and the like
	codeCutByComment = "cut-by-comment" // kind ask: "Red #4" without quotes reads "Red"

	CodeBadAmount      = "bad-amount"       // not a content
	CodeBadNumber      = "bad-number"       // not a number, or outside what the field can be
	codeBadDate        = "bad-date"         // not a day
	CodeBadChoice      = "bad-choice"       // not one of the words allowed here
	codeBadID          = "bad-id"           // an id that cannot be a file name everywhere
	codeBadCAS         = "bad-cas"          // not the form of a CAS number; ask where only the check digit is wrong
	codeBadEC          = "bad-ec"           // the same for an EC number
	CodeIDMismatch     = "id-mismatch"      // the id differs from the file name
	CodeDuplicateID    = "duplicate-id"     // two things with one id
	CodeRestTwice      = "rest-twice"       // more than one q.s.
	CodeRestNotAllowed = "rest-not-allowed" // q.s. where there is no whole of 100 to fill up
)
