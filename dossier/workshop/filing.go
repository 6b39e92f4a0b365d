package workshop

// Newest is the newest assessment on record, or nil.
func (p *Product) Newest() *Recorded {
	var last *Recorded
	for i := range p.Assessments {
		if last == nil || !p.Assessments[i].Dated.Before(last.Dated) {
			last = &p.Assessments[i]
		}
	}
	return last
}
