package identity

import (
	"strings"

	"gallipot/dossier/transcribe/desk"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/pieces"
	"gallipot/dossier/transcribe/reading"
)

// Read reads what a paper says of itself: material, supplier, code, lot, dates.
func Read(d *desk.Desk) {
	s := &facts{Desk: d, dates: dateReader{words: d.Words, dayFirst: true}}
	s.dates.order(d.Texts)
	if !s.dates.known {
		_, _, european := d.Words.Find("european", lexicon.Fold(strings.Join(d.Texts, " ")))
		s.dates.known = european || d.Out.Document.Language != "en"
	}
	s.facts()
}

// facts takes each fact from its label, otherwise from its place.
func (s *facts) facts() {
	d := &s.Out.Document
	labels := s.Labels
	s.dateFacts(labels)
	var behindCode, loose *reading.Fact // loose: a code without a colon, "Ref. FT-0388"; one with it goes before
	for _, l := range labels {
		v := strings.TrimSpace(l.Value)
		if v == "" {
			continue
		}
		switch l.Key {
		case "trade-name":
			if c := codeIn(v, true); d.TradeName != nil && d.Code == nil && l.Sign && c == firstCell(v) &&
				strings.ContainsAny(c, "0123456789") && c != d.TradeName.Value {
				d.Code = s.fact(l, c) // "Article: MW 5503" behind the name
			} else if d.TradeName == nil && l.Sign && s.nameLike(v) {
				name, code := s.withoutCode(firstCell(v))
				d.TradeName = s.fact(l, strings.TrimRight(name, "."))
				if code != "" && d.Code == nil {
					d.Code = s.fact(l, code)
				}
			}
		case "code":
			if c := codeIn(v, l.Sign); c != "" && (d.Code == nil || l.Sign && d.Code == loose) &&
				(l.Sign || len(c) >= 4 && (l.Nth < 12 || s.Is("mail") || s.headOrFoot(l) || l.Alone(c))) {
				d.Code = s.fact(l, c)
				if !l.Sign {
					loose = d.Code
				}
			} else if c == "" && l.Sign && behindCode == nil && s.nameLike(v) && len(strings.Fields(v)) > 1 {
				name, _ := s.withoutCode(firstCell(v)) // "Item: Hemp seed oil"
				behindCode = s.fact(l, name)
			}
		case "batch":
			if c := codeIn(v, l.Sign); d.Batch == nil && c != "" && strings.ContainsAny(c, "0123456789") {
				d.Batch = s.fact(l, c)
			}
		case "version":
			if m := versionLike.FindStringSubmatch(v + " "); d.Version == nil && m != nil &&
				len(s.dates.find(pieces.FirstWord(v))) == 0 {
				value := strings.TrimLeft(m[1], "vV. ")
				d.Version = s.fact(l, strings.ReplaceAll(value, ",", "."))
			}
		case "supplier":
			if d.Supplier == nil && l.Sign && s.companyLike(v) {
				d.Supplier = s.fact(l, s.companyIn(v))
			}
		}
	}
	if d.TradeName == nil {
		d.TradeName = behindCode
	}
	s.supplierByPlace()
	s.tradeNameByPlace(labels)
	s.pageCount()
	for _, f := range []*reading.Fact{d.TradeName, d.Supplier, d.Code, d.Batch, d.Version, d.Issued,
		d.Replaces, d.Printed, d.Made, d.BestBefore} {
		if f != nil && s.Doubtful[f.Page] {
			f.Value, f.Ask = "", "page-not-trusted" // what is printed stays to be compared
		}
	}
}
