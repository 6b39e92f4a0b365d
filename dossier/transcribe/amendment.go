package transcribe

import (
	"regexp"
	"strings"
)

// word before them apart.
var amendmentNumber = regexp.MustCompile(`\b(\d{2})(?:\s*(?:st|nd|rd|th|er|e|ème|eme|ste|de|°|º|ª|\.))?$`)

var ifraNumber = regexp.MustCompile(`(?i)\bIFRA[ -]*(\d{2})\b`)

var leadingTwo = regexp.MustCompile(`^\W*(?:no|nr|n|num)?\W*(\d{2})\b`)

// amendment finds the amendment that a certificate follows.
func (s *certifier) amendment() (int, Place, bool) {
	for _, it := range s.items {
		if it.Row == nil || it.Row.Quote > 0 {
			continue
		}
		for _, c := range it.Row.Cells {
			ws := wordsOf(c.Text)
			for _, w := range ws {
				if _, ok := s.words.Exact("amendment", w.folded); !ok {
					continue
				}
				if m := amendmentNumber.FindStringSubmatch(strings.TrimRight(c.Text[:w.start], " .-")); m != nil && plausibleAmendment(m[1]) {
					return whole(m[1]), s.place(it.Row.Place, c), true
				}
				if m := amendmentNumber.FindStringSubmatch(strings.TrimSpace(c.Text[:w.start])); m != nil && plausibleAmendment(m[1]) {
					return whole(m[1]), s.place(it.Row.Place, c), true
				}
				if m := leadingTwo.FindStringSubmatch(c.Text[w.end:]); m != nil && plausibleAmendment(m[1]) {
					return whole(m[1]), s.place(it.Row.Place, c), true
				}
			}
			if m := ifraNumber.FindStringSubmatch(c.Text); m != nil && plausibleAmendment(m[1]) {
				return whole(m[1]), s.place(it.Row.Place, c), true
			}
		}
	}
	return 0, Place{}, false
}

func plausibleAmendment(n string) bool { return whole(n) >= 36 && whole(n) <= 70 }
