package workshop

import (
	"strings"

	"gallipot/calc/formula"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/source"
)

// Recorded is an assessment on record, with the figures it was made for: typed by the
// maker, or read from the assessor's answer.
type Recorded struct {
	Assessor      string
	Qualification string
	Dated         exact.Date
	Fingerprint   string // of the figures without any answer
	Revision      int
	Remarks       string
	File          string // the signed report
	SHA256        string // of that file, hexadecimal; "" when not noted
	// file of the figures at the time, as gallipot figures --json prints them; "" when not kept
	Figures string

	Conclusion   string // in the words of Part B; "" when not given
	Conditions   string
	Warnings     string // that the law sets
	MoreWarnings string // beyond the law
	NextReview   string
	Variants     []Valid
	Markets      []Valid
	Values       []formula.Judged
	Accepted     []Accepted
	Replies      []Reply
	Statements   []Statement
	Answer       AnswerFile // the document it was read from; the zero value: typed by hand

	Pos exact.Pos
}

// Valid says of a variant or market whether the assessment is valid for it.
type Valid struct {
	ID        string
	Verdict   string // in the words of the document
	Condition string
}

// Accepted is an open point that the assessor accepted in writing.
type Accepted struct {
	Finding string // code
	About   string
	Says    string // in the words of the document
	Because string
	Pos     exact.Pos
}

// Reply is the assessor's answer to a question.
type Reply struct{ Question, Answer, Words string }

// Statement is what the assessor wrote at a place of Part B.
type Statement struct{ Code, Text string }

// AnswerFile is the document that an answer was read from.
type AnswerFile struct {
	File   string
	SHA256 string // hexadecimal
}

// IsSigned says whether the record counts as a signature: a record that was read from an
// answer does when the signed report is filed with its hash.
func (r *Recorded) IsSigned() bool { return r.Answer.File == "" || r.File != "" && r.SHA256 != "" }

// Lacks names the keys without which no figure of an answer is used.
func (r *Recorded) Lacks() (keys []string) {
	for _, x := range []struct {
		key  string
		have bool
	}{
		{"assessor", r.Assessor != ""}, {"qualification", r.Qualification != ""}, {"dated",
			!r.Dated.IsZero()},
		{"conclusion", r.Conclusion != "" && r.Conclusion != notConcluded},
	} {
		if !x.have {
			keys = append(keys, x.key)
		}
	}
	return keys
}

// notConcluded is the conclusion that something is missing.
const notConcluded = "not concluded"

// conclusions are those of Part B.
//
// Source: part-b.csv, row B1a.
var conclusions = []string{"safe", "safe under the conditions written", "not safe", notConcluded}

// readAssessment reads one record.
func readAssessment(m *source.Mapping) Recorded {
	a := Recorded{Pos: m.Pos()}
	m.At("answer").In("answer", "{file: evidence/…docx, sha256: …}", func(m *source.Mapping) {
		m.Need("file", "file: the answer as it came")
		a.Answer = AnswerFile{m.At("file").Text(), strings.ToLower(m.At("sha256").Text())}
	})
	if a.Answer.File == "" {
		m.Need("assessor", "assessor: the name of who signed")
		m.Need("dated", "dated: 2026-03-31")
	}
	m.Need("fingerprint", "fingerprint: the one printed on the pack that was signed")
	a.Assessor, a.Qualification, a.Dated = m.At("assessor").Prose(), m.At("qualification").Prose(),
		m.At("dated").Date()
	a.Fingerprint, a.Remarks = strings.ToLower(m.At("fingerprint").Text()), m.At("remarks").Prose()
	a.File, a.SHA256, a.Figures = m.At("file").Text(), strings.ToLower(m.At("sha256").Text()),
		m.At("figures").Text()
	a.Revision, _ = m.At("revision").Count(1, 9999)
	a.Conclusion = m.At("conclusion").Choice(conclusions...)
	a.Conditions, a.Warnings, a.MoreWarnings = m.At("conditions").Prose(), m.At("warnings").Prose(),
		m.At("more_warnings").Prose()
	a.NextReview = m.At("next_review").Prose()
	m.At("valid_for").In("validity", "{variants: […], markets: […]}", func(m *source.Mapping) {
		a.Variants, a.Markets = readValid(m.At("variants")), readValid(m.At("markets"))
	})
	m.At("values").EachIn("value of the assessor", "{inci: …, pod_mg_per_kg_bw_d: 100, reason: …}",
		func(m *source.Mapping) {
			a.Values = append(a.Values, readJudged(m))
		})
	m.At("accepted").EachIn("accepted point", "{finding: …, about: …, says: …, because: …}",
		func(m *source.Mapping) {
			m.Need("finding", "finding: the code of the open point")
			m.Need("because", "because: the assessor's reason")
			a.Accepted = append(a.Accepted, Accepted{m.At("finding").Text(), m.At("about").Text(),
				m.At("says").Prose(), m.At("because").Prose(), m.Pos()})
		})
	m.At("replies").EachIn("reply", "{question: …, answer: accepted}", func(m *source.Mapping) {
		a.Replies = append(a.Replies, Reply{m.At("question").Prose(), m.At("answer").Prose(),
			m.At("words").Prose()})
	})
	m.At("statements").EachIn("statement", "{code: B3a, text: …}", func(m *source.Mapping) {
		a.Statements = append(a.Statements, Statement{m.At("code").Text(), m.At("text").Prose()})
	})
	for i := range a.Values {
		a.Values[i].Assessor, a.Values[i].Dated = a.Assessor, a.Dated
	}
	return a
}

func readValid(v source.Node) (list []Valid) {
	v.EachIn("variant or market", "{id: …, verdict: valid}", func(m *source.Mapping) {
		m.Need("id", "id: the variant or market")
		m.Need("verdict", "verdict: valid, valid on condition or not valid")
		list = append(list, Valid{m.At("id").Text(), m.At("verdict").Choice("valid", "valid on condition",
			"not valid"), m.At("condition").Prose()})
	})
	return list
}

func readJudged(m *source.Mapping) formula.Judged {
	m.Need("inci", "inci: the substance")
	m.Need("reason", "reason: why, with the source")
	return formula.Judged{INCI: m.At("inci").Text(), PoD: m.At("pod_mg_per_kg_bw_d").Positive(),
		PoDType: m.At("pod_type").Text(),
		Route: m.At("route").Choice("oral",
			"dermal"), AbsorptionPct: m.At("absorption_pct").Pct(), Target: m.At("target").Positive(),
		Reason: m.At("reason").Prose(), Pos: m.Pos()}
}

// AnswerFor returns the newest complete answer that was given for figures, nil where there
// is none.
func (p *Product) AnswerFor(fingerprint string) (last *Recorded) {
	for i := range p.Assessments {
		r := &p.Assessments[i]
		if r.Fingerprint == fingerprint && len(r.Lacks()) == 0 && (last == nil ||
			!r.Dated.Before(last.Dated)) {
			last = r
		}
	}
	return last
}

// BesideFigures are the keys of a product file that no figure depends on and that
// no assessor judges: records made after the figures, decisions, pictures, the notices,
// and the size of the printed label. What a label says, how a pack is given away and why
// it bears no period after opening stay in; so does whatever is in doubt.
var BesideFigures = []string{"assessments", "decisions", "costs", "pictures", "complaints", "sold",
	"notifications", "first_placed_in",
	"label.shape", "label.width_mm", "label.height_mm", "label.min_type_mm", "label.margin_mm",
	"label.overlap_mm", "label.sheet", "label.e_mark"}
