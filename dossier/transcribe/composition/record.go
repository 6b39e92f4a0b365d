package composition

import (
	"gallipot/dossier/transcribe/pieces"
	"gallipot/dossier/transcribe/reading"
)

// addToRecord joins what a row says with the constituent that the rows above have
// begun.
func (s *Reader) addToRecord(c reading.Constituent, content bool) {
	r := s.record
	numbers := len(c.CAS) > 0 || len(c.EC) > 0
	if r != nil && c.Name == "" {
		takes := true
		if numbers && len(r.CAS) > 0 && len(c.CAS) > 0 {
			takes = false
		}
		if content && r.Printed != "" {
			takes = false
		}
		if takes {
			r.CAS, r.EC = append(r.CAS, c.CAS...), append(r.EC, c.EC...)
			if content {
				merged := c
				merged.Name, merged.CAS, merged.EC = r.Name, r.CAS, r.EC
				*r = merged
			}
			return
		}
	}
	if r != nil && c.Name != "" && r.Name != "" && !numbers && !content && len(r.CAS) == 0 &&
		r.Printed == "" {
		r.Name = pieces.OneLine(r.Name + "\n" + c.Name) // a long name over two lines
		return
	}
	s.CloseRecord()
	s.record = &c
}

// CloseRecord files the constituent that rows have built up.
func (s *Reader) CloseRecord() {
	r := s.record
	s.record = nil
	if r == nil {
		return
	}
	if len(r.CAS) == 0 && r.Printed == "" {
		s.PassAt(r.Place, r.Name)
		return
	}
	if s.IsTotal(r.Name) || r.Name == "" && len(r.CAS) == 0 {
		return
	}
	if r.CAS == nil {
		r.CAS = []string{}
	}
	if r.EC == nil {
		r.EC = []string{}
	}
	if s.Names != nil {
		r.INCI = s.Names.INCI(r.Name, r.CAS, r.EC)
	}
	s.otherEC(r)
	s.Out.Composition = append(s.Out.Composition, *r)
}
