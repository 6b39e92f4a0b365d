package tox

import "gallipot/calc/law/rows"

// Item is one thing that Part B has to say: a heading of the law or a place to write.
//
// Source: part-b.csv; Regulation (EC) 1223/2009 Annex I Part B.
type Item struct {
	rows.Row
	Heading string // B1 to B4
	Label   string // as it stands beside the place to write
	What    string // the same in full
	Answer  Answer
	Lines   int      // to write on by hand
	Choices []string // the answers allowed; empty: words of one's own
	Field   Field    // what the answer is kept as
	RestsOn string   // sections of the pack that it rests on
}

// Answer is the kind of answer that a place takes.
type Answer string

// The kinds of answer.
const (
	AnswerHeading Answer = "heading" // a heading of the law, no place to write
	AnswerStated  Answer = "stated"  // filled in from the file
	AnswerText    Answer = "text"
	AnswerChoice  Answer = "choice"
	AnswerDate    Answer = "date"
	AnswerPoints  Answer = "points" // numbers of open points
	AnswerValues  Answer = "values" // has rows of its own, one a substance
)

// Field names what an answer is kept as in the record.
type Field string

// The fields of a record.
const (
	FieldNone          Field = ""
	FieldConclusion    Field = "conclusion"
	FieldConditions    Field = "conditions"
	FieldAccepted      Field = "accepted"
	FieldWarnings      Field = "warnings"
	FieldMoreWarnings  Field = "more_warnings"
	FieldAssessor      Field = "assessor"
	FieldQualification Field = "qualification"
	FieldDated         Field = "dated"
	FieldNextReview    Field = "next_review"
)

var fields = []string{"", "conclusion", "conditions", "accepted", "warnings",
	"more_warnings", "assessor", "qualification", "dated", "next_review"}

func readPartB(file string, text string) ([]*Item, error) {
	columns := rows.Columns{Meaning: []string{"key", "heading", "label", "answer", "lines", "choices",
		"field", "rests_on", "seen"},
		Remarks: []string{"what", "source", "note"}}
	return rows.ReadTable(file, text, columns, func(r *rows.Record) *Item {
		i := &Item{
			Row: r.Head(r.Must("key")), Heading: r.Word("heading", "B1", "B2", "B3",
				"B4"), Label: r.Must("label"), What: r.Must("what"),
			Answer: Answer(r.Word("answer", "heading", "stated", "text", "choice", "date", "points", "values")),
			Lines:  r.Whole("lines"), Choices: r.List("choices"), Field: Field(r.Word("field",
				fields...)), RestsOn: r.Text("rests_on"),
		}
		if (i.Answer == AnswerChoice) != (len(i.Choices) > 0) {
			r.Fail("choices stand where the answer is a choice, and nowhere else")
		}
		return i
	})
}

// Item returns the item with a code, nil where there is none.
func (t *Tables) Item(code string) *Item {
	for _, i := range t.PartB() {
		if i.Key == code {
			return i
		}
	}
	return nil
}
