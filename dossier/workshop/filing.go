package workshop

// Newest is the newest signed assessment on record, or nil. An answer is none until the
// signed report is filed.
func (p *Product) Newest() *Recorded {
	var last *Recorded
	for i := range p.Assessments {
		if p.Assessments[i].IsSigned() && (last == nil || !p.Assessments[i].Dated.Before(last.Dated)) {
			last = &p.Assessments[i]
		}
	}
	return last
}
