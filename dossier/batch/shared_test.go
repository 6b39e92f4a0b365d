package batch

// product is a file that reads without a finding; tests change one thing in it.
const product = `id: x
name: X
revision: 1
product_type: shower-gel
intended_for: adults
formula:
  basis: percent
  phases:
    - id: A
      lines:
        - {ingredient: water, amount: q.s.}
        - {slot: scent, amount: 0.8}
`

// sheetFile is a sheet that reads without a finding.
func sheetFile(id, more string) string {
	return "id: " + id + "\nname: N\ncomposition: {complete: true, constituents: [{inci: Aqua, pct: 100}]}\n" + more
}
