package limits

import (
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// on judges all rows in force on a day and says what follows.
func (run *Run) on(day exact.Date) ([]LimitCheck, []finding.Finding) {
	checks := run.Checks(day)
	findings := run.checkFindings(checks, day)
	findings = append(findings, run.lineFindings(checks, day)...)
	findings = append(findings, run.closedLists(checks, day)...)
	findings = append(findings, run.classFindings(checks, day)...)
	findings = append(findings, run.labelFindings(checks, day)...)
	findings = append(findings, run.criteriaFindings(checks)...)
	return checks, findings
}
