package stability

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
