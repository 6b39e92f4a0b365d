package formula

import "gallipot/ingredients/finding"

// With begins the values of a finding.
func With() finding.Values { return nil }
