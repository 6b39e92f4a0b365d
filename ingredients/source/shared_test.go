package source

import (
	"gallipot/ingredients/finding"
)

// SaidFinding is a finding in words, as far as these tests look at them.
type SaidFinding struct{ Message, Fix string }

// Say puts a finding into words; the outer test package, which may import the
// wording, sets it.
var Say func(finding.Finding) SaidFinding

func said(f finding.Finding) SaidFinding { return Say(f) }
