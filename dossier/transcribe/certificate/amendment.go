package certificate

import (
	"strings"

	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/pieces"
	"gallipot/dossier/transcribe/reading"
	"gallipot/ingredients/pattern"
)

// word before them apart.
var amendmentNumber = lexicon.Pattern(`(?i)\b(\d{2})(?:\s*(?:<<ordinal>>|\.))?$`)

var ifraNumber = pattern.New(`(?i)\bIFRA[ -]*(\d{2})\b`)

var leadingTwo = lexicon.Pattern(`^\W*(?:<<number sign>>)?\W*(\d{2})\b`)

// amendment finds the amendment that a certificate follows.
func (s *Reader) amendment() (int, reading.Place, bool) {
	for n, it := range s.Items {
		if it.Row == nil || it.Row.Quote > 0 {
			continue
		}
		for i, c := range it.Row.Cells {
			ws := pieces.Words(c.Text)
			for _, w := range ws {
				if _, ok := s.Words.Exact("amendment", w.Folded); !ok {
					continue
				}
				before := strings.TrimRight(c.Text[:w.Start], " .-")
				if before == "" && i == 0 && n > 0 && s.Items[n-1].Row != nil { // "50th" at the end of the line above
					before = strings.TrimRight(s.Items[n-1].Row.Text(), " .-")
				}
				if m := amendmentNumber().FindStringSubmatch(before); m != nil && plausibleAmendment(m[1]) {
					return pieces.Whole(m[1]), s.Place(it.Row.Place, c), true
				}
				if m := amendmentNumber().FindStringSubmatch(strings.TrimSpace(c.Text[:w.Start])); m != nil &&
					plausibleAmendment(m[1]) {
					return pieces.Whole(m[1]), s.Place(it.Row.Place, c), true
				}
				if m := leadingTwo().FindStringSubmatch(c.Text[w.End:]); m != nil &&
					plausibleAmendment(m[1]) {
					return pieces.Whole(m[1]), s.Place(it.Row.Place, c), true
				}
				if strings.Trim(c.Text[w.End:], " :.") != "" || i+1 == len(it.Row.Cells) {
					continue
				}
				next := it.Row.Cells[i+1] // "Amendment | 51"
				if m := leadingTwo().FindStringSubmatch(next.Text); m != nil && plausibleAmendment(m[1]) {
					return pieces.Whole(m[1]), s.Place(it.Row.Place, next), true
				}
			}
			if m := ifraNumber.FindStringSubmatch(c.Text); m != nil && plausibleAmendment(m[1]) {
				return pieces.Whole(m[1]), s.Place(it.Row.Place, c), true
			}
		}
	}
	return 0, reading.Place{}, false
}

func plausibleAmendment(n string) bool { return pieces.Whole(n) >= 36 && pieces.Whole(n) <= 70 }
