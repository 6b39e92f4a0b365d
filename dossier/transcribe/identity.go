package transcribe

import (
	"strings"

	"gallipot/dossier/transcribe/lexicon"
)

// readIdentity reads what a paper says of itself: material, supplier, code, lot, dates.
func readIdentity(d *desk) {
	s := &facts{desk: d, dates: dateReader{words: d.words, dayFirst: true}}
	s.dates.order(d.text)
	if !s.dates.known {
		_, _, european := d.words.Find("european", lexicon.Fold(strings.Join(d.text, " ")))
		s.dates.known = european || d.out.Document.Language != "en"
	}
	s.facts()
}

func (s *facts) facts() {
	d := &s.out.Document
	labels := s.labels
	s.dateFacts(labels)
	for _, l := range labels {
		v := strings.TrimSpace(l.value)
		if v == "" {
			continue
		}
		switch l.key {
		case "trade-name":
			if d.TradeName == nil && l.sign && s.nameLike(v) {
				d.TradeName = s.fact(l, strings.TrimRight(firstCell(v), "."))
			}
		case "code":
			if c := codeIn(v, l.sign); d.Code == nil && c != "" && (l.sign || len(c) >= 4 && (l.rows < 12 || s.is("mail") || s.headOrFoot(l))) {
				d.Code = s.fact(l, c)
			}
		case "batch":
			if c := codeIn(v, l.sign); d.Batch == nil && c != "" && strings.ContainsAny(c, "0123456789") {
				d.Batch = s.fact(l, c)
			}
		case "version":
			if m := versionLike.FindStringSubmatch(v + " "); d.Version == nil && m != nil && len(s.dates.find(firstWord(v))) == 0 {
				value := strings.TrimLeft(m[1], "vV. ")
				d.Version = s.fact(l, strings.ReplaceAll(value, ",", "."))
			}
		case "supplier":
			if d.Supplier == nil && l.sign && s.companyLike(v) {
				d.Supplier = s.fact(l, companyIn(v))
			}
		}
	}
	s.supplierByPlace()
	s.tradeNameByPlace(labels)
	s.pageCount()
	for _, f := range []*Fact{d.TradeName, d.Supplier, d.Code, d.Batch, d.Version, d.Issued, d.Replaces, d.Printed, d.Made, d.BestBefore} {
		if f != nil && s.doubtful[f.Page] {
			f.Value, f.Ask = "", "page-not-trusted" // what is printed stays to be compared
		}
	}
}
