package transcribe

// addToRecord joins what a row says with the constituent that the rows above have
// begun.
func (s *composer) addToRecord(c Constituent, content bool) {
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
	if r != nil && c.Name != "" && r.Name != "" && !numbers && !content && len(r.CAS) == 0 && r.Printed == "" {
		r.Name = oneLine(r.Name + "\n" + c.Name) // a long name over two lines
		return
	}
	s.closeRecord()
	s.record = &c
}

// closeRecord files the constituent that rows have built up.
func (s *composer) closeRecord() {
	r := s.record
	s.record = nil
	if r == nil {
		return
	}
	if len(r.CAS) == 0 && r.Printed == "" {
		s.out.NotUnderstood = append(s.out.NotUnderstood, Passed{Text: r.Name, Place: r.Place})
		return
	}
	if s.isTotal(r.Name) || r.Name == "" && len(r.CAS) == 0 {
		return
	}
	if r.CAS == nil {
		r.CAS = []string{}
	}
	if r.EC == nil {
		r.EC = []string{}
	}
	if s.names != nil {
		r.INCI = s.names.INCI(r.Name, r.CAS, r.EC)
	}
	s.otherEC(r)
	s.out.Composition = append(s.out.Composition, *r)
}
